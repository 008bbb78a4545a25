"""Where a client stands is read from what was done: slips, old logs and mere plans tell less."""

from datetime import date, datetime, time, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from coaching.blocks.models import BlockTemplate
from coaching.blocks.pages_new_block import new_block_page
from coaching.blocks.stood import stood
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value
from sessions.history import HistorySession, HistorySet, record_history
from tests.factories.written_blocks import written_block

pytestmark = pytest.mark.django_db

BENCH = "Dumbbell bench press"
DAY = timedelta(days=1)


@pytest.fixture
def bench():
    return Exercise.objects.get(coach=None, name=BENCH)


def log(client, exercise, on: date, sets, *, name="Upper", pain=None, kind="build"):
    at = datetime.combine(on, time(17), tzinfo=timezone.get_default_timezone())
    made = tuple(
        HistorySet(
            uid=uuid4(),
            exercise_id=exercise.pk,
            number=number,
            amount=reps,
            done_at=at + timedelta(minutes=number),
            load=kg,
            pain=pain,
        )
        for number, (reps, kg) in enumerate(sets, start=1)
    )
    one = HistorySession(uuid4(), on, name, kind, at, at + timedelta(hours=1), made)
    record_history(client=client, sessions=[one])


def standings(client, exercise, today):
    value = exercise_value(exercise)
    found = stood(client, {value.key: value}, today).standings.get(value.key, ())
    return [(one.amounts, one.load) for one in found]


def test_a_slip_of_a_digit_is_no_place_to_begin_from(cleo, bench, today):
    log(cleo, bench, today - 4 * DAY, [(8, 20.0)] * 3)
    log(cleo, bench, today - DAY, [(8, 200.0)] * 3)

    assert standings(cleo, bench, today) == [((8,) * 3, 20.0)]


def test_a_first_log_is_held_against_what_was_planned(cleo, bench, today):
    written_block(cleo, today - 7 * DAY, [{"Upper": [("primary", BENCH, (8, 8), 20.0)]}])
    log(cleo, bench, today - DAY, [(8, 200.0)] * 3)

    assert standings(cleo, bench, today) == []


def test_a_warm_up_logged_as_a_set_is_not_where_a_client_stands(cleo, bench, today):
    log(cleo, bench, today - DAY, [(10, 8.0), *[(8, 20.0)] * 3])

    assert standings(cleo, bench, today) == [((8,) * 3, 20.0)]


def test_a_heavy_and_a_light_day_are_told_apart_and_a_block_before_is_over(cleo, bench, today):
    log(cleo, bench, today - 20 * DAY, [(5, 30.0)] * 3, name="Old day")
    log(cleo, bench, today - 5 * DAY, [(6, 24.0)] * 4, name="Heavy")
    log(cleo, bench, today - 2 * DAY, [(10, 16.0)] * 3, name="Light")

    assert standings(cleo, bench, today) == [((10,) * 3, 16.0), ((6,) * 4, 24.0)]


def test_what_was_planned_and_not_done_says_nothing(cleo, bench, today):
    written_block(cleo, today - 21 * DAY, [{"Upper": [("primary", BENCH, (11, 11), 20.0)]}])

    assert standings(cleo, bench, today) == []


def test_what_is_still_to_come_counts_and_no_step_goes_on_from_it(cleo, bench, today):
    written_block(cleo, today + DAY, [{"Upper": [("primary", BENCH, (8, 8), 20.0)]}])

    value = exercise_value(bench)
    (one,) = stood(cleo, {value.key: value}, today).standings[value.key]
    assert (one.amounts, one.load, one.is_logged, one.is_most) == ((8, 8), 20.0, False, True)


@pytest.mark.parametrize(("days", "weeks"), [(3, 0), (12, 1), (77, 11)])
def test_after_an_absence_it_says_how_long_ago(cleo, bench, today, days, weeks):
    log(cleo, bench, today - days * DAY, [(8, 20.0)] * 3)

    value = exercise_value(bench)
    (one,) = stood(cleo, {value.key: value}, today).standings[value.key]
    assert one.weeks_ago == weeks
    assert one.is_most is bool(weeks)


def test_a_light_week_is_no_absence(cleo, bench, today):
    log(cleo, bench, today - 12 * DAY, [(8, 20.0)] * 3)
    log(cleo, bench, today - 5 * DAY, [(8, 20.0)], kind="deload")

    value = exercise_value(bench)
    (one,) = stood(cleo, {value.key: value}, today).standings[value.key]
    assert (one.amounts, one.weeks_ago) == ((8,) * 3, 0)


def test_pain_of_the_last_two_weeks_is_named_in_every_draft(ana, cleo, bench):
    today = cleo.local_date(timezone.now())
    log(cleo, bench, today - 13 * DAY, [(8, 20.0)] * 3, pain=7)
    log(cleo, bench, today - 2 * DAY, [(8, 20.0)] * 3, pain=6)
    template = BlockTemplate.objects.get(coach=None, key="first-block-floor")

    page = new_block_page(cleo, ana, template_id=template.pk, starts_on=today, today=today)

    on = today - 13 * DAY
    said = f"Hurt lately: {BENCH} (7 of 10 on {on.day} {on:%b})"
    assert page.chosen is not None
    assert [one for one in page.chosen.changes.must_see if one.startswith(said)]


def test_pain_long_over_is_not_named(cleo, bench, today):
    log(cleo, bench, today - 15 * DAY, [(8, 20.0)] * 3, pain=7)

    value = exercise_value(bench)
    assert stood(cleo, {value.key: value}, today).pains == ()
