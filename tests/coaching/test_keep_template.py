"""A week of a block is kept as a template of the coach's own."""

from datetime import date

import pytest
from django.urls import reverse

from coaching.blocks.block_sources import library_of, template_plan
from coaching.blocks.models import BlockTemplate, PlannedSession, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import templates_for
from coaching.blocks.services import create_block_from_template
from coaching.blocks.shared_templates import from_plan
from coaching.blocks.template_values import weeks_from_template
from coaching.library.toml_fields import CatalogueError
from coaching.rules.plan import WeekKind
from tests.conftest import signed_in
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


@pytest.fixture
def twice_a_day(block):
    """The second session of each week in the evening of the first one's day, and called alike."""
    for week in block.weeks.all():
        first, second = week.planned_sessions.order_by("on")[:2]
        PlannedSession.objects.filter(pk=second.pk).update(on=first.on, name=first.name)
    return block


def plain(week):
    """Sessions by day of the week, with what is done in them."""
    starts_on = date.fromisoformat(week["starts_on"])
    return [
        (
            (date.fromisoformat(one["on"]) - starts_on).days,
            [(line["name"], line["targets"]) for pair in one["pairs"] for line in pair["lines"]],
        )
        for one in week["sessions"]
    ]


@pytest.mark.parametrize("week", [0, 1])
def test_a_morning_and_an_evening_of_one_day_come_back_as_they_were(ana, cleo, twice_a_day, week):
    keep(ana, twice_a_day, week=week)
    template = BlockTemplate.objects.get(coach=ana)

    made = create_block_from_template(
        client=cleo, template=template, starts_on=date(2026, 9, 7), by=ana
    )

    was, now = (snapshot_of(one)["weeks"] for one in (twice_a_day, made))
    assert [day for day, _ in plain(now[0])] == [0, 0, 4]
    assert plain(now[0]) == plain(was[0])
    if week == 0:
        assert [plain(one) for one in now] == [plain(one) for one in was]


@pytest.mark.parametrize("week", [0, 1])
def test_keys_of_a_template_are_each_there_once_with_two_sessions_on_a_day(ana, twice_a_day, week):
    library = library_of(ana)
    plan = template_plan(snapshot_of(twice_a_day), week or None, library)

    for one in weeks_from_template(plan, library.values, date(2026, 9, 7)):
        sessions = [session.key for session in one.sessions]
        lines = [line.key for session in one.sessions for line in session.prescriptions]
        assert len(set(sessions)) == len(sessions) == 3
        assert len(set(lines)) == len(lines)


def test_days_that_go_back_are_refused_where_a_plan_is_read(own):
    own.plan["sessions"][1]["day"] = 5

    with pytest.raises(CatalogueError, match="do not rise"):
        from_plan(own.plan)


def test_a_copy_keeps_the_evening_session_and_its_own_cuts(ana, cleo, twice_a_day):
    evenings = Prescription.objects.filter(
        pair__planned_session__week__block=twice_a_day, pair__planned_session__position=2
    )
    for row in evenings:
        row.targets = row.targets * 2
        row.save()
    cleo.minutes = 40
    cleo.save()
    url = reverse("blocks:copy-block", args=[twice_a_day.pk])

    look = signed_in(ana).get(url, {"clients": [cleo.pk]}).context["page"].looks[0]

    assert len({one.on for one in look.sessions}) == 2
    assert len(look.sessions) == 3
    assert all(one.fits for one in look.sessions)


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
