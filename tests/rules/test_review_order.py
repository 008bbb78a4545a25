"""The order of the review: named parts, each deciding before the next."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.findings import Finding, FindingKind
from coaching.rules.review_order import NEEDS_COACH, ORDER, order_key, parts_of, urgent_of


def found(kind, probability=None):
    return Finding(kind, "Said.", (), "A rule.", "house", probability=probability)


def key(*kinds):
    return order_key(urgent_of([found(kind) for kind in kinds]))


def test_the_parts_stand_in_the_order_in_which_a_coach_is_needed():
    # The order is the one that the review promises; house choice, no source.
    last = [FindingKind.RED_FLAG, *(part.kinds[-1] for part in ORDER)]

    assert [part.name for part in ORDER] == [
        "May hurt",
        "Overreaching",
        "Not back",
        "Equipment missing",
        "Missed sessions",
        "Stalled",
        "Pacing",
        "A decision due",
    ]
    assert all(key(one) <= key(other) for one, other in pairwise(last))
    assert key(FindingKind.GOAL_REACHED) < key()


def test_pain_and_warning_words_stand_side_by_side():
    assert key(FindingKind.PAIN)[0] == key(FindingKind.RED_FLAG)[0]
    assert key(FindingKind.RED_FLAG) < key(FindingKind.OVERREACHING)


def test_among_those_of_one_part_the_next_part_decides_and_then_what_is_likelier():
    pain = FindingKind.PAIN
    surer, less = ([found(FindingKind.STALLED, p)] for p in (0.9, 0.4))

    assert key(pain, FindingKind.MISSED) < key(pain, FindingKind.PACING) < key(pain)
    assert order_key(surer) < order_key(less)


def test_how_an_exercise_goes_calls_nobody():
    calm = (FindingKind.HOLDING, FindingKind.PROGRESSING, FindingKind.BACK)
    assert urgent_of([found(kind) for kind in calm]) == ()


KINDS = st.sets(st.sampled_from(list(FindingKind)))


@given(KINDS, KINDS)
def test_an_earlier_part_always_comes_first(one, other):
    parts = [parts_of([found(kind) for kind in kinds]) for kinds in (one, other)]
    places = [min((ORDER.index(p) for p in own), default=len(ORDER)) for own in parts]

    if places[0] < places[1]:
        assert key(*one) < key(*other)


@given(KINDS, st.sampled_from(NEEDS_COACH))
def test_one_more_part_never_puts_a_client_further_down(kinds, more):
    assert key(*kinds, more)[0] <= key(*kinds)[0]


def test_every_kind_belongs_to_one_part_at_most():
    assert len(set(NEEDS_COACH)) == len(NEEDS_COACH)
