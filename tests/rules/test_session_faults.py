"""One finding a session for its order, whatever is out of it; what is asked is common practice."""

import pytest

from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import Chain, Part, Pattern
from coaching.rules.session_faults import IN_ORDER, same_fault, told_once
from coaching.rules.session_order import (
    BALANCE_RULE,
    CHAIN_RULE,
    COMPOUND_RULE,
    COORDINATION_RULE,
    PAIR_RULE,
    PARTS_RULE,
    findings_for,
)
from tests.rules.examples import make_exercise, make_prescription, make_pull_up, make_session


def pair(push, pull, part):
    return tuple(make_prescription(one, [8] * 3, part=part) for one in (push, pull))


PRESS, ROW = make_exercise("press"), make_exercise("row", Pattern.PULL)
FLY = make_exercise("fly", multi_joint=False)
CURL = make_exercise("curl", Pattern.PULL, multi_joint=False)
PRIMARY = pair(PRESS, ROW, Part.PRIMARY)
SMALL = pair(FLY, CURL, Part.ISOLATION)
MIDDLE = pair(PRESS, ROW, Part.SUPPLEMENTARY)


def told_by(rule, **more):
    return Finding(FindingKind.SESSION_ORDER, "Said.", (), rule, "common-practice", **more)


def once(*pairs):
    session = make_session(*pairs)
    return list(told_once(findings_for(session), session.pairs))


def test_pairs_before_their_part_are_one_finding_by_their_letters():
    found = once(SMALL, MIDDLE, MIDDLE, PRIMARY)

    (told,) = found
    assert told.sentence == "A, B and C stand before D: primary work is done first."
    assert told.size == 3
    assert PARTS_RULE in told.rule
    assert told.evidence[0].value == (
        "A: Fly and Curl (isolation) come before D: Press and Row (primary): "
        "primary work is done first."
    )


def test_what_is_out_of_order_by_another_rule_is_told_in_the_same_finding():
    # Inside the part the fly stands before the press: single-joint before compound.
    inside = (*pair(FLY, CURL, Part.PRIMARY),)
    found = once(SMALL, inside, PRIMARY)

    (told,) = [one for one in found if same_fault(one) == IN_ORDER]
    assert told.sentence.startswith("A stands before B: primary work is done first. And ")
    assert COMPOUND_RULE in told.rule
    assert told.size == len(findings_for(make_session(SMALL, inside, PRIMARY)))


def test_a_single_fault_keeps_its_own_words():
    (told,) = once(SMALL, PRIMARY)

    assert told.sentence == (
        "A: Fly and Curl (isolation) come before B: Press and Row (primary): "
        "primary work is done first."
    )


def test_two_pairs_of_one_side_are_one_finding_and_the_balance_stays_apart():
    found = once(pair(PRESS, PRESS, Part.PRIMARY), pair(PRESS, FLY, Part.PRIMARY))

    assert [one.rule for one in found].count(PAIR_RULE) == 1
    assert BALANCE_RULE in [one.rule for one in found]
    (told,) = (one for one in found if one.rule == PAIR_RULE)
    assert told.sentence == (
        "Press and Press both push: pair a push with a pull. "
        "Press and Fly both push: pair a push with a pull."
    )


def test_a_session_in_order_has_none():
    assert once(PRIMARY, MIDDLE, SMALL) == []


@pytest.mark.parametrize("rule", [PARTS_RULE, COMPOUND_RULE, CHAIN_RULE, COORDINATION_RULE])
def test_putting_in_order_settles_four_rules_at_once(rule):
    assert same_fault(told_by(rule)) == IN_ORDER
    assert same_fault(told_by("Several.", rules=(rule, CHAIN_RULE))) == IN_ORDER


def test_names_with_commas_and_colons_do_not_mix_the_letters_up():
    odd = make_exercise("fly", name="Fly, slow: high", multi_joint=False)
    (told,) = once(pair(odd, CURL, Part.ISOLATION), MIDDLE, PRIMARY)

    assert told.sentence == "A and B stand before C: primary work is done first."


def test_planes_are_put_right_by_another_act():
    assert same_fault(told_by(PAIR_RULE)) == {PAIR_RULE}
    crossed = (make_exercise("dip", chain=Chain.CLOSED), make_pull_up())
    assert [one.rule for one in once(pair(*crossed, Part.PRIMARY))] == [PAIR_RULE]
