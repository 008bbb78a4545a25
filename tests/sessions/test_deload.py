"""The light week: previewed beside the usual one, adjusted, put in, taken back."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from django.urls import reverse

from coaching.blocks.models import Block, PlannedSession, Week
from coaching.blocks.queries import week_value
from coaching.blocks.snapshots import snapshot_of
from coaching.rules.deload import Wishes
from coaching.rules.plan import PlannedWeek, WeekKind
from sessions.forms_deload import LightWeekForm, read_sets, spots_of, with_defaults
from sessions.models import Decision
from sessions.pages_deload import deload_page
from sessions.pages_review import review_week
from sessions.queries_deload import live_light_week, published_weeks, usual_week
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 11, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _wednesday(monkeypatch):
    """The clock of the views stands at the Wednesday of the other fixtures."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


@pytest.fixture
def block(cleo, monday) -> Block:
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


def address(client, name="deload"):
    return reverse(f"sessions:{name}", args=[client.pk])


def page_for(client, today, **sent):
    return deload_page(client, review_week("", today), sent, NOON)


def usual_of(client, today) -> PlannedWeek:
    """The week that is lightened from today on."""
    found = usual_week(published_weeks(client, today), today)
    assert found is not None
    return week_value(found.week)


def first_word(block, today) -> str:
    """The word of the first exercise of the week that is lightened from today on."""
    return next(iter(spots_of(usual_of(block.client, today)))).word


# Who may look


def test_only_the_clients_own_coach_sees_the_light_week(ana, ben, cleo, block):
    seen = {
        who: signed_in(user).get(address(cleo)).status_code
        for who, user in {"own": ana, "stranger": ben, "client": cleo.user}.items()
    }

    assert seen == {"own": 200, "stranger": 404, "client": 404}


@pytest.mark.parametrize("name", ["apply-deload", "undo-deload"])
def test_nobody_else_changes_a_clients_plan(ben, cleo, block, name):
    before = snapshot_of(block)

    stranger = signed_in(ben).post(address(cleo, name))
    client = signed_in(cleo.user).post(address(cleo, name))

    assert (stranger.status_code, client.status_code) == (404, 404)
    assert snapshot_of(block) == before


# Preview


def test_looking_at_a_light_week_writes_nothing(ana, cleo, block):
    before = snapshot_of(block)

    answer = signed_in(ana).get(address(cleo), {"share": "30", "days": "5"})

    assert answer.status_code == 200
    assert snapshot_of(block) == before
    assert block.versions.count() == 1
    assert not Decision.objects.exists()


def test_a_part_holds_the_week_without_the_page_around_it(ana, cleo, block):
    browser = signed_in(ana)

    page = browser.get(address(cleo)).content.decode()
    part = browser.get(address(cleo), headers={"HX-Request": "true"})

    assert "<!DOCTYPE html>" in page
    assert 'id="light-week-form"' in page
    assert part.content.decode().lstrip().startswith('<div id="light-week"')
    assert part.headers["HX-Replace-Url"].startswith(address(cleo) + "?starts_on=2026-03-16")


def test_the_light_week_starts_on_the_monday_that_the_review_proposes(cleo, block, monday, today):
    page = page_for(cleo, today)

    assert page.preview.starts_on == monday + timedelta(days=7)
    assert page.preview.proposal.share == pytest.approx(0.40, abs=0.05)


def test_on_a_monday_with_a_session_begun_the_light_week_starts_the_day_after(cleo, block, monday):
    noon = NOON - timedelta(days=2)
    before = deload_page(cleo, review_week("", monday), {}, noon)
    log_session(cleo, PlannedSession.objects.get(week__block=block, on=monday))

    page = deload_page(cleo, review_week("", monday), {}, noon)

    assert [p.preview and p.preview.starts_on for p in (before, page)] == [
        monday,
        monday + timedelta(days=1),
    ]


def test_at_the_end_of_a_block_the_light_week_starts_today(cleo, monday, today):
    block = published_block(cleo, monday - timedelta(days=7), "beginner-full-body")
    Week.objects.filter(block=block, starts_on__gt=monday).delete()

    assert page_for(cleo, today).preview.starts_on == today


