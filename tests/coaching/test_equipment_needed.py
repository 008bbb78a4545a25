"""What plans need and is not written down: a part of the intake, and a page of its own."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.needed_equipment import blocks_that_need
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db

PAGE = "blocks/equipment_needed/page.html"
PART = "blocks/equipment_needed/_part.html"


@pytest.fixture
def block(cleo):
    return published_block(cleo, cleo.local_date(timezone.now()), "beginner-full-body")


def asked(ana, cleo, **headers):
    return signed_in(ana).get(reverse("blocks:equipment-needed", args=[cleo.pk]), headers=headers)


def test_the_intake_asks_for_it_apart_and_links_to_it(ana, cleo, block):
    address = reverse("blocks:equipment-needed", args=[cleo.pk])

    text = signed_in(ana).get(reverse("clients:intake", args=[cleo.pk])).content.decode()

    assert f'hx-get="{address}"' in text
    assert f'href="{address}"' in text


def test_what_is_missing_is_told_with_the_way_to_its_week(ana, cleo, block):
    cleo.equipment.filter(kind="rings").delete()

    whole, part = asked(ana, cleo), asked(ana, cleo, hx_request="true")

    for answer, template in ((whole, PAGE), (part, PART)):
        text = answer.content.decode()
        assert template in [one.name for one in answer.templates]
        assert f"Block {block.number}:</strong> There are no rings" in text
        assert f'{reverse("blocks:block", args=[block.pk])}?week=1#findings"' in text
    assert PAGE not in [one.name for one in part.templates]


def test_where_all_is_there_it_says_so(ana, cleo, block):
    assert "No plan to come needs what is not there." in asked(ana, cleo).content.decode()


def test_each_block_to_come_costs_two_queries_more(cleo, block):
    def cost():
        with CaptureQueriesContext(connection) as found:
            blocks_that_need(cleo)
        return len(found)

    one = cost()
    published_block(cleo, block.weeks.last().starts_on.replace(year=2031), "beginner-full-body")

    assert cost() == one + 2
