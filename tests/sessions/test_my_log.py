"""My log: what was done in words, page by page, and who may read it."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import record_body_weight
from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import Exercise
from sessions.log_chart import WIDTH, ChartValue, log_chart
from sessions.models import LoggedSession, LoggedSet
from sessions.pages_exercise_log import exercise_page
from sessions.pages_my_log import my_log_page
from sessions.services import record_entry
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.phone import set_entry
from tests.factories.sessions import log_session, log_week

URLS = {"today_url": "/today/", "log_url": "/my-log/", "sync_url": "/sync/"}
MONDAY = date(2026, 3, 9)
NOW = datetime(2026, 3, 16, 12, tzinfo=UTC)


@pytest.fixture
def block(cleo):
    return published_block(cleo, MONDAY, "upper-lower")


def sessions_of(block):
    return list(PlannedSession.objects.filter(week__block=block).order_by("on"))


def shown(client) -> dict[str, str]:
    """What My log tells of the sets of each exercise of the latest session."""
    latest = my_log_page(client, client.user, NOW, URLS, "1").sessions[0]
    return {exercise.name: exercise.sets for exercise in latest.exercises}


def test_sessions_stand_newest_first_with_effort_and_word(cleo, block):
    first, second = sessions_of(block)[:2]
    log_session(cleo, first, rpe=6.5, note="Slept badly.")
    log_session(cleo, second)

    page = my_log_page(cleo, cleo.user, NOW, URLS, "1")

    assert [s.on for s in page.sessions] == [second.on, first.on]
    assert (page.sessions[1].effort, page.sessions[1].note) == ("6.5 of 10", "Slept badly.")


def test_sets_are_told_in_their_order_with_load(cleo, block):
    line = Prescription.objects.filter(
        pair__planned_session__week__block=block, exercise__load_kind="added"
    ).order_by("pk")[0]
    done = tuple(range(9, 9 - len(line.targets), -1))
    log_session(cleo, line.pair.planned_session, amounts={line.exercise_id: done})
    LoggedSet.objects.filter(exercise=line.exercise_id).update(load_kg=2.5)

    [session] = my_log_page(cleo, cleo.user, NOW, URLS, "1").sessions

    told = {e.exercise_id: e.sets for e in session.exercises}[line.exercise_id]
    assert told == "-".join(str(n) for n in done) + " · +2.5 kg"


def test_pain_is_told_with_the_worst_of_it_and_where(cleo, block):
    planned = sessions_of(block)[0]
    line = planned.pairs.all()[0].prescriptions.all()[0]
    logged = log_session(cleo, planned, pain={line.exercise_id: 2})
    logged.sets.filter(exercise=line.exercise_id, number=2).update(pain=4, pain_where="elbow")

    [session] = my_log_page(cleo, cleo.user, NOW, URLS, "1").sessions

    assert [e.pain for e in session.exercises if e.pain] == ["pain 4 of 10, elbow"]


def test_a_set_taken_back_and_a_skipped_session_are_told_truly(cleo, block):
    first, second = sessions_of(block)[:2]
    logged = log_session(cleo, first)
    one = logged.sets.select_related("exercise").order_by("done_at")[0]
    before = shown(cleo)[one.exercise.name]
    one.removed_at = one.done_at
    one.save()
    log_session(cleo, second, skipped_reason="travelling")

    skipped, done = my_log_page(cleo, cleo.user, NOW, URLS, "1").sessions

    assert (skipped.skipped, skipped.exercises) == ("travelling", ())
    assert not done.skipped
    [after] = [e.sets for e in done.exercises if e.name == one.exercise.name]
    assert before.startswith("5 × ")
    assert after.startswith("4 × ")


def test_a_corrected_set_is_told_as_it_was_corrected(cleo, block):
    entry = set_entry(sessions_of(block)[0], timezone.now(), amount=6)
    name = Exercise.objects.get(pk=entry["exercise"]).name
    record_entry(client=cleo, entry=entry)
    as_logged = shown(cleo)[name]

    record_entry(client=cleo, entry=entry | {"revision": 2, "amount": 4})

    assert (as_logged.split(" · ")[0], shown(cleo)[name].split(" · ")[0]) == ("6 reps", "4 reps")


def test_a_long_log_is_paged_and_costs_the_same(cleo, block, django_assert_max_num_queries):
    for week in range(4):
        log_week(cleo, MONDAY + timedelta(days=7 * week))

    with django_assert_max_num_queries(9):
        page = my_log_page(cleo, cleo.user, NOW, URLS, "2")

    assert page.pages.number == 2
    assert 0 < len(page.sessions) <= 10


@pytest.mark.parametrize("number", ["0", "999", "abc", "-1"])
def test_a_page_that_is_not_there_shows_one_that_is(cleo, block, number):
    log_session(cleo, sessions_of(block)[0])

    answer = signed_in(cleo.user).get(reverse("sessions:my-log"), {"page": number})

    assert answer.status_code == 200
    assert len(answer.context["page"].sessions) == 1


def test_an_exercise_shows_each_time_it_was_done_newest_first(cleo, block):
    line = sessions_of(block)[0].pairs.all()[0].prescriptions.all()[0]
    for week, drop in ((0, 0), (1, 1)):
        log_week(cleo, MONDAY + timedelta(days=7 * week), drop=drop)

    page = exercise_page(cleo, cleo.user, line.exercise, NOW, URLS)

    days = [time.on for time in page.times]
    assert days == sorted(days, reverse=True)
    assert len(days) >= 2
    assert page.chart is not None
    assert [dot.x for dot in page.chart.dots] == [0, WIDTH]


def test_a_chart_runs_from_edge_to_edge_by_date_and_names_the_ends_of_both_axes():
    values = [
        ChartValue(MONDAY, 35.0),
        ChartValue(MONDAY + timedelta(days=7), 30.0, is_light=True),
        ChartValue(MONDAY + timedelta(days=28), 40.0),
    ]

    chart = log_chart("Pull-up", values, "reps")

    assert chart is not None
    assert [dot.x for dot in chart.dots] == [0, WIDTH / 4, WIDTH]
    assert chart.dots[1].y > chart.dots[0].y > chart.dots[2].y
    assert [dot.is_light for dot in chart.dots] == [False, True, False]
    assert (chart.first, chart.last) == ("Mon 9 Mar", "Mon 6 Apr")
    assert (chart.high, chart.low) == ("40 reps", "30 reps")


def test_one_value_makes_no_chart_and_equal_ones_a_flat_one_with_one_number():
    same = [ChartValue(MONDAY, 70.0), ChartValue(MONDAY + timedelta(days=1), 70.0)]

    flat = log_chart("Body weight", same, "kg")

    assert log_chart("Body weight", same[:1], "kg") is None
    assert flat is not None
    assert len({dot.y for dot in flat.dots}) == 1
    assert (flat.high, flat.low) == ("", "70 kg")


def test_the_page_shows_body_weights_and_the_way_to_today(cleo):
    for day, kg in ((0, 70), (7, 69.5)):
        record_body_weight(client=cleo, on=MONDAY + timedelta(days=day), kg=kg)

    html = signed_in(cleo.user).get(reverse("sessions:my-log")).content.decode()

    assert "69.5 kg" in html
    assert f'href="{reverse("sessions:today")}"' in html
    assert f'action="{reverse("clients:sign-out")}"' in html


def test_what_was_missed_in_two_weeks_can_be_logged_from_the_log(cleo, block):
    first, second, third = sessions_of(block)[:3]
    log_session(cleo, first)
    log_session(cleo, second, skipped_reason="ill")
    now = datetime.combine(third.on + timedelta(days=14), time(12), tzinfo=UTC)

    page = my_log_page(cleo, cleo.user, now, URLS, "1")

    due = PlannedSession.objects.filter(
        week__block=block, on__gte=third.on, on__lt=third.on + timedelta(days=14)
    )
    assert [row.uid for row in page.missed] == [row.uid for row in due.order_by("-on", "position")]
    assert page.missed[-1].uid == third.uid
    later = my_log_page(cleo, cleo.user, now + timedelta(days=1), URLS, "1")
    assert third.uid not in {row.uid for row in later.missed}


def test_a_client_corrects_for_two_weeks_and_a_coach_always(ana, cleo, block):
    first = sessions_of(block)[0]
    log_session(cleo, first)
    last_day = datetime.combine(first.on + timedelta(days=14), time(12), tzinfo=UTC)

    may = [
        my_log_page(cleo, who, at, URLS, "1").sessions[0].can_correct
        for who in (cleo.user, ana)
        for at in (last_day, last_day + timedelta(days=1))
    ]

    assert may == [True, False, True, True]


def test_the_page_leads_to_what_can_be_logged_corrected_and_weighed(cleo):
    today = cleo.local_date(timezone.now())
    rows = sessions_of(published_block(cleo, today - timedelta(days=7 + today.weekday())))
    logged = log_session(cleo, rows[0])

    html = signed_in(cleo.user).get(reverse("sessions:my-log")).content.decode()

    today_url = reverse("sessions:today")
    assert f'href="{today_url}?session={logged.uid}"' in html
    assert f'href="{today_url}?session={rows[1].uid}"' in html
    assert f'href="{reverse("sessions:unplanned")}"' in html
    assert "<body-weight>" in html
    assert f'"today": "{today.isoformat()}"' in html


def test_every_address_of_the_log_opens(ana, cleo):
    today = cleo.local_date(timezone.now())
    rows = sessions_of(published_block(cleo, today - timedelta(days=7 + today.weekday())))
    logged = log_session(cleo, rows[0])

    answers = [
        signed_in(who).get(url, {"session": str(uid)})
        for who, url in (
            (cleo.user, reverse("sessions:today")),
            (ana, reverse("sessions:today-for", args=[cleo.pk])),
        )
        for uid in (logged.uid, rows[1].uid)
    ]

    assert [a.context["page"].session.name for a in answers] == [rows[0].name, rows[1].name] * 2


def test_sets_to_warm_up_and_words_on_sets_stand_apart(cleo, block):
    planned = sessions_of(block)[0]
    line = planned.pairs.all()[0].prescriptions.all()[0]
    logged = log_session(cleo, planned)
    mine = logged.sets.filter(exercise=line.exercise_id)
    mine.filter(number=1).update(warm_up=True, amount=3)
    mine.filter(number=2).update(note="Left hand slipped.")

    [session] = my_log_page(cleo, cleo.user, NOW, URLS, "1").sessions

    done = next(e for e in session.exercises if e.exercise_id == line.exercise_id)
    assert done.warm_up.startswith("3 reps")
    assert done.sets.startswith(f"{len(line.targets) - 1} × ")
    assert done.notes == ("Set 2: “Left hand slipped.”",)


def test_a_correction_stands_under_its_exercise_and_a_skip_under_the_session(cleo, block):
    planned = sessions_of(block)[0]
    entry = set_entry(planned, timezone.now(), amount=6, edit=str(uuid4()))
    record_entry(client=cleo, entry=entry)
    record_entry(client=cleo, entry=entry | {"revision": 2, "amount": 4, "edit": str(uuid4())})
    other = Prescription.objects.filter(pair__planned_session=planned).order_by("-pk")[0]
    fields = ("uid", "session", "planned_session", "session_name", "done_at", "revision")
    skip = {**{name: entry[name] for name in fields}, "uid": str(uuid4()), "edit": str(uuid4())}
    skip |= {"kind": "line", "prescription": str(other.uid), "change": "skip", "reason": "no time"}
    record_entry(client=cleo, entry=skip)

    html = signed_in(cleo.user).get(reverse("sessions:my-log")).content.decode()

    assert "Set 1: 4 reps" in html
    assert "(was 6, corrected " in html
    assert f"<li>Skipped {other.exercise.name}: no time</li>" in html


def test_an_exercise_shows_its_best_sets_and_marks_light_weeks(cleo, block):
    line = Prescription.objects.filter(
        pair__planned_session__week__block=block, exercise__load_kind="added"
    ).order_by("pk")[0]
    for week in range(2):
        log_week(cleo, MONDAY + timedelta(days=7 * week))
    mine = LoggedSet.objects.filter(exercise=line.exercise_id).order_by("done_at")
    first, last = mine[0], mine.reverse()[0]
    mine.update(amount=5, load_kg=2.5, warm_up=False)
    mine.filter(pk=first.pk).update(amount=12)
    mine.filter(pk=last.pk).update(amount=3, load_kg=10)
    LoggedSession.objects.filter(pk=last.logged_session_id).update(kind="deload")
    warm_up = mine.exclude(pk__in=[first.pk, last.pk])[0]
    mine.filter(pk=warm_up.pk).update(amount=50, load_kg=50, warm_up=True)
    taken_back = mine.exclude(pk__in=[first.pk, last.pk, warm_up.pk])[0]
    mine.filter(pk=taken_back.pk).update(amount=60, load_kg=60, removed_at=timezone.now())
    first.logged_session.refresh_from_db()

    page = exercise_page(cleo, cleo.user, line.exercise, NOW, URLS)

    days = [f"{s.logged_session.on.day} {s.logged_session.on:%b}" for s in (first, last)]
    assert page.bests == (
        f"Most reps in a set: 12 at +2.5 kg on {days[0]}",
        f"Heaviest: +10 kg for 3 reps on {days[1]}",
    )
    assert page.loads == (("+10 kg", "3", days[1]), ("+2.5 kg", "12", days[0]))
    assert [time.is_light for time in page.times if time.is_light] == [True]
    assert page.chart is not None
    assert page.chart.dots[-1].is_light


def test_the_log_of_one_exercise_costs_the_same_however_long(
    cleo, block, django_assert_max_num_queries
):
    exercise = sessions_of(block)[0].pairs.all()[0].prescriptions.all()[0].exercise
    for week in range(4):
        log_week(cleo, MONDAY + timedelta(days=7 * week))

    with django_assert_max_num_queries(3):
        page = exercise_page(cleo, cleo.user, exercise, NOW, URLS)

    assert len(page.times) >= 4


def test_nobody_reads_the_log_of_somebody_else(client, ben, cleo, drew, block):
    log_session(cleo, sessions_of(block)[0])
    exercise = LoggedSet.objects.all()[0].exercise_id
    of_cleo = reverse("sessions:log-of", args=[cleo.pk])

    answers = [
        signed_in(ben).get(of_cleo),
        signed_in(drew.user).get(of_cleo),
        signed_in(drew.user).get(reverse("sessions:my-log-exercise", args=[exercise])),
        signed_in(ben).get(reverse("sessions:log-of-exercise", args=[cleo.pk, exercise])),
        signed_in(ben).get(reverse("sessions:my-log")),
    ]

    assert [a.status_code for a in answers] == [404] * 5
    assert client.get(of_cleo).status_code == 302


def test_a_coach_reads_the_log_of_an_own_client_without_a_sign_out_in_it(ana, cleo, block):
    log_session(cleo, sessions_of(block)[0])

    answer = signed_in(ana).get(reverse("sessions:log-of", args=[cleo.pk]))

    assert answer.context["page"].for_coach
    assert len(answer.context["page"].sessions) == 1
    assert "unsent-guard" not in answer.content.decode()
