"""What is found in a plan before it is a draft is what the draft's own page tells."""

from dataclasses import replace

import pytest

from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.pages_template_look import found_in_plan
from coaching.blocks.plan_figures import plan_figures
from coaching.rules.joint_limits import Joints
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, LoadKind
from tests.coaching.editing.plans import EXERCISES, PRESS, act, block

pytestmark = pytest.mark.django_db

OWN = EXERCISES[PRESS]
NEEDS = replace(OWN, equipment=(EquipmentKind.DUMBBELLS,), load_kind=LoadKind.EXTERNAL)
WITH = {**EXERCISES, PRESS: NEEDS}
DUMBBELLS = EquipmentItem(EquipmentKind.DUMBBELLS, pieces=(5.0, 7.5, 10.0))


def found(client, load, equipment, last=None):
    plan = act(block(), "change-line", line="w1-press", load_kg=str(load)).snapshot
    return found_in_plan(plan_figures(plan, WITH), client, Joints(), equipment, last).must_see


def test_a_load_far_above_the_block_before_is_told_at_once(cleo):
    last = LastBlock("block 3", {}, frozenset({(OWN.key, 7.5)}))

    told = found(cleo, 75, (DUMBBELLS,), last)

    assert any(f"{OWN.name}: 75 kg is 10 times the 7.5 kg of block 3." in one for one in told)


def test_a_load_that_the_equipment_does_not_make_is_told_at_once(cleo):
    told = found(cleo, 8.3, (DUMBBELLS,))

    assert any(f"{OWN.name}: 8.3 kg cannot be made" in one for one in told)
    assert not any("cannot be made" in one for one in found(cleo, 10, (DUMBBELLS,)))


def test_equipment_that_is_not_there_is_told_at_once(cleo):
    told = found(cleo, 10, ())

    assert any("There are no dumbbells: 1 exercise needs them." in one for one in told)
