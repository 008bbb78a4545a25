"""What may stand in for an exercise: in the order of the next block, with what tells one from another."""

from datetime import timedelta

import pytest
from django.template.loader import render_to_string

from clients.models import Equipment
from coaching.blocks.models import Prescription
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.rules.next_block_likeness import ranked
from coaching.rules.plan import EquipmentKind
from sessions.next_block_reading import last_plan, read_next
from tests.coaching.joint_limits.limited import facts_of
from tests.factories.blocks import published_block
from tests.factories.written_blocks import written_block

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, today):
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)
    return published_block(cleo, today, "beginner-full-body")


def panels(block, coach, today):
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)[:8]
    facts = facts_of(block, coach, today)
    return [(row, swap_panel(facts, str(row.uid), 1)) for row in rows]


def test_the_first_that_is_no_rung_above_is_the_first_of_the_next_block_too(
    ana, cleo, block, today
):
    last = last_plan(cleo)
    assert last is not None
    lines = read_next(cleo, last, today, today, weeks=1).lines.values()
    first = {line.exercise.name: ranked(line)[0].exercise.name for line in lines if line.others}

    agreed = [
        (panel.name, next(one.name for one in panel.swaps if one.word != "progress"))
        for _row, panel in panels(block, ana, today)
        if panel.name in first and any(one.word != "progress" for one in panel.swaps)
    ]

    assert agreed
    assert agreed == [(name, first[name]) for name, _given in agreed]


def test_each_says_how_hard_it_is_and_with_which_load_it_comes_in(ana, block, today):
    choices = [one for _row, panel in panels(block, ana, today) for one in panel.swaps]

    assert {one.hard for one in choices} == {"easier", "as hard", "harder"}
    assert "load to choose" in {one.load for one in choices}
    assert all(one.load for one in choices)
    assert all("×" in one.targets or "-" in one.targets for one in choices)


def test_a_rung_up_is_harder_and_a_rung_down_easier_whatever_is_carried(ana, block, today):
    rows = list(Prescription.objects.filter(pair__planned_session__week__block=block)[:8])
    Prescription.objects.filter(pk__in=[row.pk for row in rows]).update(load_kg=5)

    choices = [one for _row, panel in panels(block, ana, today) for one in panel.swaps]

    assert {one.hard for one in choices if one.word == "progress"} == {"harder"}
    assert {one.hard for one in choices if one.word == "regress"} <= {"easier"}


def test_what_most_of_them_do_to_the_week_is_told_once(ana, block, today):
    shared = [panel for _row, panel in panels(block, ana, today) if panel.usual_effect]

    assert shared
    for panel in shared:
        assert panel.usual_effect not in [one.effect for one in panel.swaps]
        assert sum(not one.effect for one in panel.swaps) > 1


def test_a_jump_is_left_out_and_says_so(ana, cleo, block, today):
    block = written_block(
        cleo, today + timedelta(days=90), [{"A": [("primary", "Squat", (8,), 0)]}]
    )
    squat = Prescription.objects.get(pair__planned_session__week__block=block)

    panel = swap_panel(facts_of(block, ana, today), str(squat.uid), 1)

    assert "Jump squat" not in {one.name for one in panel.swaps}
    assert "Jump squat (a jump)" in panel.left_out
    shown = render_to_string(panel.template, {"panel": panel})
    assert f"Not offered in its place: {panel.left_out}. Add it" in shown
