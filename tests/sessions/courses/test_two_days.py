"""The review decides about a heavy and a light day of one exercise one by one.

That heavy and light days have targets of their own, and the stair of repetitions, are common
practice, no source.
"""

import pytest
from django.urls import reverse

from sessions.models import Decision
from tests.sessions.courses.days import PRESS, ROW, asked
from tests.sessions.reviewing import PART, panel_of, sent_targets

pytestmark = pytest.mark.django_db


def presses(coach, client, week):
    """The rows of the press, heavy first."""
    rows = [row for row in panel_of(coach, client, week).rows if row.name == PRESS]
    return sorted(rows, key=lambda row: -float(row.load))


def accept(coach, client, week, *rows):
    panel = panel_of(coach, client, week)
    data = sent_targets(panel, take=[row.key for row in rows])
    return coach.post(reverse("sessions:accept-targets", args=[client.pk]), data, headers=PART)


def test_each_day_has_a_proposal_from_its_own_log(coach, cleo, two_days, last_week):
    heavy, light = presses(coach, cleo, last_week)

    assert (heavy.before, heavy.after) == ("5 × 6 · 60 kg", "7-6-6-6-6 · 60 kg")
    assert light.before == "5 × 8 · 40 kg"
    # The top of five to eight is reached: the bar goes up and the repetitions begin again.
    assert light.after == "5 × 5 · 42.5 kg"


def test_accepting_the_light_day_leaves_the_heavy_one(coach, cleo, two_days, last_week, today):
    before = asked(two_days, session="Heavy")
    _heavy, light = presses(coach, cleo, last_week)

    answer = accept(coach, cleo, last_week, light)

    assert answer.status_code == 200
    assert asked(two_days, session="Heavy") == before
    assert set(asked(two_days, session="Light", since=today).values()) == {((5,) * 5, 42.5)}


def test_the_days_of_one_exercise_stand_one_below_the_other(coach, cleo, two_days, last_week):
    rows = panel_of(coach, cleo, last_week).rows

    assert [(row.name, row.when) for row in rows] == [
        (PRESS, "Light on Wed"),
        (PRESS, "Heavy on Mon"),
        (ROW, ""),
    ]


def test_both_days_are_accepted_at_once(coach, cleo, two_days, last_week, today):
    accept(coach, cleo, last_week, *presses(coach, cleo, last_week))

    heavy = asked(two_days, session="Heavy", since=today)
    light = asked(two_days, session="Light", since=today)
    assert set(heavy.values()) == {((7, 6, 6, 6, 6), 60.0)}
    assert set(light.values()) == {((5,) * 5, 42.5)}
    assert Decision.objects.filter(exercise__name=PRESS).count() == 2


def test_what_is_alike_on_both_days_is_decided_once(coach, cleo, two_days, last_week):
    rows = [row for row in panel_of(coach, cleo, last_week).rows if row.name == ROW]

    assert [row.after for row in rows] == ["7-6-6-6-6 · 50 kg"]
