"""Changing a block: versions, undo, light weeks, and a past that never moves."""

from datetime import timedelta
from itertools import pairwise

import pytest

from coaching.blocks.errors import BlockError
from coaching.blocks.models import PlannedSession, Prescription, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import block_value, week_value
from coaching.blocks.services import (
    change_targets,
    insert_light_week,
    undo_version,
)
from coaching.blocks.snapshots import lines_of
from coaching.blocks.target_changes import TargetChange
from coaching.rules.deload import light_week
from tests.factories.blocks import published_block
from tests.factories.edits import change_prescription

pytestmark = pytest.mark.django_db


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


@pytest.fixture
def block(cleo, monday):
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


def first_to_come(block, today):
    return (
        Prescription.objects.filter(pair__planned_session__week__block=block)
        .filter(pair__planned_session__on__gte=today, pair__planned_session__started_at=None)
        .order_by("pair__planned_session__on", "pair__position", "position")
        .select_related("pair__planned_session__week__block", "exercise")[0]
    )


def test_a_published_block_holds_its_first_version(block):
    assert block.versions.count() == 1
    assert block.versions.get().snapshot == snapshot_of(block)


def test_a_copied_block_has_a_light_deload_week(block):
    value = block_value(block)
    reps = [sum(p.reps for s in week.sessions for p in s.prescriptions) for week in value.weeks]

    assert value.weeks[-1].kind == "deload"
    assert reps[-1] / reps[-2] == pytest.approx(0.4, abs=0.05)


def test_next_targets_change_coming_sessions_only(block, today, ana):
    chosen = first_to_come(block, today)
    before = {ln["uid"]: ln["targets"] for _, ln in lines_of(snapshot_of(block))}
    change = TargetChange(chosen.exercise_id, chosen.pair.part, (9, 9), 5.0)

    change_targets(block=block, changes=[change], today=today, by=ana, what="step")

    after = snapshot_of(block)
    changed = [s["on"] for s, ln in lines_of(after) if ln["targets"] == [9, 9]]
    assert changed
    assert min(changed) >= today.isoformat()
    past = [ln for s, ln in lines_of(after) if s["on"] < today.isoformat()]
    assert all(ln["targets"] == before[ln["uid"]] for ln in past)


def test_a_changed_or_moved_session_keeps_its_row(block, today, monday, ana):
    chosen = first_to_come(block, today)
    rows = PlannedSession.objects.filter(week__block=block, on__gte=today)
    was = dict(rows.values_list("uid", "pk"))

    change_prescription(
        prescription=chosen, fields={"targets": [4, 4]}, onward=True, today=today, by=ana
    )
    usual, light = light_from(block, monday)
    insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)

    now = dict(rows.values_list("uid", "pk"))
    assert {uid: now[uid] for uid in was} == was
    assert Prescription.objects.get(uid=chosen.uid).targets == [4, 4]
    places = [(s.week_id, s.position) for s in rows]
    assert len(places) == len(set(places))


def test_undoing_a_change_gives_back_the_plan_before_it(block, today, ana):
    before = snapshot_of(block)
    chosen = first_to_come(block, today)
    version = change_prescription(
        prescription=chosen, fields={"targets": [3, 3]}, onward=True, today=today, by=ana
    )
    assert version is not None
    assert snapshot_of(block) != before

    undo_version(version=version, today=today, by=ana)

    assert snapshot_of(block) == before


def test_undoing_an_undo_brings_the_change_back(block, today, ana):
    chosen = first_to_come(block, today)
    version = change_prescription(
        prescription=chosen, fields={"rest_s": 30}, onward=False, today=today, by=ana
    )
    changed = snapshot_of(block)
    undone = undo_version(version=version, today=today, by=ana)

    undo_version(version=undone, today=today, by=ana)

    assert snapshot_of(block) == changed


def test_undo_goes_on_to_the_change_before(block, today, ana):
    before = snapshot_of(block)
    made = []
    for rir in (1, 3):
        chosen = first_to_come(block, today)
        made.append(
            change_prescription(
                prescription=chosen, fields={"rir": rir}, onward=False, today=today, by=ana
            )
        )
    first, second = made

    undo_version(version=second, today=today, by=ana)
    undo_version(version=first, today=today, by=ana)

    assert snapshot_of(block) == before
    with pytest.raises(BlockError, match="newest"):
        undo_version(version=second, today=today, by=ana)


def test_a_change_that_came_back_is_the_one_to_undo(block, today, ana):
    before = snapshot_of(block)
    chosen = first_to_come(block, today)
    version = change_prescription(
        prescription=chosen, fields={"rir": 1}, onward=False, today=today, by=ana
    )
    undone = undo_version(version=version, today=today, by=ana)
    back = undo_version(version=undone, today=today, by=ana)
    with pytest.raises(BlockError, match="newest"):
        undo_version(version=version, today=today, by=ana)

    undo_version(version=back, today=today, by=ana)

    assert snapshot_of(block) == before


