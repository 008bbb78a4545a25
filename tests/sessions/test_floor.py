"""The floor: who is offered first, which columns stand there, and what may stand in a frame."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import PlannedSession
from sessions.pages_floor import MOST, floor_page, floor_url
from tests.architecture.url_table import TABLE, build_world
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session

pytestmark = pytest.mark.django_db
FRAMED = {"sessions:today-for", "sessions:unplanned-for"}


def trains_today(client) -> PlannedSession:
    """A client's only session of today."""
    today = client.local_date(timezone.now())
    block = published_block(client, today - timedelta(days=today.weekday()), "upper-lower")
    row = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    PlannedSession.objects.filter(week__block=block, on=today).exclude(pk=row.pk).delete()
    row.on = today
    row.save()
    return row


def shown(answer) -> list[int]:
    return [column.pk for column in answer.context["page"].columns]


def test_those_with_a_session_today_are_offered_first(ana, cleo):
    ClientFactory.create(coach=ana, name="Ada Lind")
    zoe = ClientFactory.create(coach=ana, name="Zoe Park")
    planned = trains_today(zoe)

    page = floor_page(ana, [], timezone.now())

    assert [row.name for row in page.clients] == ["Zoe Park", "Ada Lind", "Cleo Brandt"]
    assert [row.session for row in page.clients] == [planned.name, "", ""]


@pytest.mark.parametrize(
    ("how", "word"), [({}, "done"), ({"skipped_reason": "ill"}, "skipped")], ids=["done", "skipped"]
)
def test_a_session_of_today_says_what_became_of_it(ana, cleo, how, word):
    planned = trains_today(cleo)
    log_session(cleo, planned, **how)

    [row] = floor_page(ana, [], timezone.now()).clients

    assert row.session == f"{planned.name}, {word}"


def test_the_day_is_each_clients_own(ana):
    noon = timezone.now().replace(hour=12, minute=0)
    east = ClientFactory.create(coach=ana, name="East", time_zone="Pacific/Kiritimati")
    west = ClientFactory.create(coach=ana, name="West", time_zone="Pacific/Pago_Pago")
    for client in (east, west):
        day = client.local_date(noon)
        block = published_block(client, day - timedelta(days=day.weekday()), "upper-lower")
        rows = PlannedSession.objects.filter(week__block=block).order_by("on")
        rows.filter(pk=rows[0].pk).update(on=day, name=f"Of {client.name}")
        rows.filter(on__range=(day - timedelta(days=1), day + timedelta(days=1))).exclude(
            name__startswith="Of "
        ).delete()

    told = {row.name: row.session for row in floor_page(ana, [], noon).clients}

    assert east.local_date(noon) != west.local_date(noon)
    assert told == {"East": "Of East", "West": "Of West"}


def test_each_chosen_client_has_a_column_in_the_order_of_the_address(ana, cleo):
    zoe = ClientFactory.create(coach=ana, name="Zoe Park")

    answer = signed_in(ana).get(floor_url([zoe.pk, cleo.pk]))

    html = answer.content.decode()
    assert shown(answer) == [zoe.pk, cleo.pk]
    assert f'<iframe title="Today of Zoe Park" src="/clients/{zoe.pk}/today/">' in html
    assert [c.without for c in answer.context["page"].columns] == [
        floor_url([cleo.pk]),
        floor_url([zoe.pk]),
    ]


def test_the_floor_of_earlier_today_comes_back_and_an_emptied_one_stays_empty(ana, cleo):
    browser, bare = signed_in(ana), reverse("sessions:floor")
    browser.get(floor_url([cleo.pk]))
    back = browser.get(bare)

    browser.get(floor_url([]))
    after = browser.get(bare)

    assert (back.status_code, back.headers["Location"]) == (302, floor_url([cleo.pk]))
    assert (after.status_code, shown(after)) == (200, [])


def test_the_floor_of_yesterday_does_not_come_back(ana, cleo):
    browser = signed_in(ana)
    browser.get(floor_url([cleo.pk]))
    session = browser.session
    yesterday = timezone.localdate() - timedelta(days=1)
    session["floor"] = {"on": yesterday.isoformat(), "clients": [cleo.pk]}
    session.save()

    answer = browser.get(reverse("sessions:floor"))

    assert (answer.status_code, shown(answer)) == (200, [])


def test_more_than_fit_are_left_out_and_it_says_so(ana):
    many = [ClientFactory.create(coach=ana) for _ in range(MOST + 1)]

    answer = signed_in(ana).get(floor_url([client.pk for client in many]))

    assert shown(answer) == [client.pk for client in many[:MOST]]
    assert "1 more was asked for" in answer.content.decode()


@pytest.mark.parametrize("who", ["drew", "x", "-1", "99999999999999999999", "1.5"])
def test_nobody_else_is_on_the_floor(ana, cleo, drew, who):
    asked = str(drew.pk) if who == "drew" else who

    answer = signed_in(ana).get(reverse("sessions:floor"), {"client": [cleo.pk, asked]})

    assert answer.status_code == 404


def test_one_who_left_has_no_column(ana, cleo):
    gone = ClientFactory.create(coach=ana, archived_at=timezone.now())

    assert shown(signed_in(ana).get(floor_url([gone.pk, cleo.pk]))) == [cleo.pk]


def test_the_floor_costs_the_same_however_many_train(ana, django_assert_max_num_queries):
    many = [ClientFactory.create(coach=ana) for _ in range(4)]
    for client in many:
        trains_today(client)

    with django_assert_max_num_queries(2):
        page = floor_page(ana, many, timezone.now())

    assert [bool(row.session) for row in page.clients] == [True] * 4


def test_only_today_for_a_client_may_stand_in_a_frame_and_only_in_ours():
    """Header Field X-Frame-Options, RFC 7034; directive frame-ancestors, CSP Level 3, 6.4.2."""
    world = build_world()
    users = {"own coach": world.ana, "own client": world.cleo.user}
    seen = set()

    for name, row in TABLE.items():
        who = next((users[one] for one in users if one in row.allowed), None)
        if row.posts or who is None:
            continue
        answer = signed_in(who).get(reverse(name, kwargs=row.kwargs(world)))
        told = answer.headers["X-Frame-Options"], _frame_ancestors(answer)
        assert told == (("SAMEORIGIN", "'self'") if name in FRAMED else ("DENY", "'none'")), name
        seen.add(name)

    assert seen > FRAMED


def _frame_ancestors(answer) -> str:
    policy = answer.headers["Content-Security-Policy"]
    [found] = [part for part in policy.split("; ") if part.startswith("frame-ancestors ")]
    return str(found.removeprefix("frame-ancestors "))
