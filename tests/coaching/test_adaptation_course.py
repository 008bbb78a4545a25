"""A step in load stays a step up for another client, or its repetitions do not fall for nothing."""

import json

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplateSession,
    WrittenWeek,
    as_plan,
    from_plan,
    lines_of,
    written_plan,
)
from coaching.blocks.template_services import without_loads
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, LoadKind, Part, WeekKind
from tests.rules.examples import make_exercise

BUILD, DELOAD = WeekKind.BUILD, WeekKind.DELOAD
BAR, BELT = EquipmentItem(EquipmentKind.PULL_UP_BAR, ()), EquipmentKind.BELT
CHIN = make_exercise(
    "chin-up", load_kind=LoadKind.ADDED, equipment=[EquipmentKind.PULL_UP_BAR], multi_joint=True
)
HELPED = make_exercise(
    "helped chin-up", load_kind=LoadKind.ASSISTED, equipment=[EquipmentKind.BANDS]
)
PRESS = make_exercise("press", load_kind=LoadKind.EXTERNAL, equipment=[EquipmentKind.DUMBBELLS])
FLOOR = make_exercise("push-up")
LIBRARY = {one.key: one for one in (CHIN, HELPED, PRESS, FLOOR)}


def ramp(exercise, *weeks, kinds=None):
    """A written plan: repetitions of five sets and load [kg], week by week."""
    written = []
    for number, (reps, load) in enumerate(weeks):
        line = TemplateLine(exercise.key, (reps,) * 5, load, "3-0-1-0", 120, 2)
        pair = TemplatePair("A", Part.PRIMARY, (line,))
        written.append(WrittenWeek(7 * number, (TemplateSession("Upper", 0, (pair,)),)))
    return written_plan(kinds or (BUILD,) * len(weeks), written)


def kept(plan):
    """The plan as a template keeps it and reads it back."""
    return from_plan(json.loads(json.dumps(as_plan(without_loads(plan, LIBRARY)))))


def fit(plan, candidates=(), **means):
    return adapted(plan, LIBRARY, ClientMeans(candidates, **means))


def course(found):
    return [(one.targets[0], one.load) for _, _, one in lines_of(found.plan)]


CHINS = ramp(CHIN, (8, 0), (5, 3.75), (6, 3.75))


def plates(*kg):
    return [BAR, EquipmentItem(BELT, kg)]


# Common practice, no source: at the top of the stair load is added and the stair begins anew.
@pytest.mark.parametrize(
    ("known", "loads"),
    [({}, [0, 3.75, 3.75]), ({"chin-up": [KnownLoad(10, 8)]}, [10, 13.75, 13.75])],
)
def test_a_step_from_body_weight_is_kept_in_kilograms(known, loads):
    own = plates(3.75, 10.0, 13.75)

    found = fit(kept(CHINS), equipment=own, known=known)

    assert course(found) == list(zip([8, 5, 6], loads, strict=True))
    assert not [one for one in found.told.work if "keeps" in one]


def test_without_the_plates_for_the_step_the_repetitions_do_not_fall():
    found = fit(kept(CHINS), equipment=[BAR])

    assert course(found) == [(8, 0), (8, 0), (8, 0)]
    (told,) = found.told.work
    assert told == (
        "Chin up keeps its repetitions in weeks 2 and 3, in Upper: "
        "fewer are asked there with more load, which cannot be made."
    )


def test_a_swapped_line_without_load_does_not_lose_repetitions_either():
    plan = kept(ramp(PRESS, (10, 20), (8, 22), (4, 20), kinds=(BUILD, BUILD, DELOAD)))

    found = fit(plan, [FLOOR])

    # The light week stays as it is written.
    assert course(found) == [(10, 0), (10, 0), (4, 0)]
    assert any(one.startswith("Push up keeps its repetitions in week 2") for one in found.told.work)


