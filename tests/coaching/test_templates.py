"""The list of templates: the coach's own, those removed, and the shared ones."""

import pytest
from django.urls import reverse

from coaching.blocks.models import BlockTemplate
from coaching.blocks.queries import templates_for
from coaching.rules.plan import Level
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


def test_another_coach_does_not_see_it(ana, ben, own):
    assert own not in templates_for(ben)
    page = signed_in(ben).get(reverse("blocks:templates"))
    assert own.name not in page.content.decode()


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


def test_shared_templates_stand_from_the_lowest_level_to_the_highest(ana):
    rows = signed_in(ana).get(reverse("blocks:templates")).context["page"].shared

    levels = [[level.value for level in Level].index(row.level) for row in rows]
    assert levels == sorted(levels)
    assert len({row.level for row in rows}) == len(Level)
