"""The return from a light week: what Today says of it, and what the review shows."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from coaching.blocks.models import PlannedSession, Week
from coaching.rules.findings import FindingKind
from coaching.rules.plan import Part, WeekKind
from sessions.return_view import MOST_SHOWN, return_view
from sessions.week_reading import read_weeks
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 11, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _wednesday(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


def block_with_light_week(cleo, monday, weeks_ago: int, light: int):
    """A block that began some weeks ago, its ``light``-th week a light one, the others usual."""
    block = published_block(cleo, monday - timedelta(weeks=weeks_ago), "beginner-full-body")
    Week.objects.filter(block=block).update(kind=WeekKind.BUILD)
    Week.objects.filter(block=block, number=light).update(kind=WeekKind.DELOAD)
    return block


def logged(cleo, before, drop_from=None, drop=0):
    """Everything planned before a day, each set short by ``drop`` from another day on."""
    for planned in PlannedSession.objects.filter(week__block__client=cleo, on__lt=before):
        fell = drop_from is not None and planned.on >= drop_from
        log_session(cleo, planned, drop=drop if fell else 0, rpe=9 if fell else 7)


# Today


def test_today_says_what_the_first_session_after_a_light_week_checks(cleo, monday, today):
    block = block_with_light_week(cleo, monday, 2, light=2)
    first = PlannedSession.objects.filter(week__block=block, on__gte=monday).earliest("on")
    pair = first.pairs.exclude(part=Part.WARM_UP).order_by("position")[0]

    page = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session={first.uid}")

    text = page.content.decode()
    assert "First session after the light week" in text
    assert "2 left or more" in text
    assert all(
        line.exercise.name in page.context["page"].session.light
        for line in pair.prescriptions.all()
    )


def test_no_other_session_is_said_to_be_one(cleo, monday, today):
    block = block_with_light_week(cleo, monday, 2, light=2)
    second = PlannedSession.objects.filter(week__block=block, on__gt=monday).earliest("on")

    page = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session={second.uid}")

    assert page.context["page"].session.light == ""


def test_a_light_week_longer_ago_than_the_phone_looks_back_is_found(cleo, monday, today):
    block = block_with_light_week(cleo, monday, 2, light=1)
    PlannedSession.objects.filter(week__block=block, week__number=2).delete()
    first = PlannedSession.objects.filter(week__block=block, on__gte=monday).earliest("on")

    page = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session={first.uid}")

    assert "First session after the light week" in page.content.decode()


# Review


@pytest.fixture
def returned(cleo, monday):
    """Five usual weeks, a light one, one after it, and more to come."""
    published_block(cleo, monday - timedelta(weeks=7), "beginner-full-body")
    published_block(cleo, monday - timedelta(weeks=2), "beginner-full-body")
    Week.objects.filter(block__client=cleo).update(kind=WeekKind.BUILD)
    light = monday - timedelta(weeks=2)
    Week.objects.filter(block__client=cleo, starts_on=light).update(kind=WeekKind.DELOAD)
    return cleo


def reading_of(client, monday, today):
    (reading,) = read_weeks([client], monday - timedelta(days=7), today)
    return reading


def test_who_is_weaker_after_the_light_week_comes_before_the_coach(returned, monday, today):
    logged(returned, monday, drop_from=monday - timedelta(days=7), drop=3)

    reading = reading_of(returned, monday, today)

    kinds = [f.kind for f in reading.urgent]
    assert kinds
    assert kinds[0] in (FindingKind.NOT_BACK, FindingKind.OVERREACHING)
    view = return_view(reading, today)
    assert view is not None
    assert view.check.all.change.high < 0
    assert view.word == "Not back"


def test_the_panel_shows_the_chart_and_a_table_of_all_exercises(ana, returned, monday, today):
    logged(returned, monday)

    address = reverse("sessions:review-client", args=[returned.pk])
    answer = signed_in(ana).get(address, {"week": (monday - timedelta(days=7)).isoformat()})

    view, text = answer.context["panel"].returned, answer.content.decode()
    assert "After the light week" in text
    assert "Before, during and after as a table" in text
    assert [mark.name.split(",")[0] for mark in view.course] == ["Before", "During", "After"]
    assert 1 <= len(view.lowest) <= MOST_SHOWN
    assert len(view.rows) == len(view.check.exercises) + 1
    assert all(row.name in text for row in view.rows)
    assert all(
        0 <= mark.low_x <= mark.x <= mark.high_x <= 100 for mark in (*view.course, *view.lowest)
    )


def test_without_a_light_week_nothing_is_shown(ana, cleo, monday, today):
    published_block(cleo, monday - timedelta(weeks=3), "beginner-full-body")
    Week.objects.filter(block__client=cleo).update(kind=WeekKind.BUILD)
    logged(cleo, monday)

    answer = signed_in(ana).get(reverse("sessions:review-client", args=[cleo.pk]))

    assert answer.context["panel"].returned is None
    assert "After the light week" not in answer.content.decode()
