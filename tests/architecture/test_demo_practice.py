"""The invented practice: every story in it shows in the review, and dates follow today."""

from datetime import date, timedelta

import pytest
from django.db import connection, transaction

from clients.models import Client, Equipment
from coaching.blocks.models import PlannedSession, Prescription
from coaching.rules.findings import FindingKind
from coaching.rules.plan import EquipmentKind
from demo_fixtures.load import load_demo
from demo_fixtures.people import PEOPLE, Story
from sessions.models import Decision, LoggedSession, LoggedSet, WeekReview
from sessions.queries import week_start
from sessions.week_reading import WeekReading, read_weeks

# Each test runs in a transaction of its own, inside the one that holds the practice.
pytestmark = pytest.mark.django_db

TODAY = date(2026, 3, 11)
SIGNS = {
    Story.OVERREACHING: FindingKind.OVERREACHING,
    Story.SHOULDER: FindingKind.PAIN,
    Story.STALL: FindingKind.STALLED,
    Story.PACING: FindingKind.PACING,
    Story.MISSING: FindingKind.MISSED,
    Story.BLOCK_ENDS: FindingKind.BLOCK_ENDS,
}


@pytest.fixture(scope="module")
def practice(django_db_setup, django_db_blocker):
    """The practice loaded once for this file, and taken out again after it."""
    with django_db_blocker.unblock(), transaction.atomic():
        load_demo(TODAY)
        # Else PostgreSQL, which checks rows late, would check all of these at the end of each test.
        connection.check_constraints()
        yield
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def readings(practice, django_db_blocker) -> dict[str, WeekReading]:
    """What the review reads of everyone, read once: no test changes the practice."""
    with django_db_blocker.unblock():
        return readings_on(TODAY)


def readings_on(today: date) -> dict[str, WeekReading]:
    """What the review reads of everyone in the last week that holds anything."""
    week = week_start(today - timedelta(days=1))
    found = read_weeks(list(Client.objects.all()), week, today)
    return {reading.client.name: reading for reading in found}


def kinds(reading: WeekReading) -> set[FindingKind]:
    return {finding.kind for finding in reading.findings}


@pytest.mark.parametrize("person", [p for p in PEOPLE if p.story in SIGNS], ids=lambda p: p.name)
def test_a_story_shows_in_the_review(readings, person):
    assert SIGNS[person.story] in kinds(readings[person.name])


def test_only_the_client_who_overreaches_is_said_to(readings):
    found = {name for name, one in readings.items() if FindingKind.OVERREACHING in kinds(one)}

    assert found == {p.name for p in PEOPLE if p.story is Story.OVERREACHING}


def test_most_clients_went_to_plan(readings):
    to_plan = [one for one in readings.values() if one.first is None]

    assert len(to_plan) >= len(PEOPLE) // 2


def test_there_are_24_clients_of_every_level_over_26_weeks(practice):
    first = LoggedSession.objects.order_by("on")[0].on
    levels = set(Client.objects.values_list("level", flat=True))

    assert len(PEOPLE) == 24
    assert levels == {"absolute beginner", "beginner", "intermediate", "advanced"}
    assert 24 <= (TODAY - first).days / 7 <= 27


def test_nothing_is_logged_after_yesterday(practice):
    last = LoggedSession.objects.order_by("-on")[0].on
    sets = LoggedSet.objects.count()

    assert last < TODAY
    assert sets > 20_000


def test_the_demo_client_has_a_session_today(practice):
    due = PlannedSession.objects.filter(
        week__block__client__name="Amara Diallo", on=TODAY, started_at=None
    )

    assert due.count() == 1


def test_nobody_is_asked_for_what_they_do_not_own(practice):
    owned: dict[int, set[str]] = {}
    for row in Equipment.objects.all():
        owned.setdefault(row.client_id, set()).add(row.kind)
    asked = Prescription.objects.values_list(
        "pair__planned_session__week__block__client", "exercise__key", "exercise__equipment"
    ).distinct()

    missing = [(who, key) for who, key, needs in asked if set(needs) - owned.get(who, set())]

    assert {kind for kinds in owned.values() for kind in kinds} <= set(EquipmentKind)
    assert missing == []


def test_usual_weeks_ask_for_repetitions_that_a_coach_would_write(practice):
    usual = Prescription.objects.filter(
        pair__planned_session__week__kind="build",
        exercise__measure="reps",
        pair__part__in=["primary", "supplementary", "isolation"],
    ).exclude(targets=[])

    targets = [min(row.targets) for row in usual]

    few = [reps for reps in targets if reps < 5]
    assert len(few) < 0.03 * len(targets)
    assert min(targets) >= 3


def test_every_client_has_answered_the_health_screen(practice):
    asked = Client.objects.exclude(screening_answers={})

    assert asked.count() == len(PEOPLE)
    assert asked.filter(cleared_on__isnull=False).count() == 3


def test_nothing_is_decided_yet_for_a_client_who_needs_the_coach(readings):
    changed = Decision.objects.exclude(version=None)
    already = set(changed.values_list("review__client__name", flat=True))

    assert already
    assert all(readings[name].first is None for name in already)


def test_past_weeks_hold_notes_for_both_and_decisions(practice):
    told = WeekReview.objects.exclude(note_to_client="").count()
    private = WeekReview.objects.exclude(private_note="").count()
    deciding = set(Decision.objects.values_list("review__client__name", flat=True))

    assert told >= 8
    assert private >= 5
    assert len(deciding) >= 3
