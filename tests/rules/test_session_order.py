"""Is a session built the way the trade builds it (common practice, no source)?"""

from typing import Any

import pytest

from coaching.rules.findings import FindingKind
from coaching.rules.plan import Chain, LoadKind, Part, Pattern, Plane
from coaching.rules.session_order import (
    BALANCE_RULE,
    CHAIN_RULE,
    COMPOUND_RULE,
    COORDINATION_RULE,
    PAIR_RULE,
    PARTS_RULE,
    findings_for,
)
from coaching.rules.sources import SOURCES
from tests.rules.examples import make_exercise, make_prescription, make_pull_up, make_session

OPEN: dict[str, Any] = {"chain": Chain.OPEN, "load_kind": LoadKind.EXTERNAL}
SINGLE: dict[str, Any] = {"multi_joint": False, "complexity": 1, "plane": Plane.NONE, **OPEN}

dip = make_exercise("dip", plane=Plane.VERTICAL, complexity=3)
pull_up = make_pull_up(complexity=3)
push_up = make_exercise("push-up")
row = make_exercise("row", Pattern.PULL)
press = make_exercise("dumbbell-press", **OPEN)
fly = make_exercise("fly", **SINGLE)
curl = make_exercise("curl", Pattern.PULL, **SINGLE)
rotation = make_exercise("rotation", Pattern.PREHAB, **SINGLE)


def both(part, *exercises, sets=3):
    return tuple(make_prescription(one, (8,) * sets, part=part) for one in exercises)


def rules_of(*pairs):
    return [one.rule for one in findings_for(make_session(*pairs))]


PRIMARY = both(Part.PRIMARY, dip, pull_up, sets=5)
SUPPLEMENTARY = both(Part.SUPPLEMENTARY, push_up, row)
ISOLATION = both(Part.ISOLATION, fly, curl)
PREHAB = both(Part.PREHAB, rotation, sets=4)


def test_a_session_built_by_the_trade_has_no_finding():
    assert rules_of(PRIMARY, SUPPLEMENTARY, ISOLATION, PREHAB) == []


@pytest.mark.parametrize(
    ("pairs", "rule"),
    [
        ((SUPPLEMENTARY, PRIMARY), PARTS_RULE),
        ((PREHAB, PRIMARY), PARTS_RULE),
        ((both(Part.PRIMARY, fly, row), both(Part.PRIMARY, push_up, pull_up)), COMPOUND_RULE),
        ((both(Part.PRIMARY, press, row), both(Part.PRIMARY, push_up, row)), CHAIN_RULE),
        ((both(Part.PRIMARY, push_up, row), both(Part.PRIMARY, dip, pull_up)), COORDINATION_RULE),
        ((both(Part.PRIMARY, push_up, pull_up),), PAIR_RULE),
        ((both(Part.PRIMARY, push_up, dip), both(Part.PRIMARY, row, pull_up)), PAIR_RULE),
        ((both(Part.PRIMARY, push_up),), BALANCE_RULE),
    ],
)
def test_what_is_built_otherwise_is_told_with_its_rule(pairs, rule):
    assert rule in rules_of(*pairs)


def test_prehab_before_the_primary_pair_is_named_with_both():
    (found,) = findings_for(make_session(PREHAB, PRIMARY))

    assert found.kind is FindingKind.SESSION_ORDER
    assert found.sentence == (
        "A: Rotation (prehab) comes before B: Dip and Pull up (primary): primary work is done first."
    )
    assert SOURCES[found.source_key].key == "common-practice"


def test_more_pushing_than_pulling_is_told_in_sets():
    lone = make_prescription(push_up, (8, 8), part=Part.SUPPLEMENTARY)

    (found,) = findings_for(make_session(PRIMARY, lone))

    assert found.sentence == "The session has more pushing than pulling: 7 push sets, 5 pull sets."


def test_a_push_and_a_pull_as_straight_sets_are_in_balance():
    push, pull = both(Part.PRIMARY, push_up, row, sets=8)

    assert rules_of(push, pull) == []


def test_legs_and_core_are_paired_freely():
    squat = make_exercise("squat", Pattern.LEGS, plane=Plane.NONE)
    plank = make_exercise("plank", Pattern.CORE, plane=Plane.NONE)

    assert rules_of(both(Part.PRIMARY, squat, plank)) == []


def test_a_session_without_an_exercise_is_told():
    (found,) = findings_for(make_session(name="Upper A"))

    assert found.sentence == "Upper A holds no exercise: add some, or take the session out."
