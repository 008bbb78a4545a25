"""The list of blocks."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import BlockTemplate
from coaching.blocks.services import create_block_from_template
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


def test_the_list_shows_running_blocks_and_drafts(ana, cleo):
    today = cleo.local_date(timezone.now())
    published_block(cleo, today - timedelta(days=8))
    create_block_from_template(
        client=cleo,
        template=BlockTemplate.objects.order_by("key")[0],
        starts_on=today + timedelta(days=28),
        by=ana,
    )

    rows = signed_in(ana).get(reverse("blocks:blocks")).context["page"].rows

    assert [(row.number, row.state) for row in rows] == [(1, "published"), (2, "draft")]
    assert rows[0].where.startswith("week 2 of")


def test_a_block_that_ended_is_not_listed(ana, cleo):
    published_block(cleo, cleo.local_date(timezone.now()) - timedelta(weeks=20))

    assert signed_in(ana).get(reverse("blocks:blocks")).context["page"].rows == ()


def test_the_search_finds_clients_without_accents(ana):
    client = ClientFactory.create(coach=ana, name="Zoë Ångström")
    published_block(client, client.local_date(timezone.now()))
    url = reverse("blocks:blocks")

    found = signed_in(ana).get(url, {"search": "zoe"}, HTTP_HX_REQUEST="true")

    assert [row.client for row in found.context["page"].rows] == ["Zoë Ångström"]
    assert "<html" not in found.content.decode()


def test_another_coachs_blocks_are_not_listed(ben, cleo):
    published_block(cleo, cleo.local_date(timezone.now()))

    assert signed_in(ben).get(reverse("blocks:blocks")).context["page"].rows == ()


def test_the_list_takes_the_same_queries_however_long_it_is(ana, django_assert_num_queries):
    browser = signed_in(ana)
    for count in (1, 4):
        for _ in range(count):
            client = ClientFactory.create(coach=ana)
            published_block(client, client.local_date(timezone.now()))

        # Two for who is signed in, two for the list.
        with django_assert_num_queries(4):
            browser.get(reverse("blocks:blocks"))