def test_a_change_is_undone_while_later_ones_of_other_lines_stay(block, today, ana):
    rows = [
        p
        for p in Prescription.objects.filter(
            pair__planned_session__week__block=block
        ).select_related("pair__planned_session__week__block", "exercise")
        if p.pair.planned_session.on > today
    ][:2]
    before = snapshot_of(block)
    first, second = (
        change_prescription(prescription=one, fields={"rir": 4}, onward=False, today=today, by=ana)
        for one in rows
    )

    undo_version(version=first, today=today, by=ana)

    ask = {line["uid"]: line["rir"] for _session, line in lines_of(snapshot_of(block))}
    assert ask[str(rows[0].uid)] == rows[0].rir
    assert ask[str(rows[1].uid)] == 4
    undo_version(version=second, today=today, by=ana)
    assert snapshot_of(block) == before


def test_what_a_later_change_touches_too_is_not_undone_alone(block, today, ana):
    chosen = first_to_come(block, today)
    older = change_prescription(
        prescription=chosen, fields={"rir": 1}, onward=False, today=today, by=ana
    )
    chosen = first_to_come(block, today)
    change_prescription(prescription=chosen, fields={"rir": 3}, onward=False, today=today, by=ana)

    with pytest.raises(BlockError, match="newest"):
        undo_version(version=older, today=today, by=ana)


def light_from(block, monday):
    usual = Week.objects.get(block=block, starts_on=monday)
    return usual, light_week(week_value(usual), starts_on=monday + timedelta(days=7)).week


def test_a_light_week_moves_the_later_weeks_on(block, today, monday, ana):
    usual, light = light_from(block, monday)
    count = block.weeks.count()

    insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)

    weeks = list(block.weeks.order_by("number"))
    assert len(weeks) == count + 1
    assert [w.kind for w in weeks][:3] == ["build", "build", "deload"]
    starts = [w.starts_on for w in weeks]
    assert [later - earlier for earlier, later in pairwise(starts)] == [timedelta(days=7)] * (
        len(starts) - 1
    )


def test_undoing_a_light_week_restores_the_block(block, today, monday, ana):
    before = snapshot_of(block)
    usual, light = light_from(block, monday)
    version = insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)

    undo_version(version=version, today=today, by=ana)

    assert snapshot_of(block) == before
    assert [w.number for w in block.weeks.order_by("starts_on")] == list(
        range(1, len(before["weeks"]) + 1)
    )


def test_a_light_week_can_start_in_the_middle_of_a_week(block, today, monday, ana):
    usual, _ = light_from(block, monday)
    start = today + timedelta(days=1)
    light = light_week(week_value(usual), starts_on=start).week

    insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)

    sessions = PlannedSession.objects.filter(week__block=block, on__gte=start)
    first_seven = sessions.filter(on__lt=start + timedelta(days=7))
    assert {s.week.kind for s in first_seven} == {"deload"}
    later = sessions.filter(on__gte=start + timedelta(days=7)).order_by("on")
    assert later[0].week.kind == "build"


def test_a_light_week_does_not_push_aside_a_session_already_begun(block, today, monday, ana):
    usual, light = light_from(block, monday)
    begun = PlannedSession.objects.filter(week__block=block, on__gte=light.starts_on)[0]
    begun.started_at = "2026-03-11T10:00:00Z"
    begun.save()

    with pytest.raises(BlockError, match="already begun"):
        insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)


def test_a_session_begun_meanwhile_survives_an_undo(block, today, monday, ana):
    usual, light = light_from(block, monday)
    version = insert_light_week(block=block, usual=usual, light=light, today=today, by=ana)
    trained = PlannedSession.objects.filter(week__block=block, week__kind="deload").first()
    assert trained is not None
    trained.started_at = "2026-03-16T10:00:00Z"
    trained.save()

    undo_version(version=version, today=today, by=ana)

    assert PlannedSession.objects.filter(uid=trained.uid).exists()


def test_a_past_session_cannot_be_changed(block, today, ana):
    past = Prescription.objects.filter(
        pair__planned_session__week__block=block, pair__planned_session__on__lt=today
    ).select_related("pair__planned_session__week__block", "exercise")[0]

    with pytest.raises(BlockError, match="past"):
        change_prescription(
            prescription=past, fields={"targets": [5]}, onward=False, today=today, by=ana
        )


@pytest.mark.parametrize(
    ("fields", "word"),
    [({"targets": [1] * 13}, "Sets"), ({"targets": [0]}, "Targets"), ({"tempo": "fast"}, "Tempo")],
)
def test_a_value_no_session_can_hold_is_refused_by_name(block, today, ana, fields, word):
    with pytest.raises(BlockError, match=word):
        change_prescription(
            prescription=first_to_come(block, today),
            fields=fields,
            onward=False,
            today=today,
            by=ana,
        )


def test_reading_a_block_takes_the_same_queries_whatever_its_size(
    block, django_assert_max_num_queries
):
    with django_assert_max_num_queries(6):
        block_value(block)
