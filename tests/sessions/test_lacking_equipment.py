"""Equipment that has gone is told where a coach looks each week, with the way to its swaps."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from clients.services import set_equipment
from coaching.blocks.models import Prescription
from coaching.blocks.pages_roster import roster_page
from coaching.library.models import Exercise
from coaching.rules.findings import FindingKind
from coaching.rules.plan import EquipmentKind
from sessions.pages_review import read_roster, review_list, review_week
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

GOBLET = "Goblet squat"


def needs_dumbbells(block):
    """The block with goblet squats in the place of its lunges; how many lines that are."""
    goblet = Exercise.objects.get(coach=None, name=GOBLET)
    lines = Prescription.objects.filter(pair__planned_session__week__block=block)
    return lines.filter(exercise__key="reverse-lunge").update(exercise=goblet)


def has_all(client, but=""):
    kinds = (kind.value for kind in EquipmentKind if kind != but)
    set_equipment(client=client, items=[{"kind": kind} for kind in kinds])


@pytest.fixture
def block(cleo, last_week):
    has_all(cleo)
    made = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    assert needs_dumbbells(made)
    return made


@pytest.fixture
def gone(cleo, block):
    has_all(cleo, but="dumbbells")
    return block


def told(client, week, today):
    found = read_weeks([client], week, today)[0].findings
    return [one for one in found if one.kind is FindingKind.EQUIPMENT]


def test_while_it_is_there_nothing_is_told(cleo, block, last_week, today, coach):
    assert told(cleo, last_week, today) == []
    text = coach.get(reverse("sessions:client", args=[cleo.pk])).content.decode()
    assert "There are no dumbbells" not in text


def test_the_client_stands_among_those_who_need_the_coach(ana, cleo, gone, last_week, today):
    week = review_week(last_week.isoformat(), today)

    (group,) = review_list(read_roster(ana, week)).groups

    assert group.part.name == "Equipment missing"
    (item,) = group.items
    assert item.signal == "Equipment missing"
    assert item.words.why.startswith("There are no dumbbells: 1 exercise needs them in weeks ")
    assert item.words.why.endswith(f" of block {gone.number}.")


def test_the_panel_of_the_review_leads_to_the_swaps(cleo, gone, last_week, coach):
    address = reverse("sessions:review-client", args=[cleo.pk])
    text = coach.get(f"{address}?week={last_week.isoformat()}").content.decode()

    at = text.index("There are no dumbbells: 1 exercise needs them")
    assert at < text.index('id="targets-form"')
    assert f'{reverse("blocks:block", args=[gone.pk])}?week=3#findings"' in text[at:]
    assert f'{reverse("clients:intake", args=[cleo.pk])}#intake-equipment"' in text[at:]


def test_the_clients_page_says_what_is_missing_and_leads_to_the_block(cleo, gone, coach):
    text = coach.get(reverse("sessions:client", args=[cleo.pk])).content.decode()

    assert "There are no dumbbells" in text
    assert GOBLET in text
    # Once: the line above it tells what else the week says.
    assert "Equipment missing" not in text
    assert f'{reverse("blocks:block", args=[gone.pk])}?week=3#findings"' in text


def test_the_roster_marks_the_client(ana, cleo, gone, coach):
    (row,) = roster_page(ana, timezone.now()).rows

    assert [one.kind for block in row.lacking for one in block.needed] == ["dumbbells"]
    assert f"block {gone.number}: no dumbbells</a>" in coach.get("/roster/").content.decode()


def test_what_is_past_begun_or_not_published_is_not_told(cleo, gone, last_week, today):
    rows = Prescription.objects.filter(exercise__name=GOBLET)
    ahead = rows.filter(pair__planned_session__on__gte=today)
    assert ahead
    for row in ahead.select_related("pair__planned_session"):
        row.pair.planned_session.started_at = timezone.now()
        row.pair.planned_session.save()

    assert told(cleo, last_week, today) == []


def test_a_draft_is_left_to_its_own_page(cleo, gone, last_week, today):
    gone.published_at = None
    gone.save()

    assert told(cleo, last_week, today) == []


def test_a_week_of_long_ago_says_nothing_of_the_plan_of_today(cleo, gone, last_week, today):
    assert told(cleo, last_week - timedelta(weeks=2), today) == []


def test_reading_costs_the_same_for_one_client_and_for_four(ana, cleo, gone, last_week, today):
    others = [ClientFactory.create(coach=ana) for _ in range(3)]
    for one in others:
        assert needs_dumbbells(published_block(one, last_week, "beginner-full-body"))

    counts = []
    for clients in ([cleo], [cleo, *others]):
        with CaptureQueriesContext(connection) as asked:
            found = read_weeks(clients, last_week, today)
        assert all(one.lacking for one in found)
        counts.append(len(asked))

    assert counts[0] == counts[1]
