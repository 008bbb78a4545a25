"""A whole block is kept as a template: its wave comes back week by week for other clients."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import set_equipment
from coaching.blocks.models import BlockTemplate, Prescription, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.shared_templates import from_plan
from tests.conftest import signed_in
from tests.factories.clients import ClientFactory
from tests.factories.templates import block_to_keep, keep

pytestmark = pytest.mark.django_db

SETS = {1: 2, 2: 3, 3: 4}


@pytest.fixture
def ramp(cleo):
    """A block whose first push goes from two to four sets, with a test in the fourth week."""
    block = block_to_keep(cleo)
    for number, sets in SETS.items():
        rows = Prescription.objects.filter(
            pair__planned_session__week__block=block, pair__planned_session__week__number=number
        )
        for row in rows:
            row.targets = row.targets[:1] * sets
            row.save()
    Week.objects.filter(block=block, number=4).update(kind="test")
    return block


@pytest.fixture
def emil(ana, cleo):
    client = ClientFactory.create(coach=ana, name="Emil Haas", level=cleo.level, minutes=90)
    kinds = ["rings", "pull-up bar", "dip bars", "bands", "dumbbells", "bench", "box or step"]
    set_equipment(client=client, items=[{"kind": kind, "pieces": []} for kind in kinds])
    return client


def plain(snapshot):
    return [
        (
            week["kind"],
            [
                (session["name"], line["name"], line["targets"], line["tempo"], line["rir"])
                for session in week["sessions"]
                for pair in session["pairs"]
                for line in pair["lines"]
            ],
        )
        for week in snapshot["weeks"]
    ]


def test_a_block_with_a_wave_comes_back_the_same_for_another_client(ana, ramp, emil):
    keep(ana, ramp, week=0)
    template = BlockTemplate.objects.get(coach=ana)
    start = emil.local_date(timezone.now()) + timedelta(days=3)
    data = {"starts_on": start.isoformat(), "clients": [emil.pk]}

    signed_in(ana).post(reverse("blocks:apply-template", args=[template.pk]), data)

    made = snapshot_of(emil.blocks.get())

    assert plain(made) == plain(snapshot_of(ramp))
    assert [week["kind"] for week in made["weeks"]] == ["build"] * 3 + ["test", "deload"]
    days = [session["on"] for week in made["weeks"] for session in week["sessions"]]
    assert days == sorted(days)
    assert made["weeks"][4]["starts_on"] == (start + timedelta(weeks=4)).isoformat()


def test_the_page_offers_the_whole_block_first_and_one_week_after_it(ana, ramp):
    url = reverse("blocks:save-as-template", args=[ramp.pk])

    form = signed_in(ana).get(url).context["form"]

    words = [words for _, words in form.fields["week"].choices]
    assert words[0] == "the whole block, 5 weeks"
    assert words[1] == "week 1 (usual), repeated"
    assert form["week"].value() == 0


def test_one_week_can_be_repeated_instead(ana, ramp):
    keep(ana, ramp, week=2)

    plan = from_plan(BlockTemplate.objects.get(coach=ana).plan)

    assert plan.written == ()
    assert len(plan.week_kinds) == 5
    assert {len(line.targets) for s in plan.sessions for p in s.pairs for line in p.lines} == {3}


def test_the_minutes_of_a_template_are_those_of_its_longest_week(ana, ramp):
    keep(ana, ramp, week=0)
    keep(ana, ramp, week=1, name="One week")

    whole, one = (
        BlockTemplate.objects.get(coach=ana, name=name).minutes
        for name in ("Cleo's week", "One week")
    )

    assert whole > one


def test_every_week_is_looked_at_before_the_block_is_made(ana, ramp, emil):
    keep(ana, ramp, week=0)
    template = BlockTemplate.objects.get(coach=ana)
    url = reverse("blocks:new-block", args=[emil.pk])

    answer = signed_in(ana).get(url, {"template": template.pk})

    page = answer.context["page"]
    sets = [week.working_sets for week in page.weeks]
    assert page.chosen.pk == template.pk
    assert [week.kind for week in page.weeks] == ["usual", "usual", "usual", "test", "light"]
    assert sets[0] < sets[1] < sets[2]
    assert "All 5 weeks" in answer.content.decode()


def test_a_template_kept_before_weeks_were_written_still_makes_a_block(ana, ramp, emil):
    keep(ana, ramp, week=1)
    template = BlockTemplate.objects.get(coach=ana)
    # As it was stored then: weeks and sessions, nothing else in any line.
    lines = [ln for s in template.plan["sessions"] for p in s["pairs"] for ln in p["lines"]]
    assert set(template.plan) == {"weeks", "sessions"}
    assert {frozenset(ln) for ln in lines} == {
        frozenset({"exercise", "targets", "load", "tempo", "rest", "rir"})
    }
    start = emil.local_date(timezone.now()) + timedelta(days=3)
    url = reverse("blocks:new-block", args=[emil.pk])

    signed_in(ana).post(url, {"template": template.pk, "starts_on": start.isoformat()})

    assert len(snapshot_of(emil.blocks.get())["weeks"]) == 5
