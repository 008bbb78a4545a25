"""A joint limit that begins or ends within the block, in a plan made to fit."""

from datetime import date, timedelta

import pytest

from clients.models import JointLimit as KeptLimit
from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import BlockTemplate
from coaching.blocks.services import create_block_from_template
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    WrittenWeek,
    written_plan,
)
from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.plan import EquipmentKind, JointStress, Part, WeekKind
from tests.rules.examples import make_exercise

OVERHEAD = JointStress.SHOULDER_OVERHEAD
MONDAY = date(2026, 11, 30)
FLOOR = make_exercise("push-up", ladder="push-up", rung=3)
ARCHER = make_exercise("archer", ladder="push-up", rung=4, joint_stresses=[OVERHEAD])
PIKE = make_exercise("pike", joint_stresses=[OVERHEAD])
DIP = make_exercise("dip", equipment=[EquipmentKind.DIP_BARS], joint_stresses=[OVERHEAD])
LIBRARY = {one.key: one for one in (FLOOR, ARCHER, PIKE, DIP)}
WEEK = timedelta(weeks=1)


def session(exercise):
    line = TemplateLine(exercise.key, (6, 6, 6), 0.0, "3-0-1-0", 90, 2)
    return TemplateSession("Monday", 0, (TemplatePair("A", Part.PRIMARY, (line,)),))


def three_weeks(exercise):
    return TemplatePlan((WeekKind.BUILD,) * 3, (session(exercise),))


def fit(plan, *limits, candidates=(FLOOR,)):
    means = ClientMeans(candidates, limits=limits, starts_on=MONDAY)
    return adapted(plan, LIBRARY, means)


def keys(found):
    return [
        one.pairs[0].lines[0].exercise_key for week in found.plan.weeks for one in week.sessions
    ]


def avoided(since=None, until=None, action=LimitAction.AVOID):
    return JointLimit(OVERHEAD, action, since=since, until=until)


def test_what_is_avoided_from_a_later_week_on_is_swapped_and_says_from_when():
    found = fit(three_weeks(ARCHER), avoided(since=MONDAY + 2 * WEEK))

    assert keys(found) == ["push-up"] * 3
    assert found.changes[0].sentence == (
        "Push up instead of Archer: loads shoulder overhead, which is avoided from 14 Dec on."
    )


def test_what_is_avoided_for_the_first_weeks_alone_says_until_when():
    found = fit(three_weeks(ARCHER), avoided(until=MONDAY + 2 * WEEK))

    assert "which is avoided until 13 Dec." in found.changes[0].sentence


def test_a_limit_for_a_week_in_the_middle_says_both_days():
    found = fit(three_weeks(ARCHER), avoided(MONDAY + WEEK, MONDAY + 2 * WEEK))

    assert "which is avoided from 7 Dec to 13 Dec." in found.changes[0].sentence


def test_what_must_be_regressed_later_goes_down_a_rung_and_says_from_when():
    found = fit(three_weeks(ARCHER), avoided(MONDAY + WEEK, action=LimitAction.REGRESS))

    assert keys(found) == ["push-up"] * 3
    assert found.changes[0].why == "regresses shoulder overhead from 7 Dec on"


@pytest.mark.parametrize(
    ("since", "until"), [(None, MONDAY), (MONDAY + 2 * WEEK + timedelta(days=1), None)]
)
def test_a_limit_over_before_the_first_session_or_begun_after_the_last_changes_nothing(
    since, until
):
    assert fit(three_weeks(ARCHER), avoided(since, until)).changes == ()


def test_a_line_is_judged_in_the_weeks_in_which_it_stands():
    weeks = [WrittenWeek(7 * n, (session(one),)) for n, one in enumerate((ARCHER, FLOOR))]
    plan = written_plan([WeekKind.BUILD] * 2, weeks)

    assert keys(fit(plan, avoided(since=MONDAY + WEEK))) == ["archer", "push-up"]


def test_what_stands_in_for_equipment_is_not_avoided_later_either():
    later = avoided(since=MONDAY + 2 * WEEK)

    assert keys(fit(three_weeks(DIP), candidates=(PIKE,))) == ["pike"] * 3
    assert keys(fit(three_weeks(DIP), later, candidates=(PIKE, FLOOR))) == ["push-up"] * 3


@pytest.mark.django_db
@pytest.mark.parametrize(
    "stress", [OVERHEAD, JointStress.WRIST_EXTENSION, JointStress.KNEE_DEEP_FLEXION]
)
def test_a_draft_made_before_a_limit_begins_may_be_published(ana, cleo, today, stress):
    KeptLimit.objects.create(
        client=cleo, stress=stress.value, action="avoid", since=today + 3 * WEEK
    )
    template = BlockTemplate.objects.get(key="first-block-floor")

    block = create_block_from_template(
        client=cleo, template=template, starts_on=today + WEEK, by=ana, adapt=True
    )
    publish_changes(block=block, by=ana, today=today)

    assert block.published_at
