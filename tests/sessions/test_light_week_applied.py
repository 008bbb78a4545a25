"""The light week: put in, what becomes of the rest of the block, and taken back."""

from datetime import date, timedelta
from uuid import UUID

import pytest
from django.urls import reverse

from coaching.blocks.models import Block, PlannedSession, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.rules.plan import WeekKind
from sessions.models import Decision
from sessions.queries_deload import live_light_week
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor
from tests.sessions.lightening import address, page_for

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


@pytest.fixture
def block(cleo, monday) -> Block:
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


# Putting it in


def test_putting_it_in_makes_one_version_and_one_decision(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "apply-deload"), {"share": "40"})

    decision = Decision.objects.get()
    assert answer.status_code == 302
    assert block.versions.count() == 2
    assert decision.version == block.versions.get(number=2)
    assert decision.kind == "deload"
    assert decision.proposal["share"] == pytest.approx(0.40, abs=0.05)
    assert decision.proposal["changes"]


def test_the_client_sees_the_light_session_at_once(ana, cleo, block, today):
    usual = PlannedSession.objects.get(week__block=block, on=today)
    before = reps_of(usual)

    signed_in(ana).post(address(cleo, "apply-deload"), {"starts_on": today.isoformat()})

    now = PlannedSession.objects.get(week__block=block, on=today)
    page = signed_in(cleo.user).get(reverse("sessions:today"))
    assert reps_of(now) < before
    assert now.week.kind == WeekKind.DELOAD
    assert "Light week" in page.content.decode()


def reps_of(session) -> int:
    return sum(sum(p.targets) for pair in session.pairs.all() for p in pair.prescriptions.all())


def test_the_rest_of_the_block_moves_on_by_a_week(ana, cleo, block, today):
    last = PlannedSession.objects.filter(week__block=block).latest("on").on

    signed_in(ana).post(address(cleo, "apply-deload"), {"place": "before"})

    assert PlannedSession.objects.filter(week__block=block).latest("on").on == last + timedelta(
        days=7
    )


def test_in_place_of_the_coming_week_nothing_else_moves(ana, cleo, block, today, monday):
    start = monday + timedelta(days=7)
    later = sessions_from(block, start + timedelta(days=7))

    signed_in(ana).post(
        address(cleo, "apply-deload"), {"starts_on": start.isoformat(), "place": "in-place"}
    )

    replaced = Week.objects.get(block=block, starts_on=start)
    assert replaced.kind == WeekKind.DELOAD
    assert sessions_from(block, start + timedelta(days=7)) == later


def test_in_place_from_the_middle_of_a_week_no_day_is_planned_twice(ana, cleo, block, today):
    start = today + timedelta(days=1)

    signed_in(ana).post(
        address(cleo, "apply-deload"), {"starts_on": start.isoformat(), "place": "in-place"}
    )

    spell = PlannedSession.objects.filter(
        week__block=block, on__range=(start, start + timedelta(days=6))
    )
    assert {row.week.kind for row in spell} == {WeekKind.DELOAD}


def sessions_from(block, day) -> list[tuple[UUID, date]]:
    rows = PlannedSession.objects.filter(week__block=block, on__gte=day).order_by("on")
    return [(row.uid, row.on) for row in rows]


def test_after_it_is_in_the_page_offers_what_the_client_sees_and_undo(ana, cleo, block):
    browser = signed_in(ana)

    answer = browser.post(address(cleo, "apply-deload"), follow=True)

    text = answer.content.decode()
    assert "The light week is in the plan" in text
    assert reverse("sessions:today-for", args=[cleo.pk]) in text
    assert address(cleo, "undo-deload") in text


def test_a_second_light_week_is_refused_while_one_is_in_the_plan(ana, cleo, block):
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"))

    again = browser.post(address(cleo, "apply-deload"))

    assert again.status_code == 422
    assert "already in the plan" in again.content.decode()
    assert block.versions.count() == 2
    assert Decision.objects.count() == 1


def test_a_start_in_the_past_changes_nothing(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "apply-deload"), {"starts_on": "2026-03-10"})

    assert answer.status_code == 422
    assert "past" in str(answer.context["page"].form.errors["starts_on"])
    assert block.versions.count() == 1


@pytest.fixture
def next_block(cleo, block):
    """A block that follows on the last day of the first one."""
    ends = PlannedSession.objects.filter(week__block=block).latest("on").on
    starts_on = ends + timedelta(days=7 - ends.weekday())
    return published_block(cleo, starts_on, "beginner-full-body")


def test_a_light_week_that_would_run_into_the_next_block_is_refused(ana, cleo, block, next_block):
    browser = signed_in(ana)

    seen = browser.get(address(cleo), {"place": "before"})
    posted = browser.post(address(cleo, "apply-deload"), {"place": "before"})

    assert "run into block 2" in seen.context["page"].preview.refusal
    assert posted.status_code == 422
    assert block.versions.count() == 1


