"""A coach's own templates: kept from a block, named, removed, brought back."""

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import BlockTemplate, PlannedSession
from coaching.blocks.queries import templates_for
from coaching.blocks.shared_templates import from_plan
from coaching.blocks.snapshots import snapshot_of
from coaching.rules.plan import WeekKind
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo):
    return published_block(cleo, cleo.local_date(timezone.now()), "beginner-full-body")


def keep(ana, block, **changes):
    data = {"name": "Cleo's week", "level": "beginner", "week": 1, "description": "Three days."}
    url = reverse("blocks:save-as-template", args=[block.pk])
    return signed_in(ana).post(url, data | changes)


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


def test_another_coach_does_not_see_it(ana, ben, own):
    assert own not in templates_for(ben)
    page = signed_in(ben).get(reverse("blocks:templates"))
    assert own.name not in page.content.decode()


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


def test_details_are_changed_and_the_plan_stays(ana, own):
    before = own.plan
    data = {"name": "Short week", "level": "intermediate", "description": "For evenings."}

    signed_in(ana).post(reverse("blocks:change-template", args=[own.pk]), data)

    own.refresh_from_db()
    assert (own.name, own.level, own.description) == tuple(data.values())
    assert own.plan == before


def test_a_removed_template_is_offered_no_more_and_comes_back(ana, own):
    browser = signed_in(ana)
    browser.post(reverse("blocks:remove-template", args=[own.pk]))

    assert own not in templates_for(ana)
    page = browser.get(reverse("blocks:templates")).context["page"]
    assert [row.name for row in page.removed] == [own.name]

    browser.post(reverse("blocks:bring-back-template", args=[own.pk]))

    assert own in templates_for(ana)


def test_a_removed_name_that_is_used_again_is_not_brought_back(ana, block, own):
    browser = signed_in(ana)
    browser.post(reverse("blocks:remove-template", args=[own.pk]))
    keep(ana, block)

    answer = browser.post(reverse("blocks:bring-back-template", args=[own.pk]), follow=True)

    assert "choose another name" in answer.content.decode()
    own.refresh_from_db()
    assert own.removed_at is not None


def test_a_shared_template_belongs_to_nobody_and_cannot_be_changed(ana):
    shared = BlockTemplate.objects.filter(coach=None)[0]

    for name in ("change-template", "remove-template", "bring-back-template"):
        answer = signed_in(ana).post(reverse(f"blocks:{name}", args=[shared.pk]))
        assert answer.status_code == 404


def test_the_list_takes_a_fixed_number_of_queries(ana, own, django_assert_num_queries):
    browser = signed_in(ana)

    # Two for who is signed in, the rest as the page's docstring says.
    with django_assert_num_queries(2 + 2):
        browser.get(reverse("blocks:templates"))
