"""Where a copy of a session goes unless told otherwise, and which days hold one already."""

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.blocks.editing.draft_services import draft_of
from tests.coaching.block_page.acting import PART, act
from tests.conftest import signed_in
from tests.factories.blocks import published_block

FORM = re.compile(r'<select id="panel-copy-session-on".*?</select>', re.DOTALL)
OPTION = re.compile(r'<option value="([^"]*)"( selected)?>([^<]*)</option>')


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today, "beginner-full-body")


def days(coach, block, session):
    url = reverse("blocks:edit-session", args=[block.pk, session["uid"]])
    part = signed_in(coach).get(url, {"shown": "2"}, headers=PART).content.decode()
    found = FORM.search(part)
    assert found
    return {day: (bool(chosen), words) for day, chosen, words in OPTION.findall(found[0])}


def chosen(found):
    return [day for day, (is_chosen, _) in found.items() if is_chosen]


def a_week_on(session):
    return str(date.fromisoformat(session["on"]) + timedelta(weeks=1))


def test_days_with_a_session_are_marked_and_a_free_day_of_this_week_is_the_first(ana, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]
    session = weeks[1]["sessions"][0]
    found = days(ana, block, session)

    held = {one["on"] for week in weeks for one in week["sessions"]}
    assert {day for day, (_, words) in found.items() if ", has " in words} == held & found.keys()
    assert found[session["on"]][1].endswith(f", has {session['name']}")
    # The same weekday a week on holds its own session: the first free day of the shown week.
    [first] = chosen(found)
    assert a_week_on(session) in held
    assert first not in held
    assert weeks[1]["starts_on"] <= first < weeks[2]["starts_on"]


def test_the_same_weekday_of_the_next_week_comes_first_where_it_is_free(ana, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]
    session, later = weeks[1]["sessions"][0], weeks[2]["sessions"][0]
    act(ana, block, act="remove-session", session=later["uid"], reach="week")

    assert chosen(days(ana, block, session)) == [a_week_on(session)]
