"""An edit on the block's page: what it answers, and how it is taken back."""

import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.messages import get_messages
from django.utils import timezone

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import BlockEdit, BlockTemplate, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from tests.coaching.block_page.acting import PART, act, change, lines, open_page, plan_of

pytestmark = pytest.mark.django_db


def test_an_edit_answers_with_what_changed_only(ana, block, line):
    answer = change(ana, block, line, targets="9-9-9-9-9")

    text = answer.text
    session = line.pair.planned_session
    others = {str(one.uid) for one in session.week.planned_sessions.all()} - {str(session.uid)}
    assert answer.status_code == 200
    assert f'id="session-{session.uid}"' in text
    assert not any(f'id="session-{uid}"' in text for uid in others)
    assert 'id="block-strip"' in text
    told = json.loads(answer.headers["HX-Trigger-After-Settle"])["block:edited"]
    assert told["focus"] == str(line.uid)
    assert "5 × 9" in told["says"]


def test_an_edit_sent_again_under_its_id_is_answered_and_done_once(ana, block, line):
    asked = {"targets": "9-9-9-9-9", "sent": f"{uuid4()}.1", "revision": 1}

    first, again = (change(ana, block, line, **asked) for _ in range(2))

    first_says, again_says = (
        json.loads(one.headers["HX-Trigger-After-Settle"])["block:edited"]["says"]
        for one in (first, again)
    )
    assert "5 × 9" in again_says
    assert again_says == first_says
    assert f'id="session-{line.pair.planned_session.uid}"' in again.text
    (edit,) = BlockEdit.objects.filter(draft__block=block)
    assert "sent" not in edit.act


def test_an_edit_is_seen_by_the_coach_and_not_by_the_client_before_it_is_published(
    ana, block, line
):
    before = snapshot_of(block)

    change(ana, block, line, targets="9-9-9-9-9")

    assert [9] * 5 in [one["targets"] for one in lines(block)]
    assert snapshot_of(block) == before
    page = open_page(ana, block).context["page"]
    assert page.unpublished == 1
    act(ana, block, "publish-block", headers={}, why="Stronger than thought.")
    assert [9] * 5 in [one["targets"] for _, one in lines_of(snapshot_of(block))]
    assert block.versions.order_by("-number")[0].why == "Stronger than thought."


@pytest.mark.parametrize(("ever", "said"), [(True, "sees it"), (False, "will see it once")])
def test_who_never_signed_in_is_not_said_to_see_the_plan(ana, block, line, ever, said):
    user = block.client.user
    user.last_login = timezone.now() if ever else None
    user.save()
    change(ana, block, line, targets="9-9-9-9-9")

    published = act(ana, block, "publish-block", headers={})

    answer = open_page(ana, block)
    assert [said in str(one) for one in get_messages(published.wsgi_request)] == [True]
    assert ("will see this plan once signed in" in answer.content.decode()) is not ever


def test_the_same_edit_works_as_a_plain_form(ana, block, line):
    answer = change(ana, block, line, targets="5 × 4", headers={})

    assert answer.status_code == 302
    assert answer.headers["Location"].endswith("?week=1#block-strip")
    assert [4] * 5 in [one["targets"] for one in lines(block)]


def test_this_week_only_leaves_the_other_weeks(ana, block, line):
    change(ana, block, line, targets="11-3", reach="week")

    changed = [s["on"] for s, one in lines_of(plan_of(block)) if one["targets"] == [11, 3]]
    assert changed == [line.pair.planned_session.on.isoformat()]


@pytest.mark.parametrize(
    ("field", "typed", "word"),
    [("targets", "many", "many"), ("tempo", "slow", "Tempo"), ("rest_s", "-5", "Rest")],
)
@pytest.mark.parametrize("headers", [PART, {}])
def test_a_bad_value_is_named_in_its_place_and_nothing_changes(
    ana, block, line, field, typed, word, headers
):
    before = plan_of(block)

    answer = change(ana, block, line, panel="line", headers=headers, **{field: typed})

    assert answer.status_code == 422
    assert word in answer.text
    assert typed in answer.text
    assert f'name="{field}"' in answer.text
    assert plan_of(block) == before