def test_every_usual_session_stands_beside_its_light_version(cleo, block, today):
    page = page_for(cleo, today)
    usual = week_value(page.usual.week)

    days = page.preview.days

    assert [day.name for day in days] == [session.name for session in usual.sessions]
    assert all(day.minutes < day.usual_minutes for day in days)
    starts_on = page.preview.starts_on
    assert all(starts_on <= day.on < starts_on + timedelta(days=7) for day in days)


def test_loads_stay_and_effort_falls(cleo, block, today):
    page = page_for(cleo, today)
    usual = {p.key: p for s in week_value(page.usual.week).sessions for p in s.prescriptions}

    light = [p for s in page.preview.proposal.week.sessions for p in s.prescriptions]

    assert all(p.load == usual[p.key].load for p in light)
    assert all(p.rir >= (usual[p.key].rir or 0) for p in light)


def test_another_share_gives_another_week(cleo, block, today):
    forty, sixty = page_for(cleo, today), page_for(cleo, today, share="60")

    assert sixty.preview.effect.reps > forty.preview.effect.reps
    assert sixty.preview.proposal.share == pytest.approx(0.60, abs=0.05)


def test_an_exercise_set_by_hand_keeps_its_sets_and_moves_the_share(cleo, block, today):
    word = first_word(block, today)
    as_proposed = page_for(cleo, today)

    page = page_for(cleo, today, **{f"own-{word}": "6-6-6-6-6-6"})

    cell = page.preview.days[0].rows[0].cells[0]
    assert cell.light == "6 × 6"
    assert cell.is_set
    assert "Set by the coach" in cell.why
    assert page.preview.proposal.share != as_proposed.preview.proposal.share


def test_an_exercise_left_out_is_gone_from_the_light_week(cleo, block, today):
    page = page_for(cleo, today, **{f"how-{first_word(block, today)}": "out"})

    cell = page.preview.days[0].rows[0].cells[0]
    names = [p.exercise.name for p in page.preview.proposal.week.sessions[0].prescriptions]
    assert cell.light == "left out"
    assert cell.name not in names


def test_sets_that_nobody_can_read_are_refused_beside_their_exercise(ana, cleo, block, today):
    word = first_word(block, today)

    answer = signed_in(ana).get(address(cleo), {f"own-{word}": "some"})

    page = answer.context["page"]
    assert answer.status_code == 422
    assert "3 × 5" in str(page.form.errors[f"own-{word}"])
    assert page.preview is not None
    assert address(cleo, "apply-deload") not in answer.content.decode()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("starts_on", "2026-03-10"),
        ("starts_on", "2027-03-10"),
        ("starts_on", "soon"),
        ("share", "24"),
        ("share", "71"),
        ("days", "4"),
        ("days", "11"),
        ("place", "somewhere"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_at_its_field(ana, cleo, block, field, value):
    answer = signed_in(ana).get(address(cleo), {field: value})

    assert answer.status_code == 422
    assert list(answer.context["page"].form.errors) == [field]
    assert answer.context["page"].preview is None


def test_findings_that_led_here_stand_on_the_page(ana, cleo, monday):
    for weeks_ago in (8, 3):
        published_block(cleo, monday - timedelta(weeks=weeks_ago), "beginner-full-body")
    fell_on = monday - timedelta(days=10)
    for planned in PlannedSession.objects.filter(week__block__client=cleo, on__lt=NOON.date()):
        fell = planned.on >= fell_on
        log_session(cleo, planned, drop=2 if fell else 0, rpe=9 if fell else 7)

    text = signed_in(ana).get(address(cleo)).content.decode()

    assert "Overreaching" in text
    assert "Could not know" in text
    assert "To ask Cleo" in text


def test_pain_brings_the_caution_that_a_light_week_treats_nothing(ana, cleo, block, today):
    planned = PlannedSession.objects.filter(week__block=block, on__lt=today).latest("on")
    exercise = planned.pairs.all()[0].prescriptions.all()[0].exercise_id
    log_session(cleo, planned, pain={exercise: 7})

    text = signed_in(ana).get(address(cleo)).content.decode()

    assert "A light week treats nothing" in text
    assert "licensed practitioner" in text


def test_a_client_without_a_plan_is_told_what_to_do(ana, drew, cleo):
    answer = signed_in(ana).get(address(cleo))

    assert answer.status_code == 200
    assert "no usual week to lighten" in answer.content.decode()
    assert reverse("blocks:new-block", args=[cleo.pk]) in answer.content.decode()


def test_a_client_in_a_planned_light_week_is_said_to_be_in_one(ana, cleo, monday):
    block = published_block(cleo, monday, "beginner-full-body")
    Week.objects.filter(block=block, starts_on=monday).update(kind=WeekKind.DELOAD)

    answer = signed_in(ana).get(address(cleo))

    assert "is in a light week already" in answer.content.decode()


def test_a_light_week_takes_the_place_of_one_that_is_planned_there(cleo, block, today):
    planned = Week.objects.get(block=block, kind=WeekKind.DELOAD)

    page = page_for(cleo, planned.starts_on, starts_on=planned.starts_on.isoformat())

    assert page.form.cleaned_data["place"] == "in-place"
    assert page.usual.week.kind == WeekKind.BUILD


def test_looking_takes_as_many_queries_after_a_long_history(
    cleo, monday, today, django_assert_max_num_queries
):
    published_block(cleo, monday - timedelta(days=70), "beginner-full-body")
    published_block(cleo, monday - timedelta(days=7), "beginner-full-body")
    for weeks in (4, 3, 2, 1):
        log_week(cleo, monday - timedelta(days=7 * weeks))

    with django_assert_max_num_queries(48):
        page_for(cleo, today)


# Putting it in


def test_putting_it_in_makes_one_version_and_one_decision(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "apply-deload"), {"share": "40"})

    decision = Decision.objects.get()
    assert answer.status_code == 302
    assert block.versions.count() == 2
    assert decision.version == block.versions.get(number=2)
    assert decision.kind == "deload"
    assert decision.proposal["share"] == pytest.approx(0.40, abs=0.05)
    assert decision.proposal["changes"]


