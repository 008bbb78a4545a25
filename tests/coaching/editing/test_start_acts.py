"""A draft that lay too long: it starts later, and nothing that nobody saw counts as missed."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.start_acts import late_sessions, later_start
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockTemplate, PlannedSession
from coaching.blocks.services import create_block_from_template
from tests.coaching.editing.plans import block, setting
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor
from tests.rules.examples import MONDAY


def start_later(plan, today=MONDAY, *, is_seen=False):
    return apply_act(plan, {"act": "start-later"}, setting(today, is_seen=is_seen))


def first_day(plan):
    """How many days after Monday the plan's first session is."""
    return (date.fromisoformat(min(days_of(plan))) - MONDAY).days


def days_of(plan):
    return [one["on"] for week in plan["weeks"] for one in week["sessions"]]


@pytest.mark.parametrize("days", [1, 6, 7, 8, 30])
def test_all_sessions_move_by_whole_weeks_just_past_today(days):
    today = MONDAY + timedelta(days=days)
    plan = block()

    done = start_later(plan, today).snapshot

    first = min(days_of(done))
    assert late_sessions(done, today) == 0
    assert first < (today + timedelta(weeks=1)).isoformat()
    assert done["weeks"][0]["starts_on"] == later_start(plan, today).isoformat()
    moved_by = {
        date.fromisoformat(now) - date.fromisoformat(was)
        for was, now in zip(days_of(plan), days_of(done), strict=True)
    }
    assert moved_by == {timedelta(weeks=-(-(days - first_day(plan)) // 7))}
    assert len(done["weeks"]) == len(plan["weeks"])


def test_what_the_client_sees_and_what_is_not_late_stays():
    with pytest.raises(BlockError, match="The client sees this block"):
        start_later(block(), MONDAY + timedelta(days=9), is_seen=True)
    with pytest.raises(BlockError, match="No session lies before today"):
        start_later(block())


@pytest.mark.django_db
def test_a_draft_published_late_is_refused_until_it_starts_later(cleo, ana, today):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    start = today - timedelta(days=15)
    made = create_block_from_template(client=cleo, template=template, starts_on=start, by=ana)
    editor = Editor(made, today, ana)
    page = signed_in(ana).get(reverse("blocks:block", args=[made.pk])).content.decode()

    with pytest.raises(BlockError, match="before today, and nobody has seen this block"):
        editor.publish()
    editor.act(act="start-later")
    editor.publish()

    assert 'value="start-later"' in page
    assert not PlannedSession.objects.filter(week__block=made, on__lt=today).exists()
    assert made.weeks.count() == 5


@pytest.mark.django_db
def test_undo_takes_the_later_start_back(cleo, ana, today):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    start = today - timedelta(days=15)
    made = create_block_from_template(client=cleo, template=template, starts_on=start, by=ana)
    editor = Editor(made, today, ana)
    before = editor.draft.snapshot

    editor.act(act="start-later")
    editor.undo()

    assert editor.draft.snapshot == before


@pytest.mark.django_db
def test_a_published_block_with_days_behind_it_is_published_as_ever(cleo, ana, today):
    running = published_block(cleo, today - timedelta(days=today.weekday() + 14))
    editor = Editor(running, today, ana)

    editor.change(targets="4-4")

    assert editor.publish().number == 2
