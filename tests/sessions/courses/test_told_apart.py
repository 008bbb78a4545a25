"""Which days of an exercise go on together: what coming weeks ask tells it, not one load.

That heavy and light days have targets of their own, and the stair of repetitions, are common
practice, no source.
"""

from datetime import timedelta

import pytest

from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from sessions.week_reading import read_weeks
from tests.factories.written_blocks import written_block
from tests.sessions.courses.days import HEAVY, LIGHT, PRESS, done

pytestmark = pytest.mark.django_db


def line(reps, load, sets=3):
    return ("primary", PRESS, (reps,) * sets, float(load))


@pytest.fixture
def proposed(cleo, start, last_week, today):
    """What is proposed for the press, in the order of the coming sessions, from weeks as written."""

    def made(weeks, until=last_week + timedelta(days=6)):
        block = written_block(cleo, start, weeks)
        done(cleo, start, until)
        reading = read_weeks([cleo], last_week, today)[0]
        return block, [one for one in reading.proposals if one.exercise.name == PRESS]

    return made


def days(*lines):
    """One week: a session of its own for each line."""
    return {f"Day {chr(ord('A') + place)}": [one] for place, one in enumerate(lines)}


def test_the_same_days_written_heavier_week_by_week_are_one_course(proposed):
    loads = (55, 57.5, 60, 62.5, 65)
    _block, found = proposed([days(line(6, one), line(6, one)) for one in loads])

    assert [(one.key.count("-"), one.when) for one in found] == [(1, "")]


def test_a_heavy_and_a_light_day_that_get_heavier_are_two(proposed):
    loads = (55, 57.5, 60, 62.5, 65)
    block, found = proposed([days(line(6, one), line(8, one - 20)) for one in loads])

    assert {one.when: one.planned[0].load for one in found} == {
        "Day A on Mon": 62.5,
        "Day B on Wed": 40,
    }
    by_day = {"Day A on Mon": "Day A", "Day B on Wed": "Day B"}
    for one in found:
        own = {ln["uid"] for s, ln in lines_of(snapshot_of(block)) if s["name"] == by_day[one.when]}
        assert one.lines == own


def test_a_stair_within_the_week_is_one_course(proposed):
    _block, found = proposed([days(line(6, 50), line(7, 50))] * 5)

    assert len(found) == 1


def test_a_load_that_goes_up_from_session_to_session_is_one_course_to_the_last_week(proposed):
    """In the last week the first day is done, so that no week tells with both days to come."""
    weeks = [days(line(6, one), line(6, one + 2.5)) for one in (50, 55, 60)]
    _block, found = proposed(weeks)

    assert [one.when for one in found] == [""]


def test_a_target_that_changed_within_one_week_does_not_split_the_days(proposed):
    """As when a proposal was accepted from a session in the middle of a week on."""
    before, after = line(6, 50), line(6, 55)
    _block, found = proposed(
        [days(before, before), days(before, before), days(before, before), days(before, after)]
        + [days(after, after)] * 2
    )

    assert len(found) == 1


def test_in_the_last_week_heavy_and_light_day_stay_apart(proposed):
    week = {"Heavy": [HEAVY], "Light": [LIGHT]}
    _block, found = proposed([week] * 3)

    # Of the running week only the light day is to come, and Monday of it was not trained.
    assert [one.planned[0].load for one in found] == [40]
    assert found[0].target.load > 40


def test_two_heavy_days_around_a_light_one_go_on_together(proposed):
    week = {"Heavy": [HEAVY], "Light": [LIGHT], "Heavy too": [HEAVY]}
    _block, found = proposed([week] * 5)

    assert {one.when for one in found} == {"Light on Wed", "Heavy on Mon and Heavy too on Fri"}


def test_a_top_set_and_back_off_sets_of_one_session_are_told_apart_by_their_letters(proposed):
    week = {"Press": [line(5, 60, sets=1), line(8, 50)]}
    _block, found = proposed([week] * 5)

    assert {one.when: one.planned[0].load for one in found} == {
        "Press on Mon, A": 60,
        "Press on Mon, B": 50,
    }


def test_a_day_that_only_one_week_has_goes_with_the_nearer_course(proposed):
    week = {"Heavy": [HEAVY], "Light": [LIGHT]}
    more = {"Test it": [("primary", PRESS, (6,) * 5, 57.5)]}
    block, found = proposed([week, week, week, week, {**more, "Light": [LIGHT]}])

    heavy = next(one for one in found if one.planned[0].load == 60)
    lone = next(ln["uid"] for s, ln in lines_of(snapshot_of(block)) if s["name"] == "Test it")
    assert lone in heavy.lines
