"""What is told of a template made to fit is so: each change is looked up in the plan itself."""

import re

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ChangeKind
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    lines_of,
    read_shared_templates,
)
from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.plan import EquipmentKind, JointStress, Level, Part, WeekKind
from tests.coaching.test_adaptation_likeness import AT_HOME, LEVELS, LIBRARY, ORDER, client

TEMPLATES = read_shared_templates()
SHOULDERS = (
    JointLimit(JointStress.SHOULDER_OVERHEAD, LimitAction.AVOID),
    JointLimit(JointStress.SHOULDER_DEEP_EXTENSION, LimitAction.REGRESS),
)
BARS = (EquipmentKind.PULL_UP_BAR, EquipmentKind.DIP_BARS, EquipmentKind.LOW_BAR)
CLIENTS = {
    "on the floor": client(Level.ABSOLUTE_BEGINNER, minutes=45, made_for=3),
    "with shoulders to spare": client(Level.BEGINNER, *AT_HOME, minutes=60, limits=SHOULDERS),
    "in half an hour": client(Level.INTERMEDIATE, *AT_HOME, minutes=30),
    "with bars": client(Level.INTERMEDIATE, *BARS, minutes=60),
}


def plan_of(template):
    return TemplatePlan(template.week_kinds, template.sessions)


def keys(plan):
    """Every exercise with its session and part."""
    return {(session.name, pair.part, line.exercise_key) for session, pair, line in lines_of(plan)}


def in_session(plan, session):
    return {LIBRARY[key].name for name, _, key in keys(plan) if name == session}


@pytest.mark.parametrize("means", CLIENTS.values(), ids=CLIENTS)
@pytest.mark.parametrize("template", TEMPLATES, ids=lambda one: one.key)
def test_what_is_swapped_or_left_out_is_told_as_it_is(template, means):
    plan = plan_of(template)
    found = adapted(plan, LIBRARY, means)

    everywhere = {LIBRARY[key].name for _, _, key in keys(found.plan)}
    swaps = [one for one in found.changes if not one.what and one.given]
    for one in swaps:
        here = in_session(found.plan, one.session)
        assert one.given in here, one.sentence
        assert one.asked not in here, one.sentence
    for one in found.changes:
        if one.kind in {ChangeKind.LOAD, ChangeKind.HELD}:
            assert one.given in in_session(found.plan, one.session), one.sentence
        if one.kind == ChangeKind.OTHER:
            told, *_ = re.split(" (?:begins? at|was never|were never|stays?$)", one.what)
            names = told.replace(" and ", ", ").split(", ")
            assert set(names) <= everywhere, one.sentence
    # Whatever is in the plan and not in the template is told as a swap of that session.
    new = {(name, LIBRARY[key].name) for name, _, key in keys(found.plan) - keys(plan)}
    assert new <= {(one.session, one.given) for one in swaps}


@pytest.mark.parametrize("means", CLIENTS.values(), ids=CLIENTS)
@pytest.mark.parametrize("template", TEMPLATES, ids=lambda one: one.key)
def test_nothing_that_is_avoided_or_above_the_level_stays_without_a_word(template, means):
    found = adapted(plan_of(template), LIBRARY, means)

    avoided = {one.stress for one in means.limits if one.action is LimitAction.AVOID}
    above = [key for _, _, key in keys(found.plan) if LEVELS[key] > means.level]
    assert not [k for *_, k in keys(found.plan) if avoided & set(LIBRARY[k].joint_stresses)]
    for key in above:
        assert any(f"{LIBRARY[key].name}" in one for one in found.told.must_see), key


def test_the_second_place_of_an_exercise_is_told_by_what_it_was_in_the_template():
    assert ORDER[0] is Level.ABSOLUTE_BEGINNER
    lines = [("pull-up", Part.PRIMARY), ("push-up", Part.PRIMARY), ("chin-up", Part.ISOLATION)]
    pairs = tuple(
        TemplatePair(letter, part, (TemplateLine(key, (6,) * 4, 0, "3-0-1-0", 90, 2),))
        for letter, (key, part) in zip("ABC", lines, strict=True)
    )
    plan = TemplatePlan((WeekKind.BUILD,), (TemplateSession("Upper", 0, pairs),))

    found = adapted(plan, LIBRARY, client(Level.ABSOLUTE_BEGINNER, minutes=24))

    told = found.told.work
    (given,) = (one.split(" instead of")[0] for one in told if "instead of Pull-up" in one)
    assert given in in_session(found.plan, "Upper")
    assert [one for one in told if one.startswith("Chin-up left out: Upper would take ")]
    assert not [one for one in told if "instead of Chin-up" in one]
