"""What an own template is called, for whom it is, and what it says."""

import pytest
from django.urls import reverse

from coaching.blocks.models import BlockTemplate
from tests.conftest import signed_in
from tests.factories.templates import keep, kept_template

pytestmark = pytest.mark.django_db


@pytest.fixture
def own(ana, cleo):
    return kept_template(ana, cleo)


def test_details_are_changed_and_the_plan_stays(ana, own):
    before = own.plan
    data = {"name": "Short week", "level": "intermediate", "description": "For evenings."}

    signed_in(ana).post(reverse("blocks:change-template", args=[own.pk]), data)

    own.refresh_from_db()
    assert (own.name, own.level, own.description) == tuple(data.values())
    assert own.plan == before


def test_a_name_of_another_template_is_refused_beside_the_field(ana, cleo, own):
    keep(ana, cleo.blocks.get(), name="Second")
    second = BlockTemplate.objects.get(name="Second")
    data = {"name": own.name, "level": "beginner", "description": "Three days."}

    answer = signed_in(ana).post(reverse("blocks:change-template", args=[second.pk]), data)

    assert answer.status_code == 422
    assert "choose another name" in str(answer.context["form"].errors["name"])
    second.refresh_from_db()
    assert second.name == "Second"
