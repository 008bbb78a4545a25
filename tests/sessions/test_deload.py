"""The light week: previewed beside the usual one, and adjusted."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.blocks.models import Block, PlannedSession, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import week_value
from coaching.rules.deload import Wishes
from coaching.rules.plan import WeekKind
from sessions.forms_deload import LightWeekForm, read_sets, spots_of, with_defaults
from sessions.models import Decision
from sessions.pages_deload import deload_page
from sessions.pages_review import review_week
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week
from tests.sessions.lightening import NOON, address, first_word, page_for, usual_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


@pytest.fixture
def block(cleo, monday) -> Block:
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


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