def test_the_client_sees_the_light_session_at_once(ana, cleo, block, today):
    usual = PlannedSession.objects.get(week__block=block, on=today)
    before = reps_of(usual)

    signed_in(ana).post(address(cleo, "apply-deload"), {"starts_on": today.isoformat()})

    now = PlannedSession.objects.get(week__block=block, on=today)
    page = signed_in(cleo.user).get(reverse("sessions:today"))
    assert reps_of(now) < before
    assert now.week.kind == WeekKind.DELOAD
    assert "Light week" in page.content.decode()


def reps_of(session) -> int:
    return sum(sum(p.targets) for pair in session.pairs.all() for p in pair.prescriptions.all())


def test_the_rest_of_the_block_moves_on_by_a_week(ana, cleo, block, today):
    last = PlannedSession.objects.filter(week__block=block).latest("on").on

    signed_in(ana).post(address(cleo, "apply-deload"), {"place": "before"})

    assert PlannedSession.objects.filter(week__block=block).latest("on").on == last + timedelta(
        days=7
    )


def test_in_place_of_the_coming_week_nothing_else_moves(ana, cleo, block, today, monday):
    start = monday + timedelta(days=7)
    later = sessions_from(block, start + timedelta(days=7))

    signed_in(ana).post(
        address(cleo, "apply-deload"), {"starts_on": start.isoformat(), "place": "in-place"}
    )

    replaced = Week.objects.get(block=block, starts_on=start)
    assert replaced.kind == WeekKind.DELOAD
    assert sessions_from(block, start + timedelta(days=7)) == later


def test_in_place_from_the_middle_of_a_week_no_day_is_planned_twice(ana, cleo, block, today):
    start = today + timedelta(days=1)

    signed_in(ana).post(
        address(cleo, "apply-deload"), {"starts_on": start.isoformat(), "place": "in-place"}
    )

    spell = PlannedSession.objects.filter(
        week__block=block, on__range=(start, start + timedelta(days=6))
    )
    assert {row.week.kind for row in spell} == {WeekKind.DELOAD}


def sessions_from(block, day) -> list[tuple[UUID, date]]:
    rows = PlannedSession.objects.filter(week__block=block, on__gte=day).order_by("on")
    return [(row.uid, row.on) for row in rows]


def test_after_it_is_in_the_page_offers_what_the_client_sees_and_undo(ana, cleo, block):
    browser = signed_in(ana)

    answer = browser.post(address(cleo, "apply-deload"), follow=True)

    text = answer.content.decode()
    assert "The light week is in the plan" in text
    assert reverse("sessions:today-for", args=[cleo.pk]) in text
    assert address(cleo, "undo-deload") in text


