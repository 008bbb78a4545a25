"""A heavy and a light day of one exercise go on from their own targets and their own logs.

That heavy and light days have targets of their own, and the stair of repetitions, are common
practice, no source.
"""

from datetime import timedelta

import pytest
from django.urls import reverse

from clients.models import Equipment
from coaching.blocks.models import PlannedSession
from coaching.blocks.queries import block_value
from coaching.rules.next_block import KEEP
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.sessions import log_session, log_week
from tests.factories.written_blocks import written_block
from tests.sessions.next_block.pages import address, decided, lines_of

pytestmark = pytest.mark.django_db

PRESS, ROW = "Barbell bench press", "Barbell row"
HEAVY, LIGHT = ("primary", PRESS, (6,) * 5, 60.0), ("primary", PRESS, (8,) * 5, 40.0)
PULL = ("primary", ROW, (6,) * 5, 50.0)
WEEKS = 3


@pytest.fixture(autouse=True)
def _bar(cleo, _equipped):
    plates = [20, 20, 10, 10, 5, 5, 2.5, 2.5, 1.25, 1.25]
    Equipment.objects.filter(client=cleo, kind="barbell").update(pieces=plates, bar_kg=20)


@pytest.fixture
def start(monday):
    return monday - timedelta(weeks=WEEKS)


@pytest.fixture
def two_days(cleo, start):
    """Three weeks of a heavy and a light day, both done as asked."""
    week = {"Heavy": [HEAVY, PULL], "Light": [LIGHT, PULL]}
    block = written_block(cleo, start, [week] * WEEKS)
    for n in range(WEEKS):
        log_week(cleo, start + timedelta(weeks=n))
    return block


def presses(page):
    return [line for line in lines_of(page) if line.name == PRESS]


def test_each_day_steps_up_from_its_own_targets_and_load(cleo, two_days, today):
    heavy, light = presses(next_block_page(cleo, {}, today))

    assert (heavy.was, heavy.now) == ("5 × 6 · 60 kg", "7-6-6-6-6 · 60 kg")
    assert light.was == "5 × 8 · 40 kg"
    # The top of five to eight is reached: the bar goes up and the repetitions begin again.
    assert light.choice.load > 40
    assert light.choice.targets == (5,) * 5
    assert (heavy.same_as, light.same_as) == ("", "")
    assert light.choice.sentence != heavy.choice.sentence


def test_the_row_that_is_alike_on_both_days_is_decided_once(cleo, two_days, today):
    rows = [line for line in lines_of(next_block_page(cleo, {}, today)) if line.name == ROW]

    assert [line.same_as for line in rows] == ["", "Heavy"]
    assert {line.now for line in rows} == {"7-6-6-6-6 · 50 kg"}


def test_one_day_is_taken_back_and_the_other_goes_on(ana, cleo, two_days, today):
    heavy, light = presses(next_block_page(cleo, {}, today))

    sent = {f"choice-{light.key}": KEEP}
    again = presses(next_block_page(cleo, sent, today))
    signed_in(ana).post(address(cleo), sent)

    assert [line.now for line in again] == [heavy.now, light.was]
    assert [line.is_own for line in again] == [False, True]
    made = block_value(cleo.blocks.get(published_at__isnull=True)).weeks[0]
    asked = [
        (line.targets, line.load)
        for session in made.sessions
        for line in session.prescriptions
        if line.exercise.name == PRESS
    ]
    assert asked == [((7, 6, 6, 6, 6), 60.0), ((8,) * 5, 40.0)]


def test_what_was_missed_on_one_day_sets_only_that_day_back(cleo, start, today):
    week = {"Heavy": [HEAVY, PULL], "Light": [LIGHT, PULL]}
    block = written_block(cleo, start, [week] * WEEKS)
    for row in PlannedSession.objects.filter(week__block=block).order_by("on"):
        log_session(cleo, row, drop=2 if row.name == "Light" else 0)

    heavy, light = presses(next_block_page(cleo, {}, today))

    assert (heavy.outcome, light.outcome) == ("step up", "step back")
    assert heavy.now == "7-6-6-6-6 · 60 kg"
    assert light.choice.load <= 40
    assert sum(light.choice.targets) < 40


