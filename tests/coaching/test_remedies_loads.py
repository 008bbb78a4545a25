"""What settles a load or an odd set: no other jump, no other week flattened, each session named."""

from copy import deepcopy
from dataclasses import replace

import pytest

from coaching.blocks.block_findings import findings_in, scene_of, sizes_of
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.errors import BlockError
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.planned_loads import KnownLoads
from coaching.blocks.remedies import remedied
from coaching.blocks.week_sizes import week_sizes
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.findings import FindingKind
from tests.coaching.editing.plans import EXERCISES, PRESS, act, block, line_of, setting
from tests.coaching.remedying import words
from tests.coaching.test_planned_loads import FACTS

KEY, NAME = EXERCISES[PRESS].key, EXERCISES[PRESS].name


def with_values(plan=None, **by_week):
    """A plan with other values of the press in some weeks: w2={"load_kg": "75"}."""
    plan = plan or block("build", "build", "build", "build")
    for week, values in by_week.items():
        plan = act(plan, "change-line", line=f"{week}-press", reach="week", **values).snapshot
    return plan


def told_in(plan, number, kind, facts=FACTS):
    weeks = plan_figures(plan, EXERCISES)
    scene = scene_of(weeks, weeks[number - 1], facts)
    found = remedied(scene, WholeBlock(weeks, facts, plan, EXERCISES)).findings
    return [one for one in found if one.finding.kind is kind]


def loads_of(plan):
    return [line_of(plan, f"w{n}-press")["load_kg"] for n in (1, 2, 3, 4)]


def test_of_two_loads_that_can_be_made_none_is_offered_that_jumps():
    known = KnownLoads(frozenset({(KEY, 12.0)}), "block 3", frozenset({(KEY, (8.0, 24.0))}))
    plan = with_values(**{f"w{n}": {"load_kg": "12"} for n in (1, 2, 3, 4)})

    (told,) = told_in(plan, 1, FindingKind.PLANNED_LOAD, replace(FACTS, loads=known))

    assert told.finding.sentence.endswith("8 kg or 24 kg can.")
    assert words(told) == [f"{NAME} with 8 kg"]


def test_as_in_week_1_leaves_what_a_later_week_was_given():
    plan = with_values(w2={"load_kg": "75"}, w3={"load_kg": "75"}, w4={"load_kg": "10"})

    (told,) = told_in(plan, 2, FindingKind.PLANNED_LOAD)
    (remedy,) = told.remedies

    assert remedy.words == f"{NAME} with 7.5 kg, as in week 1"
    done = apply_act(plan, remedy.act, setting())
    assert loads_of(done.snapshot) == [7.5, 7.5, 7.5, 10]
    assert done.what.endswith("from week 2 on where it was the same")


ODD = {"targets": "10-15-10"}


def test_an_odd_set_is_made_even_and_what_a_later_week_asks_for_stays():
    plan = with_values(w2=ODD, w3=ODD, w4={"targets": "12-12-12"})

    (told,) = told_in(plan, 2, FindingKind.REPETITIONS)
    (remedy,) = told.remedies
    after = apply_act(plan, remedy.act, setting()).snapshot

    asked = [line_of(after, f"w{n}-press")["targets"] for n in (1, 2, 3, 4)]
    assert asked == [[10] * 3, [10] * 3, [10] * 3, [12] * 3]


def twice():
    """The press with the same odd set in both sessions of each week."""
    plan = block("build", "build")
    for week in plan["weeks"]:
        first, second = week["sessions"]
        (pressed,) = (pair for pair in first["pairs"] if pair["letter"] == "B")
        for one in pressed["lines"]:
            one["targets"] = [10, 15, 10]
        copied = deepcopy(pressed["lines"])
        for one in copied:
            one["uid"] += "-again"
        second["pairs"].append({**pressed, "letter": "C", "lines": copied})
    return plan


def test_an_odd_set_in_two_sessions_is_one_finding_with_a_button_for_each():
    plan = twice()

    told = [one for one in told_in(plan, 1, FindingKind.REPETITIONS) if one.finding.exercise == KEY]

    assert [one.sessions for one in told] == [("Upper A", "Upper B")]
    assert words(told[0]) == [f"{NAME} 3 × 10, Upper A", f"{NAME} 3 × 10, Upper B"]


def test_an_odd_set_in_two_sessions_is_counted_as_it_is_told():
    weeks = plan_figures(twice(), EXERCISES)
    scene = scene_of(weeks, weeks[0], FACTS)
    quick = week_sizes(scene, {"w1-a", "w1-b"}, counts=False)

    found = sizes_of(
        one for one in findings_in(scene) if one.finding.kind is FindingKind.REPETITIONS
    )

    assert {k: v for k, v in quick.items() if k.kind is FindingKind.REPETITIONS} == found


@pytest.mark.parametrize("name", ["nudge-line", "swap-line", "shorten-session"])
def test_alike_is_a_reach_of_values_alone(name):
    given = {"line": "w1-press", "session": "w1-a", "field": "sets", "by": "1", "exercise": "6"}

    with pytest.raises(BlockError, match="neither this week only"):
        act(block(), name, **given, reach="alike")
