"""The invented practice is the same story on whatever day it is loaded."""

from datetime import date

import pytest

from demo_fixtures.load import PHONE_CLIENT, load_demo
from demo_fixtures.people import PEOPLE
from tests.architecture.test_demo_practice import SIGNS, kinds, readings_on

OTHER_DAYS = (date(2026, 3, 9), date(2026, 11, 29))
"""A Monday, when the week is empty yet, and a Sunday."""


@pytest.mark.parametrize("today", OTHER_DAYS, ids=lambda day: f"{day:%A}")
def test_every_story_shows_on_other_days_of_the_week_too(db, today):
    told = [p for p in PEOPLE if p.story in SIGNS or p.name == PHONE_CLIENT]
    load_demo(today, told)

    found = readings_on(today)

    shown = {p.name for p in told if SIGNS.get(p.story) in kinds(found[p.name])}
    assert shown == {p.name for p in told} - {PHONE_CLIENT}
