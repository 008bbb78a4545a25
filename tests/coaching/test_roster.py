"""The roster: who trains with the coach, in which block and week."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from clients.intake_services import archive_client
from clients.models import Client
from clients.services import make_sign_in_link
from coaching.blocks.models import Block, PlannedSession, Week
from coaching.blocks.pages_roster import folded, roster_page, where_in
from tests.conftest import signed_in
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 3, 11, 12, tzinfo=UTC)
MONDAY = date(2026, 3, 9)
HTMX = {"HX-Request": "true"}


def plan(client: Client, first: date, weeks: int = 4, number: int = 1, published: bool = True):
    block = Block.objects.create(
        client=client,
        number=number,
        name="b",
        starts_on=first,
        published_at=NOW if published else None,
    )
    for n in range(weeks):
        start = first + timedelta(weeks=n)
        week = Week.objects.create(block=block, number=n + 1, starts_on=start, kind="build")
        PlannedSession.objects.create(week=week, name="Upper A", on=start, position=1)
        PlannedSession.objects.create(
            week=week, name="Lower B", on=start + timedelta(days=3), position=2
        )
    return block


def row_of(coach, now=NOW):
    [row] = roster_page(coach, now).rows
    return row


def test_a_running_block_shows_its_week_and_the_next_session(ana, cleo):
    plan(cleo, MONDAY - timedelta(weeks=1))

    row = row_of(ana)

    assert row.where.words == "block 1, week 2 of 4"
    assert (row.next_on, row.next_name) == (date(2026, 3, 12), "Lower B")


def test_a_session_that_was_begun_is_not_the_next_one(ana, cleo):
    plan(cleo, MONDAY)
    PlannedSession.objects.filter(on=date(2026, 3, 12)).update(started_at=NOW)

    assert row_of(ana).next_on == date(2026, 3, 16)


def test_the_newest_block_that_began_counts_and_drafts_do_not(ana, cleo):
    plan(cleo, MONDAY - timedelta(weeks=4), number=1)
    plan(cleo, MONDAY, number=2)
    plan(cleo, MONDAY, number=3, published=False)

    assert row_of(ana).where.words == "block 2, week 1 of 4"


@pytest.mark.parametrize(
    ("first", "words", "is_running"),
    [
        (date(2026, 3, 16), "block 1 starts Mon 16 Mar", False),
        (date(2026, 2, 9), "block 1 ended Sun 8 Mar", False),
        (date(2026, 2, 16), "block 1, week 4 of 4", True),
    ],
)
def test_a_block_before_and_after_its_weeks(ana, cleo, first, words, is_running):
    plan(cleo, first)

    where = row_of(ana).where

    assert (where.words, where.is_running) == (words, is_running)


def test_a_light_week_is_named(cleo):
    block = plan(cleo, MONDAY)
    block.weeks.update(kind="deload")

    assert where_in(list(block.weeks.order_by("number")), MONDAY).kind == "light"


def test_without_a_block_the_roster_says_so(ana, cleo):
    row = row_of(ana)

    assert (row.where.words, row.next_on) == ("no block yet", None)


def test_today_is_each_clients_own(ana):
    # 11 March 2026, 12:00 UTC is already the 12th on Kiritimati (UTC+14).
    west = ClientFactory.create(coach=ana, name="West", time_zone="Pacific/Honolulu")
    east = ClientFactory.create(coach=ana, name="East", time_zone="Pacific/Kiritimati")
    for client in (west, east):
        plan(client, date(2026, 3, 11), weeks=1)

    rows = {row.name: row.next_on for row in roster_page(ana, NOW).rows}

    assert rows == {"West": date(2026, 3, 11), "East": date(2026, 3, 14)}


def test_the_account_says_how_far_the_client_is(ana, cleo):
    assert row_of(ana).account == "needs a link"
    make_sign_in_link(user=cleo.user)
    # The link was made on the clock of this machine, so this test asks at that time.
    from_now = datetime.now(UTC)
    assert row_of(ana, from_now).account == "link not used yet"
    assert row_of(ana, from_now + timedelta(days=31)).account == "needs a link"
    cleo.user.last_login = NOW
    cleo.user.save()
    assert row_of(ana).account == "has signed in"
    Client.objects.update(user=None)
    assert row_of(ana).account == "none"


@pytest.mark.parametrize("size", [1, 200])
def test_the_roster_costs_the_same_for_one_client_and_two_hundred(
    ana, size, django_assert_num_queries
):
    for n in range(size):
        client = ClientFactory.create(coach=ana, time_zone=("UTC", "Asia/Tokyo")[n % 2])
        plan(client, MONDAY, weeks=1)

    with django_assert_num_queries(6):
        page = roster_page(ana, NOW)

    assert len(page.rows) == page.active_count == page.running_count == size


@pytest.mark.parametrize(
    ("typed", "found"),
    [("zoe", ["Zoë Ångström"]), ("ANG", ["Zoë Ångström"]), ("o", ["Otto", "Zoë Ångström"])],
)
def test_the_search_takes_any_part_of_a_name_without_accents(ana, typed, found):
    for name in ("Zoë Ångström", "Otto", "Édith"):
        ClientFactory.create(coach=ana, name=name)

    assert [row.name for row in roster_page(ana, NOW, search=typed).rows] == found


def test_names_are_sorted_without_capitals_and_accents(ana):
    for name in ("zoe", "Émile", "adam", "Eva"):
        ClientFactory.create(coach=ana, name=name)

    names = [row.name for row in roster_page(ana, NOW).rows]

    assert names == ["adam", "Émile", "Eva", "zoe"] == sorted(names, key=folded)


def test_who_left_is_in_the_other_list(ana, cleo):
    archive_client(client=cleo, now=NOW)

    here, left = roster_page(ana, NOW), roster_page(ana, NOW, shows_left=True)

    assert (here.rows, here.active_count, here.left_count) == ((), 0, 1)
    assert [row.left_on for row in left.rows] == [NOW.date()]


def test_a_coach_sees_the_own_clients_only(ana, ben, cleo, drew):
    browser = signed_in(ben)

    answer = browser.get("/roster/")

    assert [row.name for row in answer.context["page"].rows] == ["Drew Salas"]
    assert "Cleo" not in answer.text
    assert signed_in(cleo.user).get("/roster/").status_code == 404


def test_htmx_gets_the_list_and_a_browser_the_page(ana, cleo):
    browser, url = signed_in(ana), reverse("blocks:roster")

    part = browser.get(url, {"search": "nobody"}, headers=HTMX)
    page = browser.get(url, {"search": "cle"})

    assert part.text.lstrip().startswith('<div id="roster-list">')
    assert "Nobody here is called “nobody”" in part.text
    assert "<html" in page.text
    assert f'href="/clients/{cleo.pk}/"' in page.text
    assert 'value="cle"' in page.text


def test_an_empty_roster_leads_to_the_first_client(ana):
    answer = signed_in(ana).get("/roster/")

    assert "No clients yet" in answer.text
    assert 'href="/clients/new/"' in answer.text