def test_where_the_block_cannot_move_it_shortens_unless_the_coach_says_otherwise(
    ana, cleo, block, next_block
):
    last = PlannedSession.objects.filter(week__block=block).latest("on").on
    browser = signed_in(ana)
    page = browser.get(address(cleo)).context["page"]

    answer = browser.post(address(cleo, "apply-deload"), page.form.sent)

    assert (page.preview.refusal, page.form.sent["place"]) == ("", "in-place")
    assert answer.status_code == 302
    assert PlannedSession.objects.filter(week__block=block).latest("on").on == last


# What becomes of the rest of the block


@pytest.mark.parametrize("place", ["before", "in-place"])
@pytest.mark.parametrize("days", ["5", "8", "10"])
def test_the_dates_that_are_shown_are_those_of_the_plan_afterwards(ana, cleo, block, place, days):
    browser, asked = signed_in(ana), {"place": place, "days": days}
    rest = browser.get(address(cleo), asked).context["page"].preview.rest

    browser.post(address(cleo, "apply-deload"), asked)

    rows = PlannedSession.objects.filter(week__block=block, on__gte=date(2026, 3, 16))
    spans: dict[int, tuple[date, date]] = {}
    for row in rows.order_by("on"):
        first, _ = spans.setdefault(row.week_id, (row.on, row.on))
        spans[row.week_id] = (first, row.on)
    assert [row.now for row in rest.rows if row.now] == list(spans.values())
    assert rest.ends_on == max(row.on for row in rows)
    assert rest.returns_on == min(row.on for row in rows if row.week.kind == WeekKind.BUILD)


def test_moving_says_where_each_week_was_and_shortening_what_gives_way(cleo, block, today):
    moves = page_for(cleo, today, place="before").preview.rest
    shortens = page_for(cleo, today, place="in-place").preview.rest

    week = timedelta(days=7)
    moved = [row for row in moves.rows if row.was]
    assert moved
    assert all(row.now == (row.was[0] + week, row.was[1] + week) for row in moved)
    assert moves.ends_on == moves.ended_on + week
    assert [row.was for row in shortens.rows if row.now is None] == [moved[0].was]
    assert not any(row.moves for row in shortens.rows if row.was and row.now)
    assert shortens.ends_on == shortens.ended_on


def test_after_ten_days_the_free_days_until_the_next_session_are_said(cleo, block, today):
    rest = page_for(cleo, today, days="10").preview.rest

    assert rest.returns_on == date(2026, 3, 30)
    assert "4 days without a session" in rest.sentences[0]


# From the review and back


def test_from_the_review_it_is_one_act_and_the_review_goes_on_at_the_same_client(
    ana, cleo, block, today
):
    browser, week = signed_in(ana), "2026-03-02"
    page = browser.get(address(cleo), {"week": week}).context["page"]

    answer = browser.post(address(cleo, "apply-deload"), page.form.sent, follow=True)

    where = f"{reverse('sessions:review-client', args=[cleo.pk])}?week={week}"
    decision = Decision.objects.get()
    assert answer.redirect_chain == [(where, 302)]
    assert "light week from 16 Mar to 22 Mar is in the plan" in answer.content.decode()
    browser.post(reverse("sessions:undo-decisions"), {"decision": decision.pk, "week": week})
    assert live_light_week(cleo, today) is None


# Taking it back


@pytest.mark.parametrize("place", ["before", "in-place"])
@pytest.mark.parametrize("days", ["5", "7", "10"])
def test_undo_gives_back_the_very_plan(ana, cleo, block, place, days):
    before = snapshot_of(block)
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"), {"place": place, "days": days})
    assert snapshot_of(block) != before

    answer = browser.post(address(cleo, "undo-deload"))

    assert answer.status_code == 302
    assert snapshot_of(block) == before
    assert Decision.objects.get().undone_at is not None


def test_after_undo_a_light_week_can_be_put_in_again(ana, cleo, block, today):
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"))
    browser.post(address(cleo, "undo-deload"))

    browser.post(address(cleo, "apply-deload"), {"share": "50"})

    found = live_light_week(cleo, today)
    assert found is not None
    assert found.proposal["share"] == pytest.approx(0.50, abs=0.05)


def test_undo_leaves_what_was_changed_elsewhere_since(ana, cleo, block, today):
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"))
    last = PlannedSession.objects.filter(week__block=block).order_by("-on")[0]
    editor = Editor(block, today, ana)
    editor.act(act="rename-session", session=str(last.uid), name="Renamed since", reach="week")
    editor.publish()

    page = browser.get(address(cleo)).content.decode()
    browser.post(address(cleo, "undo-deload"))

    assert address(cleo, "undo-deload") in page
    assert Decision.objects.get().undone_at is not None
    names = PlannedSession.objects.filter(week__block=block).values_list("name", flat=True)
    assert list(names).count("Renamed since") == 1


def test_undo_without_a_light_week_says_so(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "undo-deload"), follow=True)

    assert "no light week to take back" in answer.content.decode()
    assert block.versions.count() == 1
