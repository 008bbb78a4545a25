"""Today: which session, what it asks, what it remembers, and who may see it."""

from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.models import Equipment
from clients.services import record_body_weight
from coaching.blocks.models import PlannedSession
from coaching.rules.plan import WeekKind
from sessions.models import WeekReview
from sessions.pages_today import EFFORT_WORDS, choose, today_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week

URLS = {"today_url": "/today/", "log_url": "/my-log/", "sync_url": "/sync/"}
MONDAY = date(2026, 3, 9)
TEMPLATE = "upper-lower"


def noon(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def page_of(client, day, wanted=None, user=None):
    return today_page(client, user or client.user, noon(day), URLS, wanted)


@pytest.fixture
def block(cleo):
    return published_block(cleo, MONDAY, TEMPLATE)


def session_on(block, day) -> PlannedSession:
    return PlannedSession.objects.get(week__block=block, on=day)


def row(on, *, logged_on=None, started=None, finished=None, skipped=""):
    """A planned session as ``choose`` looks at it."""
    if logged_on is None:
        return SimpleNamespace(on=on, started_at=None)
    logged = SimpleNamespace(
        on=logged_on,
        started_at=started or noon(logged_on),
        finished_at=finished,
        skipped_reason=skipped,
    )
    return SimpleNamespace(on=on, started_at=logged.started_at, logged_session=logged)


TODAY = date(2026, 3, 11)
YESTERDAY, TOMORROW = TODAY - timedelta(days=1), TODAY + timedelta(days=1)


def test_the_session_planned_for_today_is_shown():
    rows = [row(YESTERDAY), row(TODAY), row(TOMORROW)]

    assert choose(rows, TODAY, noon(TODAY)) is rows[1]


def test_a_session_that_runs_goes_before_the_one_planned_for_today():
    rows = [row(YESTERDAY, logged_on=TODAY, started=noon(TODAY)), row(TODAY)]

    assert choose(rows, TODAY, noon(TODAY) + timedelta(hours=1)) is rows[0]


def test_a_session_begun_late_runs_on_past_midnight():
    late = datetime(2026, 3, 10, 23, 30, tzinfo=UTC)
    rows = [row(YESTERDAY, logged_on=YESTERDAY, started=late)]

    assert choose(rows, TODAY, late + timedelta(hours=1)) is rows[0]
    assert choose(rows, TODAY, late + timedelta(hours=13)) is None


def test_of_two_sessions_today_the_open_one_is_shown_and_then_the_last():
    first = row(TODAY, logged_on=TODAY, finished=noon(TODAY))
    second = row(TODAY)
    done = row(TODAY, logged_on=TODAY, skipped="ill")

    assert choose([first, second], TODAY, noon(TODAY)) is second
    assert choose([first, done], TODAY, noon(TODAY)) is done


def test_a_missed_session_done_today_is_todays():
    rows = [row(YESTERDAY, logged_on=TODAY, finished=noon(TODAY))]

    assert choose(rows, TODAY, noon(TODAY)) is rows[0]


def test_the_words_of_the_effort_scale_are_the_published_ones():
    # Session RPE, modified CR-10 as printed in J Sports Sci Med 2006;5, table 1:
    # https://jssm.org/tablejssm-05-289.xml/table001.xml
    published = {
        0: "Rest",
        1: "Very, very easy",
        2: "Easy",
        3: "Moderate",
        4: "Somewhat hard",
        5: "Hard",
        7: "Very hard",
        10: "Maximal",
    }

    worded = {n: word for n, word in enumerate(EFFORT_WORDS) if word}

    assert {n: word.lower() for n, word in published.items()} == worded
    assert len(EFFORT_WORDS) == 11


def test_a_session_is_told_pair_by_pair_as_it_was_planned(cleo, block):
    planned = session_on(block, MONDAY)

    page = page_of(cleo, MONDAY)

    pairs = planned.pairs.prefetch_related("prescriptions__exercise")
    assert page.session is not None
    assert [p.letter for p in page.session.pairs] == [p.letter for p in pairs]
    names = [p.exercise.name for pair in pairs for p in pair.prescriptions.all()]
    assert [line.name for p in page.session.pairs for line in p.lines] == names
    assert [line["targets"] for line in page.data["lines"]] == [
        p.targets for pair in pairs for p in pair.prescriptions.all()
    ]


def test_push_stands_left_and_pull_right_whatever_comes_first(cleo, block):
    one, two = session_on(block, MONDAY).pairs.all()[0].prescriptions.all()
    by_side = {p.exercise.pattern: p.exercise.name for p in (one, two)}
    assert set(by_side) == {"push", "pull"}
    one.exercise, two.exercise = two.exercise, one.exercise
    one.save()
    two.save()

    page = page_of(cleo, MONDAY)

    assert page.session is not None
    assert {line.side: line.name for line in page.session.pairs[0].lines} == by_side


def test_last_time_is_told_with_its_load(cleo, block):
    log_session(cleo, session_on(block, MONDAY), drop=1)

    page = page_of(cleo, MONDAY + timedelta(days=7))

    assert page.session is not None
    line = page.session.pairs[0].lines[0]
    first = session_on(block, MONDAY).pairs.all()[0].prescriptions.all()[0]
    assert line.last.startswith(f"{len(first.targets)} × {first.targets[0] - 1}")


def test_loads_can_only_be_stepped_to_what_the_equipment_makes(cleo, block):
    cleo.equipment.all().delete()
    pieces = [7.5, 10, 12.5]
    Equipment.objects.create(client=cleo, kind="dumbbells", pieces=pieces)

    lines = page_of(cleo, MONDAY).data["lines"]

    held = [line for line in lines if line["load_kind"] == "external"]
    assert held
    assert all(set(line["loads"]) <= {line["load"], *pieces} for line in held)
    assert all(line["loads"] == [] for line in lines if line["load_kind"] == "none")


def test_a_light_week_says_so_and_how_much_less_it_is(cleo, block):
    light = PlannedSession.objects.filter(week__block=block, week__kind=WeekKind.DELOAD.value)
    planned = light.order_by("on")[0]

    page = page_of(cleo, planned.on)

    assert page.session is not None
    assert page.session.light.startswith(
        "Light week: fewer reps on purpose, same loads, easy effort."
    )
    now = sum(sum(x["targets"]) for x in page.data["lines"] if x["measure"] == "reps")
    assert f"Today {now} reps instead of " in page.session.light


def test_a_missed_session_is_still_open_and_the_next_one_is_named(cleo, block):
    days = list(PlannedSession.objects.filter(week__block=block).values_list("on", flat=True)[:3])
    rest_day = next(d for d in (days[0] + timedelta(days=n) for n in range(7)) if d not in days)

    page = page_of(cleo, rest_day)

    assert page.session is None
    assert page.missed[-1].on == max(d for d in days if d < rest_day)
    assert page.coming is not None
    assert page.coming.on > rest_day


def test_a_skipped_session_is_not_offered_as_missed(cleo, block):
    log_session(cleo, session_on(block, MONDAY), skipped_reason="ill")

    page = page_of(cleo, MONDAY + timedelta(days=2))

    assert MONDAY not in [missed.on for missed in page.missed]


def test_the_word_of_the_latest_reviewed_week_stands_on_top(ana, cleo, block):
    for start, note in (
        (MONDAY - timedelta(days=14), "Old."),
        (MONDAY - timedelta(days=7), "Slow down."),
    ):
        WeekReview.objects.create(
            client=cleo, week_starts_on=start, by=ana, reviewed_at=noon(start), note_to_client=note
        )
    WeekReview.objects.create(client=cleo, week_starts_on=MONDAY, note_to_client="Not sent yet.")

    page = page_of(cleo, MONDAY)

    assert (page.words.note, page.words.by) == ("Slow down.", "Ana Ferro")


def test_what_was_logged_comes_back_with_the_page(cleo, block):
    logged = log_session(cleo, session_on(block, MONDAY), drop=1)

    page = page_of(cleo, MONDAY)

    assert {s["uid"] for s in page.data["sets"]} == {str(s.uid) for s in logged.sets.all()}
    assert page.data["about"]["rpe"] == 7
    assert page.data["session"] == str(logged.uid)


@pytest.mark.parametrize("day", [0, 28])
def test_today_costs_the_same_whatever_was_logged(cleo, block, day, django_assert_max_num_queries):
    for week in range(4):
        log_week(cleo, MONDAY + timedelta(days=7 * week))
    record_body_weight(client=cleo, on=MONDAY, kg=70)
    on = MONDAY + timedelta(days=day)

    with django_assert_max_num_queries(18):
        page = page_of(cleo, on)

    assert page.session is not None


def this_week(client):
    today = client.local_date(timezone.now())
    return published_block(client, today - timedelta(days=today.weekday()), TEMPLATE), today


def test_the_page_reads_without_scripts_and_brings_its_token(cleo):
    block, _ = this_week(cleo)
    planned = PlannedSession.objects.filter(week__block=block).order_by("on")[0]

    answer = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session={planned.uid}")

    html = answer.content.decode()
    assert answer.status_code == 200
    assert "csrftoken" in answer.cookies
    for pair in planned.pairs.all():
        for p in pair.prescriptions.all():
            assert p.exercise.name in html
    assert "plotly" not in html


def test_a_client_without_a_plan_is_told_what_happens_next(cleo):
    html = signed_in(cleo.user).get(reverse("sessions:today")).content.decode()

    assert "No plan yet" in html
    assert "It appears here when it is published." in html


def test_a_client_whose_block_is_over_is_told_so(cleo):
    published_block(cleo, cleo.local_date(timezone.now()) - timedelta(days=90), TEMPLATE)

    html = signed_in(cleo.user).get(reverse("sessions:today")).content.decode()

    assert "This block is done" in html


def test_a_client_who_is_not_asked_for_reserve_does_not_see_it(cleo):
    block, _ = this_week(cleo)
    uid = PlannedSession.objects.filter(week__block=block)[0].uid
    url = f"{reverse('sessions:today')}?session={uid}"
    asked = signed_in(cleo.user).get(url).content.decode()
    cleo.asks_rir = False
    cleo.save()

    spared = signed_in(cleo.user).get(url).content.decode()

    assert ('name="rir"' in asked, 'name="rir"' in spared) == (True, False)


def test_a_coach_is_told_for_whom_the_page_is(ana, cleo):
    this_week(cleo)

    answer = signed_in(ana).get(reverse("sessions:today-for", args=[cleo.pk]))

    assert "Logging for" in answer.content.decode()
    assert answer.context["page"].data["sync_url"] == reverse("sessions:sync-for", args=[cleo.pk])


def test_nobody_opens_the_today_of_somebody_else(client, ana, ben, cleo, drew):
    block, _ = this_week(cleo)
    uid = PlannedSession.objects.filter(week__block=block)[0].uid
    of_cleo = reverse("sessions:today-for", args=[cleo.pk])

    answers = [
        signed_in(ben).get(of_cleo),
        signed_in(drew.user).get(of_cleo),
        signed_in(drew.user).get(f"{reverse('sessions:today')}?session={uid}"),
        signed_in(ana).get(reverse("sessions:today")),
    ]

    assert [a.status_code for a in answers] == [404, 404, 404, 404]
    assert client.get(reverse("sessions:today")).status_code == 302


def test_a_draft_is_not_shown(cleo):
    block, _ = this_week(cleo)
    block.published_at = None
    block.save()
    uid = PlannedSession.objects.filter(week__block=block)[0].uid

    answer = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session={uid}")

    assert answer.status_code == 404
    assert "No plan yet" in signed_in(cleo.user).get(reverse("sessions:today")).content.decode()


def test_an_address_with_a_garbled_session_is_not_found(cleo):
    answer = signed_in(cleo.user).get(f"{reverse('sessions:today')}?session=abc")

    assert answer.status_code == 404
