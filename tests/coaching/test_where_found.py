"""A finding names the sessions it was found in, unless its sentence does."""

import pytest

from coaching.blocks.block_findings import findings_in, scene_of
from coaching.rules.findings import FindingKind
from tests.coaching.effecting import FACTS, PUSH, week
from tests.rules.examples import day, make_prescription, make_session


def where(kind, *sessions):
    weeks = [week(1, *sessions)]
    found = findings_in(scene_of(weeks, weeks[0], FACTS))
    return [one.where for one in found if one.finding.kind is kind]


def of(name, *, at=0, reps=20, sets=3, rest=120):
    one = make_prescription(PUSH, [reps] * sets, key=f"{at}-push", rest=rest)
    return make_session(one, on=day(at), key=f"s{at}", name=name)


@pytest.mark.parametrize("name", ["Push", "P", "up", "asks for"])
def test_a_session_is_named_also_where_its_name_is_part_of_an_exercise(name):
    assert where(FindingKind.REPETITIONS, of(name), of("Pull", at=3)) == [f"{name}, Pull"]


def test_a_session_that_the_sentence_names_is_not_named_again():
    long = of("Push", reps=6, sets=40)

    assert where(FindingKind.SESSION_MINUTES, long) == [""]
    assert where(FindingKind.SPACING, of("Push", sets=8), of("Push B", at=1, sets=8)) == [""]


def test_two_of_one_name_are_told_apart_by_their_day():
    both = of("Push", reps=6, sets=40), of("Push", at=3, reps=6, sets=40)

    assert where(FindingKind.SESSION_MINUTES, *both) == ["Push (Mon, 1 of 2), Push (Thu, 2 of 2)"]
