"""A block's cautions of health: breath-holding, and a guardian's consent."""

import pytest
from django.urls import reverse

from coaching.blocks.models import BlockTemplate
from coaching.blocks.services import create_block_from_template
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def test_a_block_cautions_about_breath_where_hard_work_meets_a_condition(ana, cleo, block, day):
    url = reverse("blocks:block", args=[block.pk])
    quiet = signed_in(ana).get(url).text

    cleo.screening_answers = {"blood pressure": True}
    cleo.save(update_fields=["screening_answers"])
    told = signed_in(ana).get(url)

    assert "No breath-holding on" not in quiet
    assert "No breath-holding on" in told.text
    assert "high blood pressure" in told.context["page"].breath.sentence


@pytest.mark.parametrize(
    ("born", "answers", "waits"),
    [(15, {}, True), (15, {"minor": True, "consent": True}, False), (30, {"minor": False}, False)],
)
def test_a_draft_for_a_minor_asks_for_a_guardian_before_it_is_published(
    ana, cleo, day, monday, born, answers, waits
):
    cleo.born_in, cleo.screening_answers = day.year - born, answers
    cleo.save(update_fields=["born_in", "screening_answers"])
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)

    pages = [
        signed_in(ana).get(reverse("blocks:block", args=[draft.pk])).text,
        signed_in(ana).get(reverse("blocks:new-block", args=[cleo.pk])).text,
    ]

    for page in pages:
        assert ("written consent of a parent or guardian" in page) is waits