def test_a_second_light_week_is_refused_while_one_is_in_the_plan(ana, cleo, block):
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"))

    again = browser.post(address(cleo, "apply-deload"))

    assert again.status_code == 422
    assert "already in the plan" in again.content.decode()
    assert block.versions.count() == 2
    assert Decision.objects.count() == 1


def test_a_start_in_the_past_changes_nothing(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "apply-deload"), {"starts_on": "2026-03-10"})

    assert answer.status_code == 422
    assert "past" in str(answer.context["page"].form.errors["starts_on"])
    assert block.versions.count() == 1


@pytest.fixture
def next_block(cleo, block):
    """A block that follows on the last day of the first one."""
    ends = PlannedSession.objects.filter(week__block=block).latest("on").on
    starts_on = ends + timedelta(days=7 - ends.weekday())
    return published_block(cleo, starts_on, "beginner-full-body")


def test_a_light_week_that_would_run_into_the_next_block_is_refused(ana, cleo, block, next_block):
    browser = signed_in(ana)

    seen = browser.get(address(cleo), {"place": "before"})
    posted = browser.post(address(cleo, "apply-deload"), {"place": "before"})

    assert "run into block 2" in seen.context["page"].preview.refusal
    assert posted.status_code == 422
    assert block.versions.count() == 1


def test_where_the_block_cannot_move_it_shortens_unless_the_coach_says_otherwise(
    ana, cleo, block, next_block
):
    last = PlannedSession.objects.filter(week__block=block).latest("on").on
    browser = signed_in(ana)
    page = browser.get(address(cleo)).context["page"]

    answer = browser.post(address(cleo, "apply-deload"), page.form.sent)

    assert (page.preview.refusal, page.form.sent["place"]) == ("", "in-place")
    assert answer.status_code == 302
    assert PlannedSession.objects.filter(week__block=block).latest("on").on == last


# What becomes of the rest of the block


@pytest.mark.parametrize("place", ["before", "in-place"])
@pytest.mark.parametrize("days", ["5", "8", "10"])
def test_the_dates_that_are_shown_are_those_of_the_plan_afterwards(ana, cleo, block, place, days):
    browser, asked = signed_in(ana), {"place": place, "days": days}
    rest = browser.get(address(cleo), asked).context["page"].preview.rest

    browser.post(address(cleo, "apply-deload"), asked)

    rows = PlannedSession.objects.filter(week__block=block, on__gte=date(2026, 3, 16))
    spans: dict[int, tuple[date, date]] = {}
    for row in rows.order_by("on"):
        first, _ = spans.setdefault(row.week_id, (row.on, row.on))
        spans[row.week_id] = (first, row.on)
    assert [row.now for row in rest.rows if row.now] == list(spans.values())
    assert rest.ends_on == max(row.on for row in rows)
    assert rest.returns_on == min(row.on for row in rows if row.week.kind == WeekKind.BUILD)


def test_moving_says_where_each_week_was_and_shortening_what_gives_way(cleo, block, today):
    moves = page_for(cleo, today, place="before").preview.rest
    shortens = page_for(cleo, today, place="in-place").preview.rest

    week = timedelta(days=7)
    moved = [row for row in moves.rows if row.was]
    assert moved
    assert all(row.now == (row.was[0] + week, row.was[1] + week) for row in moved)
    assert moves.ends_on == moves.ended_on + week
    assert [row.was for row in shortens.rows if row.now is None] == [moved[0].was]
    assert not any(row.moves for row in shortens.rows if row.was and row.now)
    assert shortens.ends_on == shortens.ended_on


def test_after_ten_days_the_free_days_until_the_next_session_are_said(cleo, block, today):
    rest = page_for(cleo, today, days="10").preview.rest

    assert rest.returns_on == date(2026, 3, 30)
    assert "4 days without a session" in rest.sentences[0]


# From the review and back


