"""The list of blocks."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import Block, BlockTemplate
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

    page = signed_in(ana).get(reverse("blocks:blocks")).context["page"]

    assert [row.number for row in page.rows] == [1]
    assert [row.number for row in page.drafts] == [2]
    assert page.rows[0].where.startswith("week 2 of")
    start = today + timedelta(days=28)
    assert page.drafts[0].where == f"{start:%a} {start.day} {start:%b}"
    assert page.drafts[0].made.startswith("today, ")


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


def draft(client, ana, starts_in=28):
    start = client.local_date(timezone.now()) + timedelta(days=starts_in)
    template = BlockTemplate.objects.get(key="first-block-floor")
    return create_block_from_template(client=client, template=template, starts_on=start, by=ana)


def test_drafts_stand_first_and_the_newest_of_them_at_the_top(ana, cleo):
    early = ClientFactory.create(coach=ana, name="Abe Olsen")
    published_block(cleo, cleo.local_date(timezone.now()))
    newer, older = draft(cleo, ana), draft(early, ana)
    Block.objects.filter(pk=older.pk).update(created_at=timezone.now() - timedelta(days=3))

    answer = signed_in(ana).get(reverse("blocks:blocks"))

    assert [row.pk for row in answer.context["page"].drafts] == [newer.pk, older.pk]
    text = answer.content.decode()
    assert text.index('id="drafts"') < text.index('id="published"')
    assert "No client sees these before they are published." in text


def test_drafts_just_made_are_marked_and_the_message_leads_to_them(ana, cleo):
    clients = [cleo, *(ClientFactory.create(coach=ana, name=f"Client {n}") for n in "BCDE")]
    old = draft(clients[1], ana)
    template = BlockTemplate.objects.get(key="first-block-floor")
    browser, url = signed_in(ana), reverse("blocks:apply-template", args=[template.pk])

    made = browser.post(url, {"clients": [one.pk for one in clients]})

    there = made["Location"]
    assert made.status_code == 302
    assert there.endswith("#drafts")
    answer = browser.get(there)
    text = answer.content.decode()
    drafts = answer.context["page"].drafts
    assert [row.client for row in drafts] == [*(one.name for one in clients), "Client B"]
    assert [row.is_new for row in drafts] == [True] * 5 + [False]
    assert drafts[-1].pk == old.pk
    assert text.count('<strong class="tag is-strong">new</strong>') == 5
    assert f"5 drafts for {cleo.name}, Client B, Client C and 2 more are made." in text
    assert f"href='{there}'" in text
    # A search goes on marking them.
    assert 'name="new"' in text


def test_new_marks_nothing_that_is_no_draft_of_the_coach(ana, ben, cleo):
    block = published_block(cleo, cleo.local_date(timezone.now()))
    mine = draft(cleo, ana)

    shown = signed_in(ana).get(reverse("blocks:blocks"), {"new": f"{block.pk},x,²,{'9' * 40}"})
    other = signed_in(ben).get(reverse("blocks:blocks"), {"new": str(mine.pk)})

    page = shown.context["page"]
    assert not any(row.is_new for row in (*page.drafts, *page.rows))
    assert page.new == other.context["page"].new == ()


def test_a_draft_whose_first_day_has_gone_by_says_so(ana, cleo):
    late = draft(cleo, ana, starts_in=1)
    day = cleo.local_date(timezone.now()) - timedelta(days=6)
    late.weeks.filter(number=1).update(starts_on=day)

    (row,) = signed_in(ana).get(reverse("blocks:blocks")).context["page"].drafts

    assert row.is_late
    assert row.where == f"was to start {day:%a} {day.day} {day:%b}"


def test_another_coachs_blocks_are_not_listed(ben, cleo):
    published_block(cleo, cleo.local_date(timezone.now()))

    assert signed_in(ben).get(reverse("blocks:blocks")).context["page"].rows == ()


def test_the_list_takes_the_same_queries_however_long_it_is(ana, django_assert_num_queries):
    browser = signed_in(ana)
    for count, made in ((1, 1), (4, 5)):
        for _ in range(count):
            client = ClientFactory.create(coach=ana)
            published_block(client, client.local_date(timezone.now()))

        # Two for who is signed in, two for the list.
        with django_assert_num_queries(4):
            answer = browser.get(reverse("blocks:blocks"))
        assert len(answer.context["page"].rows) == made
