"""The week as the coach reads it: what was done in place of the plan, left out, and corrected."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.services import add_joint_limit
from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import Exercise
from coaching.rules.plan import Part
from sessions.models import Correction, LineChange, LoggedSet
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def logged(cleo, last_week):
    block = published_block(cleo, last_week, "beginner-full-body")
    return log_session(cleo, PlannedSession.objects.filter(week__block=block).order_by("on")[0])


@pytest.fixture
def lines(logged):
    """The first two exercises of that session's working part."""
    found = Prescription.objects.filter(pair__planned_session=logged.planned_session)
    return list(found.exclude(pair__part=Part.WARM_UP.value).order_by("pair__letter", "pk")[:2])


@pytest.fixture
def other(logged):
    """An exercise that this session does not hold."""
    held = logged.sets.values("exercise")
    return Exercise.objects.filter(measure="reps").exclude(pk__in=held).order_by("pk")[0]


def change(logged, line, kind, reason, exercise=None):
    return LineChange.objects.create(
        uid=uuid4(),
        logged_session=logged,
        prescription_uid=line.uid,
        change=kind,
        exercise=exercise,
        reason=reason,
        done_at=logged.started_at,
    )


def swap(logged, line, other, reason="shoulder"):
    logged.sets.filter(prescription_uid=line.uid).update(exercise=other)
    return change(logged, line, "swap", reason, other)


def panel(ana, client, week):
    url = f"{reverse('sessions:review-client', args=[client.pk])}?week={week.isoformat()}"
    answer = signed_in(ana).get(url)
    return answer.context["panel"], answer.content.decode()


def line_named(found, name):
    [session] = found.done.sessions
    [line] = [one for pair in session.pairs for one in pair.lines if one.name == name]
    return line


def test_what_was_done_instead_is_no_short_set_and_names_what_was_planned(
    ana, cleo, logged, lines, other, last_week
):
    swap(logged, lines[0], other)
    LoggedSet.objects.filter(exercise=other).update(amount=1)

    found, html = panel(ana, cleo, last_week)

    line = line_named(found, other.name)
    assert (line.instead_of, line.short_sets) == (lines[0].exercise.name, 0)
    assert f"instead of {lines[0].exercise.name}" in html
    assert f"Swapped {lines[0].exercise.name} for {other.name}: shoulder" in html


def test_sets_before_a_swap_stay_with_the_plan(ana, cleo, logged, lines, other, last_week):
    last = logged.sets.filter(prescription_uid=lines[0].uid).order_by("-number")[0]
    logged.sets.filter(pk=last.pk).update(exercise=other)

    found, _ = panel(ana, cleo, last_week)

    own = line_named(found, lines[0].exercise.name)
    assert [one.amount for one in own.sets][-1] is None
    assert own.short_sets == 1
    assert [one.amount for one in line_named(found, other.name).sets] == [last.amount]


def test_what_was_skipped_is_no_short_set_and_says_why(ana, cleo, logged, lines, last_week):
    logged.sets.filter(prescription_uid=lines[1].uid).delete()
    short, _ = panel(ana, cleo, last_week)
    change(logged, lines[1], "skip", "no bench")

    found, html = panel(ana, cleo, last_week)

    name = lines[1].exercise.name
    assert line_named(short, name).short_sets == len(lines[1].targets)
    assert line_named(found, name).short_sets == 0
    assert "skipped: no bench" in html
    assert f"Skipped {name}: no bench" in html


def test_a_correction_stands_in_review_and_on_the_client_page(ana, cleo, logged, now, last_week):
    one = logged.sets.order_by("done_at")[0]
    values = {"amount": one.amount + 3, "load": float(one.load_kg), "exercise": one.exercise_id}
    Correction.objects.create(
        client=cleo,
        logged_session=logged,
        entry_uid=one.uid,
        edit=uuid4(),
        kind="set",
        revision=1,
        values={**values, "removed": False},
        at=one.done_at + timedelta(minutes=5),
    )
    words = f"(was {one.amount + 3}, corrected "

    _, review = panel(ana, cleo, last_week)
    page = signed_in(ana).get(reverse("sessions:client", args=[cleo.pk]))

    assert words in review
    assert words in page.content.decode()
    assert [str(told).count(words) for told in page.context["page"].changes] == [1]


def test_the_coach_reads_that_a_swap_loads_what_the_client_avoids(
    ana, cleo, logged, lines, last_week
):
    other = Exercise.objects.get(key="push-up")
    stress = other.joint_stresses[0]
    add_joint_limit(client=cleo, stress=stress, action="avoid", since=last_week)
    change(logged, lines[0], "swap", "no bars", other)

    _, html = panel(ana, cleo, last_week)

    assert f"for {other.name}: no bars. Cleo avoids this: " in html


def test_what_is_older_than_two_weeks_is_not_on_the_client_page(ana, cleo, logged, lines, today):
    change(logged, lines[0], "skip", "no time")
    logged.on = today - timedelta(days=15)
    logged.save()

    page = signed_in(ana).get(reverse("sessions:client", args=[cleo.pk])).context["page"]

    assert page.changes == ()


def test_the_pages_cost_the_same_however_much_was_changed(ana, cleo, logged, lines, last_week):
    other = Exercise.objects.get(key="push-up")
    add_joint_limit(client=cleo, stress=other.joint_stresses[0], action="avoid", since=last_week)

    def count(url):
        with CaptureQueriesContext(connection) as found:
            signed_in(ana).get(url)
        return len(found)

    urls = [
        f"{reverse('sessions:review-client', args=[cleo.pk])}?week={last_week.isoformat()}",
        reverse("sessions:client", args=[cleo.pk]),
        reverse("sessions:log-of", args=[cleo.pk]),
    ]
    change(logged, lines[0], "swap", "no bars", other)
    # The first look keeps what was learned of the strength; only then are two looks alike.
    few = [count(url) for url in urls + urls][len(urls) :]
    for number in range(6):
        change(logged, lines[number % 2], "swap", "no bars", other)

    assert [count(url) for url in urls] == few
