"""A limit that comes after the block: what is named, replaced, left out and regressed."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import end_joint_limit
from coaching.blocks.editing.draft_services import draft_of, publish_changes
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_services import put_in_place
from coaching.blocks.models import (
    BlockTemplate,
    JointLimitOverride,
    PlannedSession,
    Prescription,
    Week,
)
from coaching.blocks.pages_limits import limited_in_plan
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from tests.coaching.joint_limits.limited import (
    GRIP,
    PART,
    TEMPLATE,
    WRIST,
    avoid,
    loading,
    page_of,
    regress,
    sparing,
    swaps_for,
)
from tests.conftest import signed_in
from tests.factories.edits import edited, swap_exercise

pytestmark = pytest.mark.django_db


def test_a_published_block_names_what_loads_a_new_limit_and_what_to_put_there(
    ana, cleo, block, day
):
    names = {row.exercise.name for row in loading(block, WRIST)}
    avoid(cleo, WRIST, day)

    page = page_of(block, ana, day)

    given = [one.replacement for one in page.avoided if one.replacement]
    assert {one.name for one in page.avoided} == names
    assert given
    assert all(f"does not load {WRIST}" in one.reason for one in given)
    rows = Exercise.objects.filter(pk__in=[one.pk for one in given])
    assert not any(WRIST in row.joint_stresses for row in rows)


def test_one_act_replaces_an_exercise_in_every_week_to_come_light_ones_too(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    found = limited_in_plan(cleo, ana, day, block=block)
    one, given = next((one, one.replacement) for one in found if one.replacement)
    url = reverse("blocks:replace-exercise", args=[block.pk, one.exercise_id])

    signed_in(ana).post(url, {"to": given.pk, "week": "1"}, headers=PART)
    publish_changes(block=block, by=ana, today=day)

    light = Week.objects.get(block=block, kind=WeekKind.DELOAD)
    planned = {line["exercise"] for _, line in lines_of(snapshot_of(block))}
    in_light = Prescription.objects.filter(pair__planned_session__week=light)
    assert one.exercise_id not in planned
    assert given.pk in set(in_light.values_list("exercise_id", flat=True))
    assert given.name in block.versions.order_by("-number")[0].what


def test_what_is_avoided_may_be_left_out_in_one_act(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    found = limited_in_plan(cleo, ana, day, block=block)
    one = found[0]
    before = len(list(lines_of(snapshot_of(block))))

    url = reverse("blocks:replace-exercise", args=[block.pk, one.exercise_id])
    answer = signed_in(ana).post(url, {"to": "nothing", "week": "1"}, headers=PART)

    left = [line["exercise"] for _, line in lines_of(draft_of(block, day).snapshot)]
    assert "removed from every session to come" in answer.text
    assert one.exercise_id not in left
    assert len(left) == before - one.sessions


def test_the_last_exercise_of_a_block_is_not_left_out(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    only = loading(block, WRIST)[0].exercise
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    rows.exclude(exercise=only).delete()

    with pytest.raises(BlockError, match="nothing is left to train"):
        put_in_place(block=block, exercise=only, to=None, today=day, by=ana)


def test_a_replacement_that_is_avoided_too_is_refused(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    first = loading(block, WRIST)[0].exercise
    other = next(
        row
        for row in Exercise.objects.filter(coach=None, equipment=[])
        if WRIST in row.joint_stresses and row != first
    )
    before = snapshot_of(block)

    url = reverse("blocks:replace-exercise", args=[block.pk, first.pk])
    answer = signed_in(ana).post(url, {"to": other.pk, "week": "1"}, headers=PART)

    assert "override the limit by name" in answer.text
    assert snapshot_of(block) == before


@pytest.mark.parametrize("sent", ["", "999999", "abc", "-1"])
def test_a_replacement_that_is_none_changes_nothing(ana, cleo, block, day, sent):
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)
    row = loading(block, WRIST)[0]

    url = reverse("blocks:replace-exercise", args=[block.pk, row.exercise_id])
    answer = signed_in(ana).post(url, {"to": sent, "week": "1"}, headers=PART)

    assert "nothing was changed" in answer.text
    assert snapshot_of(block) == before


def test_a_limit_that_ended_counts_nowhere(ana, cleo, block, day):
    limit = avoid(cleo, WRIST, day - timedelta(days=30))
    end_joint_limit(limit=limit, on=day)
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise

    swap_exercise(prescription=row, to=other, onward=False, today=day, by=ana)

    page = page_of(block, ana, day)
    assert page.limited == ()
    assert not JointLimitOverride.objects.exists()


def test_a_session_that_is_begun_is_left_alone_and_not_asked_about(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    PlannedSession.objects.filter(week__block=block).update(started_at=timezone.now())

    assert limited_in_plan(cleo, ana, day, block=block) == ()


def test_what_is_regressed_offers_what_spares_it_first_with_the_word_and_the_reason(
    ana, cleo, block, day
):
    row = next(r for r in loading(block, WRIST) if r.exercise.key == "push-up")
    regress(cleo, WRIST, day)

    swaps = swaps_for(row, ana, day)

    rows = Exercise.objects.in_bulk([swap.pk for swap in swaps])
    loads = [WRIST in rows[swap.pk].joint_stresses for swap in swaps]
    assert (swaps[0].word, loads[0]) == ("regress", False)
    assert f"does not load {WRIST}" in swaps[0].reason
    assert (swaps[1].word, loads[1]) == ("regress", True)
    assert f"loads {WRIST} less" in swaps[1].reason
    assert swaps[-1].word == "progress"
    assert "which is regressed" in swaps[-1].reason


def test_a_template_is_regressed_to_what_spares_the_joint(ana, cleo, block, day, monday):
    regress(cleo, WRIST, day)
    template = BlockTemplate.objects.get(key=TEMPLATE)

    made = create_block_from_template(
        client=cleo, template=template, starts_on=monday, by=ana, adapt=True
    )

    changes = {one["asked"]: one for one in made.changes_from_template}
    assert changes["Push-up"]["given"] == "Wall push-up"
    assert changes["Push-up"]["why"] == f"regresses {WRIST}"


def test_what_is_regressed_stays_possible_with_the_finding(ana, cleo, block, day):
    regress(cleo, GRIP, day)
    row, other = sparing(block, GRIP), loading(block, GRIP)[0].exercise

    swap_exercise(prescription=row, to=other, onward=False, today=day, by=ana)

    page = page_of(block, ana, day)
    assert page.avoided == ()
    assert other.name in {one.name for one in page.regressed}
    assert any(
        "which this client regresses" in one.finding.sentence for one in page.effects.findings
    )


@pytest.mark.parametrize("headers", [PART, {}])
def test_the_page_says_what_stays_because_it_is_locked(ana, cleo, block, day, headers):
    avoid(cleo, WRIST, day)
    found = limited_in_plan(cleo, ana, day, block=block)
    one, given = next((one, one.replacement) for one in found if one.replacement)
    rows = [row for row in loading(block, WRIST) if row.exercise_id == one.exercise_id]
    edited(block, by=ana, today=day, act="lock", line=str(rows[0].uid), reach="week")
    url = reverse("blocks:replace-exercise", args=[block.pk, one.exercise_id])

    answer = signed_in(ana).post(url, {"to": given.pk, "week": "1"}, headers=headers, follow=True)

    left = {line["uid"] for _, line in lines_of(draft_of(block, day).snapshot)}
    assert str(rows[0].uid) in left
    assert "is locked; unlock it first." in answer.text
    assert "Locked in 1 of them" in answer.text
