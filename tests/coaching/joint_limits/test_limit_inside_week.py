"""A limit that begins or ends inside a week or a block: the panel and what it offers go by each day."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest

from coaching.blocks.block_findings import ClientFacts, findings_in, scene_of, sizes_of
from coaching.blocks.editing.acts import apply_act, exercises_needed
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.remedies import remedied
from coaching.blocks.snapshots import lines_of, locked_in
from coaching.blocks.week_sizes import week_sizes
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import JointStress, Level
from tests.coaching.editing.drawn_plans import drawn_plan, drawn_setting
from tests.coaching.editing.plans import (
    EXERCISES,
    PUSH_UP,
    ROW,
    line,
    pair,
)
from tests.coaching.effecting import FACTS, session, week
from tests.coaching.shelves import shelf_with
from tests.rules.examples import MONDAY, day, make_exercise

WRIST, GRIP = JointStress.WRIST_EXTENSION, JointStress.GRIP
WEDNESDAY, THURSDAY = day(2), day(3)


def avoid(stress=WRIST, **more):
    return JointLimit(stress, LimitAction.AVOID, **{"key": 1, **more})


def joint_findings(*limits, facts=FACTS, sessions=(0, 3)):
    weeks = [week(1, *(session(at) for at in sessions))]
    scene = scene_of(weeks, weeks[0], replace(facts, joints=Joints(limits)))
    found = [one for one in findings_in(scene) if one.finding.kind is FindingKind.JOINT_LIMIT]
    return scene, found


@pytest.mark.parametrize(
    ("held", "told"),
    [
        ({"since": WEDNESDAY}, ("s3",)),
        ({"until": WEDNESDAY}, ("s0",)),
        ({"since": day(1), "until": THURSDAY}, ()),
        ({"since": MONDAY, "until": day(1)}, ("s0",)),
        ({}, ("s0", "s3")),
    ],
)
def test_a_limit_is_told_for_the_sessions_of_its_own_days(held, told):
    scene, found = joint_findings(avoid(**held))

    assert tuple(key for one in found for key in one.keys) == told
    sizes = week_sizes(scene, {"s0", "s3"}, counts=False)
    assert {one.session for one in sizes if one.kind is FindingKind.JOINT_LIMIT} == set(told)


def test_what_was_past_and_what_is_over_counts_as_of_today():
    later = replace(FACTS, today=WEDNESDAY)

    _, found = joint_findings(avoid(until=WEDNESDAY), facts=later)

    assert found == []


PUSH = make_exercise(joint_stresses=[WRIST])
FLOOR, BENCH = 20, 21
KNOWN = {
    **EXERCISES,
    PUSH_UP: PUSH,
    FLOOR: make_exercise("floor-press", joint_stresses=[GRIP]),
    BENCH: make_exercise("rack-press", complexity=9),
}


def block_of(*names):
    """A session each Monday of push-ups and rows."""
    weeks = []
    for n, _ in enumerate(names):
        on = MONDAY + timedelta(weeks=n)
        both = pair("A", "primary", line(f"{n}-p", PUSH_UP, [6] * 4), line(f"{n}-r", ROW, [6] * 4))
        one = {"uid": f"{n}-s", "name": "Full", "on": on.isoformat(), "pairs": [both]}
        weeks.append({"starts_on": on.isoformat(), "kind": "build", "sessions": [one]})
    return {"weeks": weeks}


def remedies_of(plan, facts, shelf, number=1, known=KNOWN):
    weeks = plan_figures(plan, known)
    whole = WholeBlock(weeks, facts, plan, known, shelf=shelf)
    here = remedied(scene_of(weeks, weeks[number - 1], facts), whole)
    return [(one.finding, way) for one in (*here.findings, *here.volume) for way in one.remedies]


def swaps_offered(shelf, *limits):
    facts = replace(FACTS, joints=Joints(limits))
    told = remedies_of(block_of("1", "2", "3"), facts, shelf)
    return [way for finding, way in told if finding.kind is FindingKind.JOINT_LIMIT]


def test_what_is_forbidden_later_is_offered_for_this_week_and_after_what_may_stay():
    limits = avoid(), avoid(GRIP, since=day(7), key=2)

    first, second = swaps_offered(shelf_with({FLOOR: KNOWN[FLOOR], BENCH: KNOWN[BENCH]}), *limits)

    assert (first.words.partition(",")[0], first.act["reach"]) == (
        "Rack press instead of Push up",
        "onward",
    )
    assert second.words.startswith("Floor press instead of Push up, this week only")
    assert second.act["reach"] == "week"


def twice_a_week():
    """Push-ups and rows in two sessions of each week."""
    plan = block_of("1", "2", "3")
    for n, held in enumerate(plan["weeks"]):
        on = (MONDAY + timedelta(weeks=n, days=3)).isoformat()
        both = pair("A", "primary", line(f"{n}-q", PUSH_UP, [6] * 4), line(f"{n}-t", ROW, [6] * 4))
        held["sessions"].append({"uid": f"{n}-u", "name": "Upper", "on": on, "pairs": [both]})
    return plan


def test_what_may_come_in_for_single_sessions_alone_is_offered_for_each_by_its_name():
    limits = avoid(), avoid(GRIP, since=day(7), key=2)
    facts = replace(FACTS, joints=Joints(limits))

    told = remedies_of(twice_a_week(), facts, shelf_with({PUSH_UP: PUSH, FLOOR: KNOWN[FLOOR]}))
    swaps = [way for finding, way in told if finding.kind is FindingKind.JOINT_LIMIT]

    assert [way.words.partition(",")[0] for way in swaps] == [
        "Floor press instead of Push up in Full",
        "Floor press instead of Push up in Upper",
    ]
    assert {way.act["reach"] for way in swaps} == {"week"}


def test_what_the_library_lacks_is_swapped_session_by_session_too():
    facts = replace(FACTS, joints=Joints((avoid(),)))

    told = remedies_of(twice_a_week(), facts, shelf_with({BENCH: KNOWN[BENCH]}))
    swaps = [way for finding, way in told if finding.kind is FindingKind.JOINT_LIMIT]

    assert [way.words.partition(",")[0] for way in swaps] == [
        "Rack press instead of Push up in Full",
        "Rack press instead of Push up in Upper",
    ]


def test_nothing_is_offered_that_is_forbidden_on_the_day_itself():
    limits = avoid(), avoid(GRIP, until=day(1), key=2)

    assert swaps_offered(shelf_with({FLOOR: KNOWN[FLOOR]}), *limits) == []


THREE = (JointStress.SHOULDER_OVERHEAD, JointStress.WRIST_EXTENSION, JointStress.KNEE_IMPACT)
LOADED = {row: replace(one, joint_stresses=(THREE[row % 3],)) for row, one in EXERCISES.items()}
SHELF = shelf_with(LOADED)


def drawn_joints(rng):
    limits = []
    for key in range(3):
        since = rng.choice([None, *range(35)])
        until = rng.choice([None, None, *range(1, 21)])
        begin = None if since is None else day(since)
        end = None if until is None else (begin or MONDAY) + timedelta(days=until)
        action = rng.choice([LimitAction.AVOID, LimitAction.AVOID, LimitAction.REGRESS])
        limits.append(JointLimit(THREE[key], action, "", "", begin, end, key))
    return Joints(tuple(limits))


def drawn_facts(rng, plan):
    setting = drawn_setting(rng, plan)
    facts = ClientFacts(
        Level.BEGINNER, 75, drawn_joints(rng), setting.today, setting.begun, locked_in(plan)
    )
    return facts, EditSetting(setting.today, setting.begun, exercises=LOADED)


@pytest.mark.parametrize("seed", range(40))
def test_the_sizes_of_a_week_are_those_of_what_is_told(seed):
    rng = Random(seed)  # noqa: S311 - a drawing, no secret
    plan = drawn_plan(rng)
    facts, _ = drawn_facts(rng, plan)
    weeks = plan_figures(plan, LOADED)
    for one in weeks:
        scene = scene_of(weeks, one, facts)
        keys = {figures.session.key for figures in one.sessions}

        told = (each for each in findings_in(scene) if each.finding.kind is FindingKind.JOINT_LIMIT)

        sizes = week_sizes(scene, keys, counts=False)
        assert sizes_of(told) == {
            place: size for place, size in sizes.items() if place.kind is FindingKind.JOINT_LIMIT
        }


def test_no_remedy_brings_in_what_is_avoided_on_its_day():
    """What the gate refuses: an exercise, or another day for it, that loads what is avoided."""
    offered: Counter[FindingKind] = Counter()
    for seed in range(40):
        rng = Random(seed)  # noqa: S311 - a drawing, no secret
        plan = drawn_plan(rng, most_weeks=4)
        facts, setting = drawn_facts(rng, plan)
        for finding, way in remedies_of(plan, facts, SHELF, known=LOADED):
            offered[finding.kind] += 1
            done = apply_act(plan, way.act, setting)
            assert refused(plan, done, exercises_needed(way.act), facts) == [], (seed, way.words)
    assert {FindingKind.JOINT_LIMIT, FindingKind.MUSCLE_VOLUME, FindingKind.SPACING} <= set(offered)


def refused(plan, done, brought, facts):
    """What is avoided and was not before: of what an act brings in, or moves to another day."""
    was = {(one["uid"], one["exercise"]): held["on"] for held, one in lines_of(plan)}
    found = []
    for held, one in lines_of(done.snapshot):
        row, on = one["exercise"], held["on"]
        stood = None if row in brought else was.get((one["uid"], row))
        if held["uid"] in done.touched and stood != on:
            before = forbidding(facts, row, stood) if stood else []
            found += [limit for limit in forbidding(facts, row, on) if limit not in before]
    return found


def forbidding(facts, row, on):
    """The limits to be avoided that an exercise loads on a day: from its first to before its end."""
    return [
        one
        for one in facts.joints.limits
        if one.action is LimitAction.AVOID
        and one.stress in LOADED[row].joint_stresses
        and (one.since is None or one.since.isoformat() <= on)
        and (one.until is None or on < one.until.isoformat())
    ]
