"""A week of a block is kept as a template of the coach's own."""

from datetime import date

import pytest

from coaching.blocks.models import BlockTemplate, PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import templates_for
from coaching.blocks.services import create_block_from_template
from coaching.blocks.shared_templates import from_plan
from coaching.rules.plan import WeekKind
from tests.factories.templates import block_to_keep, keep

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo):
    return block_to_keep(cleo)


@pytest.fixture
def own(ana, block):
    keep(ana, block)
    return BlockTemplate.objects.get(coach=ana)


def test_a_block_is_kept_as_a_template_with_its_weeks_and_without_loads(ana, block, own):
    plan = from_plan(own.plan)
    lines = [line for one in plan.sessions for pair in one.pairs for line in pair.lines]
    week = snapshot_of(block)["weeks"][0]

    assert plan.week_kinds == (WeekKind.BUILD,) * 4 + (WeekKind.DELOAD,)
    assert [one.name for one in plan.sessions] == [one["name"] for one in week["sessions"]]
    assert [list(line.targets) for line in lines] == [
        line["targets"] for s in week["sessions"] for p in s["pairs"] for line in p["lines"]
    ]
    assert {line.load for line in lines} == {0}
    assert own.minutes <= 60
    assert own in templates_for(ana)


def test_a_name_is_taken_once(ana, block, own):
    answer = keep(ana, block, name=own.name.upper())

    assert answer.status_code == 422
    assert "choose another name" in answer.content.decode()
    assert BlockTemplate.objects.filter(coach=ana).count() == 1


def test_a_week_with_two_sessions_on_one_day_is_refused_in_words(ana, block):
    first, second = PlannedSession.objects.filter(week__block=block).order_by("on")[:2]
    second.on = first.on
    second.save()

    answer = keep(ana, block)

    assert answer.status_code == 422
    assert "cannot be kept as a template" in answer.content.decode()
    assert not BlockTemplate.objects.filter(coach=ana).exists()


def test_two_light_weeks_in_a_row_are_both_made_from_the_usual_week(ana, cleo, own):
    own.plan["weeks"] = ["build", "deload", "deload"]
    own.save()

    block = create_block_from_template(
        client=cleo, template=own, starts_on=date(2026, 9, 7), by=ana
    )

    weeks = snapshot_of(block)["weeks"]
    sets = [
        [len(ln["targets"]) for s in week["sessions"] for p in s["pairs"] for ln in p["lines"]]
        for week in weeks
    ]
    assert sets[1] == sets[2]
    assert sum(sets[1]) < sum(sets[0])
