"""What of a plan needs equipment that is not there: counted by hand, in the trade's plain words."""

import doctest

import pytest

from coaching.rules import equipment_missing
from coaching.rules.equipment_missing import missing_findings, needs_words, without
from coaching.rules.findings import FindingKind
from coaching.rules.plan import EquipmentKind, Pair, Part, PlannedSession
from tests.rules.examples import MONDAY, make_exercise, make_prescription

DUMBBELLS, BENCH, BAR = EquipmentKind.DUMBBELLS, EquipmentKind.BENCH, EquipmentKind.PULL_UP_BAR
CURL = make_exercise("curl", equipment=[DUMBBELLS])
PRESS = make_exercise("press", equipment=[DUMBBELLS, BENCH])
PUSH_UP = make_exercise()


def session(name, *exercises):
    lines = [make_prescription(one, key=f"{name}-{one.key}") for one in exercises]
    pairs = tuple(
        Pair(letter, Part.ISOLATION, (one,)) for letter, one in zip("ABCD", lines, strict=False)
    )
    return PlannedSession(name, name, MONDAY, pairs)


WEEK = (session("Upper A", CURL, PRESS, PUSH_UP), session("Upper B", CURL))


def test_each_kind_that_is_not_there_is_told_once_with_what_needs_it():
    dumbbells, bench = missing_findings(WEEK, {BAR})

    assert dumbbells.kind is FindingKind.EQUIPMENT
    assert dumbbells.sentence == "There are no dumbbells: 2 exercises need them."
    assert [(one.label, one.value) for one in dumbbells.evidence] == [
        ("Curl", "Upper A, Upper B"),
        ("Press", "Upper A"),
    ]
    assert (dumbbells.about, dumbbells.size) == ("dumbbells", 3)
    assert bench.sentence == "There is no bench: 1 exercise needs one."
    assert dumbbells.source_key == "common-practice"


@pytest.mark.parametrize("there", [{DUMBBELLS, BENCH}, set(EquipmentKind)])
def test_nothing_is_told_where_everything_is_there(there):
    assert missing_findings(WEEK, there) == ()


def test_at_its_place_an_exercise_says_all_that_it_lacks():
    assert needs_words(PRESS, {BAR}) == ("Needs dumbbells and a bench, which are not there")
    assert needs_words(PRESS, {DUMBBELLS}) == "Needs a bench, which is not there"
    assert needs_words(PUSH_UP, ()) == ""


def test_every_kind_is_spoken_of_as_one_or_several():
    several = {kind.value for kind in EquipmentKind if without(kind).startswith("There are")}

    assert several == {"dip bars", "rings", "parallettes", "bands", "dumbbells", "kettlebells"}


def test_the_examples_in_the_docstrings_hold():
    result = doctest.testmod(equipment_missing)

    assert (result.failed, result.attempted) == (0, 2)