def test_an_act_by_one_key_that_cannot_be_done_is_told_in_words(ana, block, line):
    answer = change(ana, block, line, targets="99-0")

    assert answer.status_code == 422
    assert 'class="message is-error"' in answer.text


def test_an_act_that_nobody_knows_is_refused(ana, block):
    assert act(ana, block, act="conjure").status_code == 422


@pytest.mark.parametrize("revision", ["", "-1", "x", "99999999999"])
def test_an_act_on_no_revision_is_refused(ana, block, line, revision):
    before = plan_of(block)

    answer = change(ana, block, line, targets="3-3", revision=revision)

    assert answer.status_code == 422
    assert plan_of(block) == before


def test_an_edit_of_another_window_is_never_overwritten(ana, block, line):
    old = draft_of(block, block.client.local_date(timezone.now())).revision
    change(ana, block, line, targets="9-9-9-9-9")

    answer = change(ana, block, line, targets="11-3", revision=old)

    assert answer.status_code == 422
    assert [9] * 5 in [one["targets"] for one in lines(block)]
    assert [11, 3] not in [one["targets"] for one in lines(block)]
    kept = answer.context["page"].draft.kept
    assert ["11-3" in one.what for one in kept] == [True]
    assert answer.headers["HX-Retarget"] == "#block-workspace"


def test_undo_and_redo_go_back_and_forth(ana, block, line):
    before = plan_of(block)
    change(ana, block, line, targets="2-2")
    after = plan_of(block)

    act(ana, block, "undo-edit")
    assert plan_of(block) == before
    act(ana, block, "redo-edit")
    assert plan_of(block) == after


def test_an_edit_of_a_draft_can_be_undone_too(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    starts_on = today + timedelta(days=1)
    draft = create_block_from_template(client=cleo, template=template, starts_on=starts_on, by=ana)
    before = plan_of(draft)
    first = Prescription.objects.filter(pair__planned_session__week__block=draft).order_by("pk")[0]
    change(ana, draft, first, targets="2-2")
    assert plan_of(draft) != before

    act(ana, draft, "undo-edit")

    assert plan_of(draft) == before


def test_a_change_of_the_weeks_answers_with_the_whole_workspace(ana, block):
    weeks = snapshot_of(block)["weeks"]

    answer = act(ana, block, act="remove-week", week=weeks[1]["starts_on"])

    assert answer.headers["HX-Retarget"] == "#block-workspace"
    assert len(answer.context["page"].tabs) == len(weeks) - 1


def test_a_move_within_the_session_keeps_the_focus_on_what_was_moved(ana, block, line):
    answer = act(ana, block, act="order-pair", line=line.uid, by="1", reach="week")

    told = json.loads(answer.headers["HX-Trigger-After-Settle"])["block:edited"]
    assert told["focus"] == str(line.uid)
    rows = answer.context["page"].sessions[0].rows
    assert str(line.uid) in {one.uid for one in rows[1].lines}


def test_unpublished_changes_are_let_go_in_one_act_that_can_be_undone(ana, block, line):
    before = plan_of(block)
    change(ana, block, line, targets="9-9")
    changed = plan_of(block)

    act(ana, block, "discard-changes")
    assert plan_of(block) == before
    act(ana, block, "undo-edit")
    assert plan_of(block) == changed


def test_a_swap_for_one_week_is_named_once_in_the_row_of_the_other_weeks(ana, block, line):
    other = Exercise.objects.filter(coach=None, equipment=[]).exclude(pk=line.exercise_id)[0]
    act(ana, block, act="swap-line", line=line.uid, exercise=other.pk)

    there = open_page(ana, block, "?week=2").text
    here = open_page(ana, block, "?week=1").text

    assert there.count(f'<span class="strip-other">{other.name}</span>') == 1
    # Week 1 has the other one; the weeks after it are one run of what stood there.
    assert here.count(f'<span class="strip-other">{line.exercise.name}</span>') == 1
    assert here.count(f'<span class="visually-hidden">{line.exercise.name}, </span>') == 3