def test_a_top_set_and_back_off_sets_of_one_session_go_on_by_themselves(cleo, start, today):
    top, back_off = ("primary", PRESS, (5,) * 3, 60.0), ("primary", PRESS, (8,) * 3, 50.0)
    written_block(cleo, start, [{"Press": [top, back_off, PULL]}] * WEEKS)
    for n in range(WEEKS):
        log_week(cleo, start + timedelta(weeks=n))

    first, second = presses(next_block_page(cleo, {}, today))

    assert first.now == "6-5-5 · 60 kg"
    assert (second.choice.targets, second.choice.load > 50) == ((5,) * 3, True)


def test_a_stair_climbed_within_the_week_is_one_course_and_goes_on_where_it_ended(
    cleo, start, today
):
    stair = [("primary", PRESS, (one + 6, 6, 6, 6, 6), 60.0) for one in (0, 1)]
    week = {"Monday": [stair[0], PULL], "Wednesday": [stair[1], PULL]}
    written_block(cleo, start, [week])
    log_week(cleo, start)

    page = next_block_page(cleo, {}, today)

    monday, wednesday = presses(page)
    assert wednesday.same_as == "Monday"
    assert {monday.now, wednesday.now} == {"7-7-6-6-6 · 60 kg"}
    kept = presses(next_block_page(cleo, {f"choice-{monday.key}": KEEP}, today))
    assert [line.now for line in kept] == [monday.was, wednesday.was]


def test_pain_on_both_days_is_that_of_one_exercise(cleo, start, today):
    # Above 5 of 10 in two sessions (Thomeé 1997, pain-monitoring model), one on each day.
    week = {"Heavy": [HEAVY, PULL], "Light": [LIGHT, PULL]}
    block = written_block(cleo, start, [week])
    press = block_value(block).weeks[0].sessions[0].prescriptions[0].exercise
    rows = PlannedSession.objects.filter(week__block=block)
    hurting = rows[0].pairs.get(prescriptions__exercise__name=PRESS).prescriptions.get()
    for row in rows:
        log_session(cleo, row, pain={hurting.exercise_id: 7})

    found = presses(next_block_page(cleo, {}, today))

    assert press.name == PRESS
    assert [line.choice.why for line in found] == ["hurt", "hurt"]
    assert len({line.to for line in found}) == 1
    # Each day keeps its own number of sets, and can be taken back alone.
    assert [line.same_as for line in found] == ["", ""]


def test_the_days_are_told_apart_where_they_are_chosen(ana, cleo, two_days, today):
    page = next_block_page(cleo, {}, today)
    answer = signed_in(ana).get(reverse("sessions:next-block", args=[cleo.pk])).content.decode()

    keys = [line.key for line in decided(page) if line.name == PRESS]
    assert len(set(keys)) == 2
    for key, day in zip(keys, ("Heavy", "Light"), strict=True):
        assert f'name="choice-{key}"' in answer
        assert f"{PRESS}, {day} A, in the next block" in answer


def test_a_long_and_a_short_hold_go_on_from_their_own_seconds(cleo, start, today):
    cleo.level = "intermediate"
    cleo.save()
    long, short = (
        ("supplementary", "Side plank", (40,) * 3, 0.0),
        ("supplementary", "Side plank", (20,) * 3, 0.0),
    )
    written_block(cleo, start, [{"Long": [long, PULL], "Short": [short, PULL]}] * WEEKS)
    for n in range(WEEKS):
        log_week(cleo, start + timedelta(weeks=n))

    lines = [one for one in lines_of(next_block_page(cleo, {}, today)) if one.name == "Side plank"]

    assert [line.was for line in lines] == ["3 × 40 s", "3 × 20 s"]
    assert lines[0].now != lines[1].now
