"""Wherever a plan can change, nothing that loads what the client must avoid comes in unasked."""

import pytest
from django.urls import reverse

from coaching.blocks.editing.draft_services import draft_of, publish_changes, undo_edit
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockTemplate, JointLimitOverride, Week
from coaching.blocks.pages_limits import limited_in_plan
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import week_value
from coaching.blocks.services import (
    change_targets,
    create_block_from_template,
    insert_light_week,
    undo_version,
)
from coaching.blocks.target_changes import TargetChange
from coaching.library.models import Exercise
from coaching.rules.deload import light_week
from coaching.rules.plan import WeekKind
from tests.coaching.joint_limits.limited import (
    GRIP,
    TEMPLATE,
    WRIST,
    avoid,
    loading,
    page_of,
    sparing,
    stresses_in,
    swaps_for,
)
from tests.conftest import signed_in
from tests.factories.edits import edited, swap_exercise

pytestmark = pytest.mark.django_db


def test_a_new_block_holds_nothing_that_is_avoided_in_any_of_its_weeks(ana, cleo, day, monday):
    avoid(cleo, WRIST, day)

    for template in BlockTemplate.objects.filter(coach=None):
        made = create_block_from_template(
            client=cleo, template=template, starts_on=monday, by=ana, adapt=True
        )
        assert WRIST not in stresses_in(made, day), template.key


def test_the_swap_list_offers_nothing_that_is_avoided(ana, cleo, block, day):
    rows = [sparing(block, WRIST), loading(block, WRIST)[0]]
    avoid(cleo, WRIST, day)

    offered = {swap.pk for row in rows for swap in swaps_for(row, ana, day)}

    assert offered
    assert not any(WRIST in row.joint_stresses for row in Exercise.objects.filter(pk__in=offered))


def test_a_swap_to_what_is_avoided_is_refused_without_a_reason(ana, cleo, block, day):
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match="override the limit by name"):
        swap_exercise(prescription=row, to=other, onward=True, today=day, by=ana)

    assert snapshot_of(block) == before
    assert not JointLimitOverride.objects.exists()


def test_next_targets_never_step_onto_what_is_avoided(ana, cleo, block, day):
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)
    change = TargetChange(row.exercise_id, row.pair.part, (5, 5, 5), 0.0, swap_to=other.pk)

    with pytest.raises(BlockError, match=WRIST):
        change_targets(block=block, changes=[change], today=day, by=ana, what="step")

    assert snapshot_of(block) == before


def test_an_undo_brings_nothing_back_that_is_avoided_by_now(ana, cleo, block, day):
    row = loading(block, WRIST)[0]
    version = swap_exercise(
        prescription=row, to=sparing(block, WRIST).exercise, onward=True, today=day, by=ana
    )
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match=f"{row.exercise.name} loads {WRIST}"):
        undo_version(version=version, today=day, by=ana)

    assert snapshot_of(block) == before
    undo_edit(block=block, revision=draft_of(block, day).revision, today=day, by=ana)
    with pytest.raises(BlockError, match="override the limit by name"):
        publish_changes(block=block, by=ana, today=day)
    assert snapshot_of(block) == before


def test_an_undo_that_brings_back_something_else_goes_on(ana, cleo, block, day):
    before = snapshot_of(block)
    row, other = loading(block, GRIP)[0], sparing(block, GRIP).exercise
    version = swap_exercise(prescription=row, to=other, onward=True, today=day, by=ana)
    avoid(cleo, WRIST, day)

    undo_version(version=version, today=day, by=ana)

    assert snapshot_of(block) == before


def test_a_draft_that_a_later_limit_forbids_is_not_published(ana, cleo, day, monday):
    template = BlockTemplate.objects.get(key=TEMPLATE)
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)
    avoid(cleo, WRIST, day)

    answer = signed_in(ana).post(
        reverse("blocks:publish-block", args=[draft.pk]), {"revision": "0"}, follow=True
    )

    draft.refresh_from_db()
    assert draft.published_at is None
    assert "which Cleo Brandt avoids" in answer.text
    assert answer.context["page"].avoided


def test_a_draft_is_published_once_everything_avoided_is_replaced(ana, cleo, day, monday):
    template = BlockTemplate.objects.get(key=TEMPLATE)
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)
    avoid(cleo, WRIST, day)

    for one in limited_in_plan(cleo, ana, day, block=draft):
        url = reverse("blocks:replace-exercise", args=[draft.pk, one.exercise_id])
        to = one.replacement.pk if one.replacement else "nothing"
        signed_in(ana).post(url, {"to": to, "week": "1"})
    publish_changes(block=draft, by=ana, today=day)

    assert WRIST not in stresses_in(draft, day)


def test_a_light_week_copies_nothing_that_is_avoided(ana, cleo, block, day):
    usual = Week.objects.filter(block=block, kind=WeekKind.BUILD).order_by("number")[1]
    light = light_week(week_value(usual), starts_on=usual.starts_on).week
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match=WRIST):
        insert_light_week(block=block, usual=usual, light=light, today=day, by=ana)

    assert snapshot_of(block) == before


def test_what_is_planned_already_can_still_be_changed_and_stays_flagged(ana, cleo, block, day):
    row = loading(block, WRIST)[0]
    avoid(cleo, WRIST, day)

    edited(block, by=ana, today=day, act="change-line", line=str(row.uid), targets="3-3")

    assert row.exercise.name in {one.name for one in page_of(block, ana, day).avoided}
