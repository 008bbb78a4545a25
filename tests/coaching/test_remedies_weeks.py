"""A remedy of one week and the other weeks of the block that it would change."""

from dataclasses import replace

from coaching.blocks.block_findings import ClientFacts, scene_of
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.remedies import remedied
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Level
from tests.coaching.editing.plans import EXERCISES, ROTATION, line, pair, setting, week
from tests.rules.examples import MONDAY

FACTS = ClientFacts(Level.INTERMEDIATE, 75, Joints(), MONDAY)


def found(plan, facts=FACTS, number=1):
    """What is found in one week, with the remedies that its page offers."""
    weeks = plan_figures(plan, EXERCISES)
    whole = WholeBlock(weeks, facts, plan, EXERCISES)
    here = remedied(scene_of(weeks, weeks[number - 1], facts), whole)
    return (*here.findings, *here.volume)


def offered(plan, kind, facts=FACTS):
    return [
        remedy
        for placed in found(plan, facts)
        if placed.finding.kind is kind
        for remedy in placed.remedies
    ]


def done(plan, remedy):
    return apply_act(plan, remedy.act, setting(MONDAY)).snapshot


def small(number, warm_up=()):
    """A week of one session: press and curl, and what is written before them."""
    one = week(number)
    first = one["sessions"][0]
    (both,) = (each for each in first["pairs"] if each["letter"] == "B")
    return {**one, "sessions": [{**first, "pairs": [*warm_up, both]}]}


def long_warm_up(number):
    """No minute is left beside it."""
    return pair("X", "warm-up", line(f"w{number}-w", ROTATION, [30] * 20, rest_s=90))


def test_a_set_more_goes_on_into_weeks_that_have_time_for_it():
    ways = offered({"weeks": [small(1), small(2)]}, FindingKind.MUSCLE_VOLUME)

    assert ways
    assert {one.act["reach"] for one in ways} == {"onward"}
    assert not any("this week only" in one.words for one in ways)


def test_where_a_later_week_has_no_minute_left_a_set_more_stays_in_its_own_week():
    plan = {"weeks": [small(1), small(2, [long_warm_up(2)]), small(3)]}

    ways = offered(plan, FindingKind.MUSCLE_VOLUME)

    assert ways
    for remedy in ways:
        assert remedy.words.endswith("min), this week only")
        after = done(plan, remedy)
        assert after["weeks"][0] != plan["weeks"][0]
        assert after["weeks"][1:] == plan["weeks"][1:]


def test_what_a_remedy_costs_another_week_stands_on_its_button():
    """The first week is too long; the light one after it keeps just so much less than it."""
    light = small(2)
    sessions = [
        {**s, "pairs": [{**p, "lines": [{**n, "targets": [13]} for n in p["lines"]]}]}
        for s in light["sessions"]
        for p in s["pairs"]
    ]
    plan = {"weeks": [small(1), {**light, "kind": "deload", "sessions": sessions}]}
    facts = replace(FACTS, minutes=18)
    assert not [o for o in found(plan, facts, 2) if o.finding.kind is FindingKind.VOLUME_COURSE]

    (rest, sets) = offered(plan, FindingKind.SESSION_MINUTES, facts)

    # Shorter rests change no count of the light week, a set less of the usual one does.
    assert rest.words.startswith("Rest 15 s less")
    assert "then look at" not in rest.words
    assert sets.words.endswith("; then look at the rise or fall of volume in week 2")
    assert sets.act["reach"] == "onward"
    after = done(plan, sets)
    assert after["weeks"][1] == plan["weeks"][1]
    kinds = [one.finding.kind for one in found(after, facts, 2)]
    assert FindingKind.VOLUME_COURSE in kinds


def cut_after(light_from):
    """A usual week with a set less of each line, and the light week of what it was before."""
    full = week(1)
    plan: Snapshot = {"weeks": [full, week(2)]}
    light = apply_act(plan, {"act": "insert-light-week"}, setting(MONDAY)).snapshot["weeks"][2]
    less = week(light_from)
    sessions = [
        {
            **one,
            "pairs": [
                {
                    **each,
                    "lines": [
                        {**ln, "targets": ln["targets"][:-1] or ln["targets"]}
                        for ln in each["lines"]
                    ],
                }
                for each in one["pairs"]
            ],
        }
        for one in less["sessions"]
    ]
    return {"weeks": [full, {**less, "sessions": sessions}, light]}


def test_a_light_week_that_did_not_follow_is_made_anew_from_the_week_before_it():
    plan = cut_after(2)
    told = [one for one in found(plan, number=3) if "light week keeps" in one.finding.sentence]
    (placed,) = told

    (remedy,) = placed.remedies

    assert remedy.words.startswith("Make week 3 light anew from the usual week before it")
    after = done(plan, remedy)
    assert after["weeks"][:2] == plan["weeks"][:2]
    assert not [one for one in found(after, number=3) if "light week keeps" in one.finding.sentence]