def test_from_the_review_it_is_one_act_and_the_review_goes_on_at_the_same_client(
    ana, cleo, block, today
):
    browser, week = signed_in(ana), "2026-03-02"
    page = browser.get(address(cleo), {"week": week}).context["page"]

    answer = browser.post(address(cleo, "apply-deload"), page.form.sent, follow=True)

    where = f"{reverse('sessions:review-client', args=[cleo.pk])}?week={week}"
    decision = Decision.objects.get()
    assert answer.redirect_chain == [(where, 302)]
    assert "light week from 16 Mar to 22 Mar is in the plan" in answer.content.decode()
    browser.post(reverse("sessions:undo-decisions"), {"decision": decision.pk, "week": week})
    assert live_light_week(cleo, today) is None


# Wishes


def test_a_session_goes_on_the_day_that_the_coach_chose(ana, cleo, block, today):
    asked = {"day-1": "2"}
    days = page_for(cleo, today, **asked).preview.days

    signed_in(ana).post(address(cleo, "apply-deload"), asked)

    light = PlannedSession.objects.filter(week__block=block, week__starts_on=date(2026, 3, 16))
    on = {row.name: row.on for row in light}
    assert days[0].on == on[days[0].name] == date(2026, 3, 18)
    assert len(set(on.values())) == len(days)


def test_two_sessions_on_one_day_and_a_day_after_the_light_week_are_refused(ana, cleo, block):
    browser = signed_in(ana)

    twice = browser.get(address(cleo), {"day-1": "2", "day-2": "2"})
    after = browser.get(address(cleo), {"day-1": "6", "days": "5"})

    assert (twice.status_code, after.status_code) == (422, 422)
    assert list(twice.context["page"].form.errors) == ["day-1", "day-2"]
    assert "after the light week" in str(after.context["page"].form.errors["day-1"])


def test_an_exercise_is_kept_as_usual_or_kept_in(cleo, block, today):
    word = first_word(block, today)

    usual = page_for(cleo, today, **{f"how-{word}": "usual"}).preview.days[0].rows[0].cells[0]
    kept = page_for(cleo, today, **{f"how-{word}": "keep"}).preview.days[0].rows[0].cells[0]

    assert usual.light == usual.usual
    assert kept.light not in (kept.usual, "left out")
    assert "kept in" in kept.why


# Taking it back


@pytest.mark.parametrize("place", ["before", "in-place"])
@pytest.mark.parametrize("days", ["5", "7", "10"])
def test_undo_gives_back_the_very_plan(ana, cleo, block, place, days):
    before = snapshot_of(block)
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"), {"place": place, "days": days})
    assert snapshot_of(block) != before

    answer = browser.post(address(cleo, "undo-deload"))

    assert answer.status_code == 302
    assert snapshot_of(block) == before
    assert Decision.objects.get().undone_at is not None


def test_after_undo_a_light_week_can_be_put_in_again(ana, cleo, block, today):
    browser = signed_in(ana)
    browser.post(address(cleo, "apply-deload"))
    browser.post(address(cleo, "undo-deload"))

    browser.post(address(cleo, "apply-deload"), {"share": "50"})

    found = live_light_week(cleo, today)
    assert found is not None
    assert found.proposal["share"] == pytest.approx(0.50, abs=0.05)


def test_undo_without_a_light_week_says_so(ana, cleo, block):
    answer = signed_in(ana).post(address(cleo, "undo-deload"), follow=True)

    assert "no light week to take back" in answer.content.decode()
    assert block.versions.count() == 1


# Sets as coaches write them


@pytest.mark.parametrize(
    ("text", "sets"),
    [("4 × 5", (5, 5, 5, 5)), ("4x5", (5, 5, 5, 5)), ("6, 5, 4", (6, 5, 4)), ("2", 2), ("", None)],
)
def test_sets_are_read_as_coaches_write_them(text, sets):
    assert read_sets(text) == sets


def test_one_exercise_twice_in_a_session_has_two_names(cleo, block, today):
    words = [spot.word for spot in spots_of(usual_of(cleo, today))]

    assert len(words) == len(set(words))


def test_an_untouched_form_asks_for_the_usual_light_week(cleo, block, today):
    usual = usual_of(cleo, today)

    form = LightWeekForm(with_defaults({}, today, place="before"), today=today, usual=usual)

    assert form.is_valid()
    assert (form.cleaned_data["share"], form.cleaned_data["days"]) == (40, 7)
    assert form.own_sets == {}
    assert form.wishes == Wishes()
