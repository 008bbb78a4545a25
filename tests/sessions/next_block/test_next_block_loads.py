"""The load of what comes in: from the client's own log of it in any block, else left to choose."""

from datetime import timedelta

import pytest

from clients.models import Equipment
from coaching.blocks.models import PlannedSession
from coaching.library.models import Exercise
from sessions.models import LoggedSet
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.sessions import log_session, log_week
from tests.factories.written_blocks import written_block
from tests.sessions.next_block.pages import address, lines_of

pytestmark = pytest.mark.django_db

DUMBBELL, BARBELL, PRESS = "Bent-over dumbbell row", "Barbell row", "Barbell bench press"
LONG_AGO = timedelta(weeks=40)


@pytest.fixture(autouse=True)
def _weights(cleo, _equipped):
    plates = [20, 20, 10, 10, 5, 5, 2.5, 2.5, 1.25, 1.25]
    Equipment.objects.filter(client=cleo, kind="barbell").update(pieces=plates, bar_kg=20)
    Equipment.objects.filter(client=cleo, kind="dumbbells").update(pieces=[10, 12, 14, 16])


def dumbbell_rows(client, monday):
    """The dumbbell row was the exercise of the last block."""
    start = monday - timedelta(weeks=2)
    pull, push = ("primary", DUMBBELL, (6,) * 5, 14.0), ("primary", PRESS, (6,) * 5, 40.0)
    written_block(client, start, [{"Day": [pull, push]}] * 2)
    for n in range(2):
        log_week(client, start + timedelta(weeks=n))


def logged_long_ago(client, monday, targets, load, **how):
    """A block of the barbell row, most of a year before."""
    start = monday - LONG_AGO
    block = written_block(client, start, [{"Day": [("primary", BARBELL, targets, load)]}])
    for row in PlannedSession.objects.filter(week__block=block):
        log_session(client, row, **how)


def swapped_to_barbell(client, today):
    line = next(x for x in lines_of(next_block_page(client, {}, today)) if x.name == DUMBBELL)
    key = Exercise.objects.get(coach=None, name=BARBELL).key
    sent = {f"choice-{line.key}": key}
    again = next_block_page(client, sent, today)
    return sent, next(x for x in lines_of(again) if x.name == DUMBBELL)


def test_it_begins_with_the_load_of_its_last_log_in_any_block_and_says_so(ana, cleo, monday, today):
    logged_long_ago(cleo, monday, (6,) * 5, 50.0)
    dumbbell_rows(cleo, monday)

    sent, line = swapped_to_barbell(cleo, today)
    signed_in(ana).post(address(cleo), sent)

    assert line.now == "5 × 5 · 50 kg"
    day = monday - LONG_AGO
    told = f"It was last done on {day.day} {day:%B %Y}, 6, 6, 6, 6, 6 reps at 50 kg."
    assert told in line.choice.sentence
    made = cleo.blocks.get(published_at__isnull=True)
    first = PlannedSession.objects.filter(week__block=made).order_by("on")[0]
    loads = first.pairs.get(prescriptions__exercise__name=BARBELL).prescriptions.values_list(
        "load_kg", flat=True
    )
    assert [float(one) for one in loads] == [50.0]


def test_for_more_repetitions_than_were_done_it_begins_lighter(cleo, monday, today):
    # Brzycki 1993: 3 repetitions at 60 kg are 63.53 kg for one, and 5 of them 56.47 kg; the bar
    # and its plates make 55.
    logged_long_ago(cleo, monday, (3,) * 5, 60.0)
    dumbbell_rows(cleo, monday)

    _sent, line = swapped_to_barbell(cleo, today)

    assert line.now == "5 × 5 · 55 kg"
    assert "for 5 reps it is lighter" in line.choice.sentence


def test_without_a_log_of_it_the_load_is_left_to_choose(cleo, monday, today):
    dumbbell_rows(cleo, monday)

    _sent, line = swapped_to_barbell(cleo, today)

    assert line.now == "5 × 5 · choose its load"
    assert "It was last done" not in line.choice.sentence


def test_what_was_taken_back_tells_no_load(cleo, monday, today):
    logged_long_ago(cleo, monday, (6,) * 5, 50.0)
    LoggedSet.objects.filter(exercise__name=BARBELL).update(removed_at="2026-01-01T00:00:00Z")
    dumbbell_rows(cleo, monday)

    _sent, line = swapped_to_barbell(cleo, today)

    assert line.now.endswith("choose its load")


def test_pain_of_the_last_time_is_told_beside_its_load(cleo, monday, today):
    barbell = Exercise.objects.get(coach=None, name=BARBELL)
    logged_long_ago(cleo, monday, (6,) * 5, 50.0, pain={barbell.pk: 7})
    dumbbell_rows(cleo, monday)

    _sent, line = swapped_to_barbell(cleo, today)

    assert line.now == "5 × 5 · 50 kg"
    assert "It hurt above 5 of 10 when it was last done." in line.choice.sentence