def test_a_load_still_to_choose_is_to_be_chosen_higher_where_repetitions_fall():
    own = [EquipmentItem(EquipmentKind.DUMBBELLS, (10.0, 12.0))]

    found = fit(kept(ramp(PRESS, (10, 20), (8, 22))), equipment=own)

    assert course(found) == [(10, 0), (8, 0)]
    assert found.told.work == (
        "Press: choose more load in week 2, in Upper: fewer repetitions are asked there.",
    )


def test_a_copy_for_the_same_client_keeps_repetitions_where_the_load_is_gone():
    found = fit(ramp(CHIN, (8, 5), (5, 10)), equipment=plates(5.0))

    assert course(found) == [(8, 5), (8, 5)]


def test_fewer_repetitions_that_the_plan_asks_without_more_load_stay():
    found = fit(kept(ramp(CHIN, (8, 0), (6, 0))), equipment=[BAR])

    assert course(found) == [(8, 0), (6, 0)]
    assert found.changes == ()


HELP = ramp(HELPED, (8, 30), (5, 25), (6, 25), (8, 20))


def bands(*kg):
    return [EquipmentItem(EquipmentKind.BANDS, kg)]


# Common practice, no source: less help is the step up of whoever cannot lift the body yet.
@pytest.mark.parametrize(
    ("own", "known", "loads"),
    [
        ((40.0, 35.0, 30.0), 40, [40, 35, 35, 30]),
        ((25.0, 20.0, 15.0, 10.0), 20, [20, 15, 15, 10]),
    ],
)
def test_help_that_gets_less_does_so_by_as_many_kilograms_for_another_client(own, known, loads):
    found = fit(kept(HELP), equipment=bands(*own), known={HELPED.key: [KnownLoad(known, 8)]})

    assert course(found) == list(zip([8, 5, 6, 8], loads, strict=True))
    assert not [one for one in found.told.work if "keeps" in one]


def test_help_is_never_less_than_the_bands_make_and_repetitions_do_not_fall_then():
    plan = kept(ramp(HELPED, (8, 30), (5, 25), (6, 25), (5, 15)))

    found = fit(plan, equipment=bands(30.0, 20.0), known={HELPED.key: [KnownLoad(30, 8)]})

    # No band helps with 25 kg or with 15: the stronger one stays until 20 kg are asked or passed.
    assert course(found) == [(8, 30), (8, 30), (8, 30), (5, 20)]
    assert any("with less help, which cannot be made" in one for one in found.told.work)


def test_help_is_not_taken_away_where_the_steps_would_use_it_up():
    found = fit(kept(HELP), equipment=bands(5.0, 10.0), known={HELPED.key: [KnownLoad(5, 8)]})

    assert course(found) == [(8, 5), (8, 5), (8, 5), (8, 5)]


def test_help_that_is_not_known_is_to_be_chosen_lower_where_repetitions_fall():
    found = fit(kept(HELP), equipment=bands(30.0, 25.0))

    assert course(found) == [(8, 0), (5, 0), (6, 0), (8, 0)]
    assert found.told.work == (
        "Helped chin up: choose less help in weeks 2 and 3, in Upper: "
        "fewer repetitions are asked there.",
    )


def test_the_course_of_help_says_nothing_of_a_load_that_stands_in():
    own = [EquipmentItem(EquipmentKind.DUMBBELLS, (10.0, 15.0, 20.0))]

    found = fit(kept(HELP), [PRESS], equipment=own, known={PRESS.key: [KnownLoad(20, 8)]})

    assert [load for _, load in course(found)] == [20, 20, 20, 20]
    assert [reps for reps, _ in course(found)] == [8, 8, 8, 8]


def test_a_copy_with_less_help_for_the_same_client_is_harder_and_keeps_its_repetitions():
    found = fit(ramp(HELPED, (8, 30), (5, 25)), equipment=bands(30.0, 25.0))

    assert course(found) == [(8, 30), (5, 25)]
    assert found.changes == ()
