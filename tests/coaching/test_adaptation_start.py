"""What is new to a client begins low in a plan of a higher level, and is named in any case."""

from dataclasses import replace

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.blocks.shared_templates import TemplatePair, TemplatePlan, TemplateSession, lines_of
from coaching.rules.plan import Part
from tests.coaching.test_adaptation_course import CHIN, FLOOR, LIBRARY, plates, ramp

PLAN = ramp(CHIN, (7, 0), (8, 0), (4, 0))
ABOVE = ClientMeans((FLOOR,), equipment=plates(), level=0, made_for=1)


def reps(found):
    return [one.targets[0] for _, _, one in lines_of(found.plan)]


def test_what_was_never_done_begins_at_the_bottom_and_keeps_its_course():
    found = adapted(PLAN, LIBRARY, ABOVE)

    # Common practice, no source: a primary exercise begins with sets of five at a new rung.
    # A week that asks for less than that stays.
    assert reps(found) == [5, 6, 4]
    assert found.told.work == (
        "Chin up begins at 5 repetitions: "
        "the plan is made for a higher level, and this is new to the client.",
        "Chin up was never planned or logged for this client: "
        "start with what is sure, or test it first.",
    )
    assert found.told.must_see == found.told.work


@pytest.mark.parametrize("change", [{"planned": frozenset({"chin-up"})}, {"made_for": None}])
def test_what_the_client_has_done_or_a_plan_for_anybody_stays(change):
    found = adapted(PLAN, LIBRARY, replace(ABOVE, **change))

    assert reps(found) == [7, 8, 4]
    assert found.changes == ()


def test_another_clients_plan_of_the_same_level_stays_and_names_what_is_new():
    found = adapted(PLAN, LIBRARY, replace(ABOVE, made_for=0))

    assert reps(found) == [7, 8, 4]
    assert found.told.work[0].startswith("Chin up was never planned or logged for this client")


def test_what_is_left_out_for_time_is_neither_begun_low_nor_called_new():
    lines = [one for _, _, one in lines_of(PLAN)][:1]
    other = replace(lines[0], exercise_key=FLOOR.key, targets=(12,) * 4)
    pairs = (
        TemplatePair("A", Part.PRIMARY, tuple(lines)),
        TemplatePair("B", Part.SUPPLEMENTARY, (other,)),
    )
    plan = TemplatePlan(PLAN.week_kinds, (TemplateSession("Upper", 0, pairs),))

    found = adapted(plan, LIBRARY, replace(ABOVE, minutes=15))

    assert [one.exercise_key for _, _, one in lines_of(found.plan)] == ["chin-up"]
    low = [one for one in found.told.work if "begin" in one or "never" in one]
    assert len(low) == 2
    assert not [one for one in low if "Push up" in one]
