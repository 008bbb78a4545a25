"""What was done instead of the plan, or besides it, is not read as the plan done badly.

Common practice, no source: a target holds for the exercise it was written for.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import Exercise
from coaching.rules.plan import Part
from coaching.rules.progression import Exposure, Step, next_target
from sessions.models import LoggedSet
from sessions.services import record_entry
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.phone import line_entry
from tests.factories.sessions import log_session, log_week
from tests.rules.examples import make_prescription, make_pull_up, make_sets


@pytest.fixture
def block(cleo, last_week):
    return published_block(cleo, last_week, "beginner-full-body")


@pytest.fixture
def line(block, last_week) -> Prescription:
    first = PlannedSession.objects.filter(week__block=block).order_by("on", "position")[0]
    rows = Prescription.objects.filter(pair__planned_session=first)
    return rows.exclude(pair__part__in=[Part.WARM_UP, Part.PREHAB]).order_by("pair", "position")[0]


def reading_of(cleo, last_week, today):
    [reading] = read_weeks([cleo], last_week, today)
    return reading


def done_instead(cleo, line, other, amount=1):
    """The sets of a line, far short of its targets, with another exercise."""
    log_session(cleo, line.pair.planned_session)
    rows = LoggedSet.objects.filter(prescription_uid=line.uid)
    assert rows.update(exercise=other, amount=amount, rir=0)


def test_sets_done_instead_carry_no_target_of_the_line(cleo, line, last_week, today):
    plank = Exercise.objects.get(key="plank")
    done_instead(cleo, line, plank)

    [session] = reading_of(cleo, last_week, today).week_sessions

    own = [one for one in session.sets if one.exercise.key == plank.key]
    assert [(one.amount, one.target, one.target_load) for one in own] == [
        (1, None, None) for _ in line.targets
    ]
    others = [one for one in session.sets if one.exercise.key != plank.key]
    assert all(one.target is not None for one in others)


def test_the_planned_exercise_is_not_judged_by_what_was_done_instead(
    cleo, block, line, last_week, today
):
    log_week(cleo, last_week)
    places = {p.exercise_id for p in reading_of(cleo, last_week, today).proposals}
    assert line.exercise_id in places
    rows = LoggedSet.objects.filter(exercise=line.exercise)
    rows.update(exercise=Exercise.objects.get(key="plank"), amount=1)

    reading = reading_of(cleo, last_week, today)

    assert line.exercise_id not in {p.exercise_id for p in reading.proposals}
    assert line.exercise.key not in {f.exercise for f in reading.findings}


def test_an_exercise_is_not_judged_by_sets_that_stood_in_for_another(
    cleo, block, line, last_week, today
):
    log_week(cleo, last_week)
    before = {p.key: p for p in reading_of(cleo, last_week, today).proposals}
    last_on = max(before.values(), key=lambda p: p.last.on).last.on
    other = next(p for p in before.values() if p.exercise_id != line.exercise_id)
    swapped = LoggedSet.objects.filter(
        exercise=line.exercise, logged_session__on=last_on
    ) or LoggedSet.objects.filter(exercise=line.exercise)
    swapped.update(exercise=other.exercise_id, amount=1)

    after = {p.key: p for p in reading_of(cleo, last_week, today).proposals}

    assert after[other.key].last == before[other.key].last
    assert after[other.key].target.step == before[other.key].target.step
    assert after[other.key].target.targets == before[other.key].target.targets


def test_a_skipped_exercise_leaves_the_session_done_and_nothing_found_of_it(
    cleo, line, last_week, today
):
    planned = line.pair.planned_session
    logged = log_session(cleo, planned)
    LoggedSet.objects.filter(prescription_uid=line.uid).delete()
    at = logged.started_at
    record_entry(client=cleo, entry=line_entry(line, at, change="skip", reason="no bench"))

    reading = reading_of(cleo, last_week, today)

    assert next(one for one in reading.attendance if one.on == planned.on).done
    assert [f for f in reading.findings if f.exercise == line.exercise.key] == []
    assert line.exercise_id not in {p.exercise_id for p in reading.proposals}


PULL_UP = make_pull_up()


def exposures(today):
    asked = make_prescription(PULL_UP, (6, 6, 6), 10)
    good, poor = make_sets(PULL_UP, (6, 6, 6), 10), make_sets(PULL_UP, (2, 2))
    done = Exposure(today - timedelta(days=3), good, planned=asked)
    return asked, done, Exposure(today, poor, besides=True)


def decide(asked, found):
    return next_target(
        asked, found, loads=(0.0, 5.0, 10.0, 12.5), harder=None, easier=None, body_weight=70
    )


def test_what_stood_besides_the_plan_changes_no_step(today):
    asked, done, poor = exposures(today)

    assert decide(asked, [done, poor]) == decide(asked, [done])


def test_pain_counts_wherever_it_was_felt(today):
    asked, done, poor = exposures(today)
    hurt = replace(poor, sets=tuple(replace(one, pain=7) for one in poor.sets))

    assert decide(asked, [done]).step is Step.STEP_UP
    assert decide(asked, [done, hurt]).step is not Step.STEP_UP
