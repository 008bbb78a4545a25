"""The next block of a client is made into a draft."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from coaching.blocks.models import Pair, PlannedSession, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import block_value
from coaching.blocks.snapshots import locked_in
from coaching.rules.balance import planned_week_balance
from coaching.rules.numbers import DELOAD_SHARE, DELOAD_TOLERANCE
from coaching.rules.plan import WeekKind
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.sessions.next_block.pages import address, decided, lines_of, reading_of

pytestmark = pytest.mark.django_db


def test_one_post_makes_the_draft_as_it_was_shown(ana, cleo, block, log, today):
    page = next_block_page(cleo, {}, today)

    answer = signed_in(ana).post(address(cleo))

    made = cleo.blocks.get(published_at__isnull=True)
    assert answer.headers["Location"] == reverse("blocks:block", args=[made.pk])
    assert (made.number, made.starts_on) == (2, reading_of(page).starts_on)
    value = block_value(made)
    assert [week.kind for week in value.weeks][-1] is WeekKind.DELOAD
    assert len(value.weeks) == page.weeks
    first = value.weeks[0]
    planned = {p.exercise.name for session in first.sessions for p in session.prescriptions}
    assert planned == {line.to or line.name for line in lines_of(page)}
    usual = [w for w in block_value(block).weeks if w.kind is WeekKind.BUILD][-1]
    days = [[s.on.weekday() for s in week.sessions] for week in (first, usual)]
    assert days[0] == days[1]
    assert all(s.on >= first.starts_on for s in first.sessions)
    assert made.changes_from_template
    told = [change["sentence"] for change in made.changes_from_template]
    assert all(": its targets were reached." in one for one in told)
    assert any(re.search(r"6-6-6-6-6|7-6-6-6-6 after 5 × 6", one) for one in told)
    draft = signed_in(ana).get(reverse("blocks:block", args=[made.pk])).content.decode()
    assert re.search(r"\d+ changes from the block before: .*\d+ with new targets", draft)
    assert not re.search(r"\d to know", draft)


def test_push_and_pull_stay_as_they_were_and_the_light_week_is_light(ana, cleo, block, log):
    signed_in(ana).post(address(cleo), {"weeks": "6"})

    made = cleo.blocks.get(published_at__isnull=True)
    before = [w for w in block_value(block).weeks if w.kind is WeekKind.BUILD][-1]
    weeks = block_value(made).weeks
    was, now = planned_week_balance(before), planned_week_balance(weeks[0])
    assert len(weeks) == 6
    assert (was.push_sets, was.pull_sets) == (now.push_sets, now.pull_sets)
    reps = [sum(p.reps for s in w.sessions for p in s.prescriptions) for w in weeks]
    assert reps[0] == reps[4]
    # About 40 % of the usual volume (common practice, no source).
    assert reps[5] / reps[0] == pytest.approx(DELOAD_SHARE.value, abs=DELOAD_TOLERANCE.value)


def test_what_was_locked_is_open_in_the_next_block(ana, cleo, block, log):
    sessions = PlannedSession.objects.filter(week__block=block)
    sessions.update(locked=True)
    Pair.objects.filter(planned_session__in=sessions).update(locked=True)

    signed_in(ana).post(address(cleo))

    made = cleo.blocks.get(published_at__isnull=True)
    assert locked_in(snapshot_of(block))
    assert locked_in(snapshot_of(made)) == frozenset()


def test_the_last_block_is_not_touched(ana, cleo, block, log):
    before = snapshot_of(block)

    signed_in(ana).post(address(cleo))

    assert snapshot_of(block) == before


def test_what_the_coach_chose_is_what_is_made(ana, cleo, block, log, today):
    line = next(one for one in decided(next_block_page(cleo, {}, today)) if one.part == "primary")

    signed_in(ana).post(address(cleo), {f"choice-{line.key}": line.others[0].value})

    made = cleo.blocks.get(published_at__isnull=True)
    names = set(
        Prescription.objects.filter(
            pair__planned_session__week__block=made, pair__planned_session__week__number=1
        ).values_list("exercise__name", flat=True)
    )
    assert line.others[0].words in names
    assert line.name not in names


def test_a_second_draft_is_refused_and_the_first_one_shown(ana, cleo, block, log):
    browser = signed_in(ana)
    browser.post(address(cleo))
    made = cleo.blocks.get(published_at__isnull=True)

    again = browser.post(address(cleo))

    assert again.status_code == 422
    assert cleo.blocks.filter(published_at__isnull=True).count() == 1
    assert reverse("blocks:block", args=[made.pk]) in again.content.decode()


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"starts_on": "2026-03-02"}, "Choose 11 Mar 2026 or later: today."),
        ({"starts_on": "soon"}, "Enter a valid date."),
        ({"starts_on": "2027-03-01"}, "or earlier."),
        ({"weeks": "9"}, "Choose 4 to 6 weeks."),
    ],
)
def test_a_wrong_day_or_length_names_the_remedy_and_writes_nothing(ana, cleo, block, sent, says):
    answer = signed_in(ana).post(address(cleo), sent)

    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert cleo.blocks.count() == 1


def test_a_block_cannot_begin_before_the_last_one_ends(ana, cleo, monday):
    published_block(cleo, monday, "beginner-full-body")

    answer = signed_in(ana).post(address(cleo), {"starts_on": "2026-03-16"})

    assert answer.status_code == 422
    assert "block 1 runs until then" in answer.content.decode()


def test_a_block_that_begins_midweek_keeps_the_training_days(ana, cleo, block, log):
    base = block_value(block).weeks[0]

    signed_in(ana).post(address(cleo), {"starts_on": "2026-03-18"})

    week = block_value(cleo.blocks.get(published_at__isnull=True)).weeks[0]
    days = [session.on for session in week.sessions]
    assert sorted(day.weekday() for day in days) == [s.on.weekday() for s in base.sessions]
    assert days == sorted(days)
    assert all(week.starts_on <= day < week.starts_on + timedelta(weeks=1) for day in days)
