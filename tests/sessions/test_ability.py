"""The chart behind a finding: ability with its band, what was planned, the onset, the sets."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.models import Client
from coaching.rules.ability_course import ability_course
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import Pattern, WeekKind
from coaching.rules.shown_strength import shown_strength
from sessions.ability_words import exercise_words, shared_words
from sessions.charts_ability import exercise_figure, names_in, shared_ability_figure
from sessions.pages_ability import Asked, ability_page, chart_address
from sessions.pages_review import review_week
from sessions.week_reading import WeekReading
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week
from tests.rules.examples import day, make_exercise, make_logged_session, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop

TEMPLATE = "beginner-full-body"
PART = {"HX-Request": "true"}


# The figures


@pytest.fixture(scope="module")
def fallen():
    """A client who is weaker in everything from day 60 on, after a deload in week 4."""
    keys = {exercise.key for exercise in EXERCISES}
    client = SimulatedClient(1, "last", kinds={4: WeekKind.DELOAD}, change=drop(60, 0.1, keys))
    return client.sessions(11)


def figure_of(sessions, key, onset=None):
    levels = ability_course(sessions).exercises[key]
    return exercise_figure(levels, shown_strength(sessions)[key], onset=onset)


def named(figure, name):
    return [trace for trace in figure["data"] if trace.get("name") == name]


def test_the_ability_of_every_day_stands_in_its_band(fallen):
    figure = figure_of(fallen, "dip")
    (ability,), (high,) = named(figure, "ability"), named(figure, "band")
    low = figure["data"][figure["data"].index(high) - 1]

    assert ability["x"] == low["x"] == high["x"] == [s.on.isoformat() for s in fallen]
    for at_least, middle, at_most in zip(low["y"], ability["y"], high["y"], strict=True):
        assert at_least < middle < at_most
    assert figure["layout"]["yaxis"]["ticksuffix"] == " kg"


def test_sets_that_show_only_a_least_are_hollow_and_the_others_filled(fallen):
    hollow, filled = named(figure_of(fallen, "dip"), "sets")

    assert hollow["marker"]["symbol"] == filled["marker"]["symbol"] + "-open"
    assert len(hollow["y"]) + len(filled["y"]) == sum(
        one.exercise.key == "dip" for session in fallen for one in session.sets
    )
    assert "at least" in hollow["hovertemplate"]
    assert "at least" not in filled["hovertemplate"]


def test_what_the_targets_ask_is_marked_in_the_same_unit(fallen):
    (planned,) = named(figure_of(fallen, "dip"), "planned")
    (ability,) = named(figure_of(fallen, "dip"), "ability")

    assert set(planned["x"]) == set(ability["x"])
    assert min(ability["y"]) / 2 < min(planned["y"]) <= max(planned["y"]) < max(ability["y"])


def test_the_onset_is_a_dotted_line_with_its_date(fallen):
    layout = figure_of(fallen, "dip", onset=day(60))["layout"]

    (line,) = [shape for shape in layout["shapes"] if shape["type"] == "line"]
    assert (line["x0"], line["line"]["dash"]) == (day(60).isoformat(), "dot")
    assert layout["annotations"][0]["text"] == "since 2 May"


def test_an_onset_before_the_first_session_is_not_drawn(fallen):
    layout = figure_of(fallen, "dip", onset=day(-30))["layout"]

    assert layout["annotations"] == []


def test_deload_weeks_are_shaded_with_a_texture_from_monday_to_monday(fallen):
    (deload,) = named(figure_of(fallen, "dip"), "light week")

    assert (min(filter(None, deload["x"])), max(filter(None, deload["x"]))) == (
        day(28).isoformat(),
        day(35).isoformat(),
    )
    assert deload["fillpattern"]["shape"]


def test_what_was_known_then_stands_beside_what_is_known_now(fallen):
    levels = ability_course(fallen).exercises["dip"]
    (then,) = named(figure_of(fallen, "dip"), "as known then")

    assert then["y"] == [round(one.then.middle, 1) for one in levels]
    assert then["line"]["dash"] == "dash"
    low, high = then["customdata"][0]
    assert low == round(levels[0].then.low, 1) < high == round(levels[0].then.high, 1)


def test_the_legend_names_only_what_there_is_to_see():
    plain = SimulatedClient(1, "last").sessions(4)

    shown = names_in(figure_of(plain, "dip"))

    assert {"ability", "band", "sets", "planned"} <= shown
    assert "light week" not in shown


def test_the_figure_has_room_for_the_band_and_for_every_set(fallen):
    figure = figure_of(fallen, "dip")
    low, high = figure["layout"]["yaxis"]["range"]

    for name in ("ability", "band", "sets", "planned", "as known then"):
        for trace in named(figure, name):
            assert all(low < value < high for value in trace["y"])


def test_push_and_pull_differ_by_hue_texture_and_mark(fallen):
    push, pull = figure_of(fallen, "push-up"), figure_of(fallen, "pull-up")

    for name, what in (("ability", "line"), ("sets", "marker")):
        assert named(push, name)[0][what]["color"] != named(pull, name)[0][what]["color"]
    assert named(push, "sets")[0]["marker"]["symbol"] != named(pull, "sets")[0]["marker"]["symbol"]
    shapes = [named(figure, "band")[0]["fillpattern"]["shape"] for figure in (push, pull)]
    assert shapes == ["/", "."]
    assert {exercise.pattern for exercise in EXERCISES} >= {Pattern.PUSH, Pattern.PULL}


def test_all_together_are_drawn_in_per_cent_and_fall_with_the_client(fallen):
    figure = shared_ability_figure(ability_course(fallen), shown_strength(fallen), onset=day(60))
    (ability,) = named(figure, "ability")

    assert figure["layout"]["yaxis"]["ticksuffix"] == " %"
    assert ability["y"][0] == pytest.approx(0, abs=1)
    assert -13 < ability["y"][-1] < -5


def test_sets_that_show_less_than_the_band_holds_anyway_are_left_out_of_all_together(fallen):
    course = ability_course(fallen)
    figure = shared_ability_figure(course, shown_strength(fallen), onset=None)
    low_on = {one.on.isoformat(): one.now.low for one in course.shared}

    hollow = [one for one in named(figure, "sets") if one["marker"]["symbol"].endswith("-open")]
    assert hollow
    for trace in hollow:
        for on, value in zip(trace["x"], trace["y"], strict=True):
            assert value >= low_on[on] - 0.05


# The sentence


def test_the_sentence_tells_how_much_and_against_when(fallen):
    course = ability_course(fallen)
    dip = next(one for one in EXERCISES if one.key == "dip")

    words = exercise_words(dip, course.exercises["dip"], day(60))

    before = max(s.on for s in fallen if s.on < day(60))
    assert f"less than on {before.day} {before:%b}." in words
    assert "moved once, body weight included" in words


def test_a_change_that_the_band_holds_is_called_none():
    levels = ability_course(SimulatedClient(1, "last").sessions(4)).exercises["dip"]
    steady = [replace(levels[0], now=levels[-1].now), *levels[1:]]
    dip = next(one for one in EXERCISES if one.key == "dip")

    assert "no clear change since" in exercise_words(dip, steady, None)


def test_together_they_stand_below_or_at_their_own_level(fallen):
    shared = ability_course(fallen).shared

    assert "% below their own level" in shared_words(shared, day(60))
    assert shared_words(shared, day(60)).endswith("since about 2 May.")
    assert "at their own level" in shared_words(shared[:10], None)


# The page


@pytest.fixture
def trained(cleo, last_week, monkeypatch, today):
    at = datetime.combine(today, datetime.min.time(), tzinfo=UTC) + timedelta(hours=12)
    monkeypatch.setattr("django.utils.timezone.now", lambda: at)
    published_block(cleo, last_week - timedelta(days=21), TEMPLATE)
    for weeks in (3, 2, 1, 0):
        log_week(cleo, last_week - timedelta(weeks=weeks))
    return cleo


def trained_key(client):
    one = client.logged_sessions.first().sets.exclude(exercise__pattern="prehab").first()
    return one.exercise.key


def asked_for(coach, client, last_week, part=True, **query):
    address = reverse("sessions:ability", args=[client.pk])
    headers = PART if part else {}
    return signed_in(coach).get(address, {"week": last_week, **query}, headers=headers)


def finding(kind, exercise="", since=None):
    return Finding(kind, "", (), "", "house", exercise=exercise, since=since)


@pytest.mark.django_db
def test_a_part_is_the_chart_alone_and_a_page_is_whole(ana, trained, last_week):
    key = trained_key(trained)

    part = asked_for(ana, trained, last_week, exercise=key).content.decode()
    page = asked_for(ana, trained, last_week, part=False, exercise=key).content.decode()

    assert part.strip().startswith("<section")
    assert f'id="course-{key}"' in part
    assert "<h1>" in page
    assert f'id="course-{key}"' in page


@pytest.mark.django_db
def test_the_table_tells_day_plan_what_was_done_and_ability(ana, trained, last_week):
    page = asked_for(ana, trained, last_week, exercise=trained_key(trained)).context["page"]

    newest, before = page.rows[:2]
    assert newest.on > before.on
    assert newest.planned.split(" · ")[0] == newest.done.split(" · ")[0]
    for between in (newest.now, newest.then):
        low, high = between.removesuffix(" kg").split(" to ")
        assert float(low) < float(high)


@pytest.mark.django_db
def test_a_target_that_was_missed_stands_beside_what_was_done(ana, trained, last_week):
    log_week_short = trained.logged_sessions.order_by("on").last()
    one = log_week_short.sets.exclude(exercise__pattern="prehab").first()
    log_week_short.sets.filter(exercise=one.exercise).update(amount=3)

    page = asked_for(ana, trained, last_week, exercise=one.exercise.key).context["page"]

    assert page.rows[0].planned != page.rows[0].done
    assert "3" in page.rows[0].done


@pytest.mark.django_db
def test_all_together_count_what_was_met(ana, trained, last_week):
    page = asked_for(ana, trained, last_week).context["page"]

    assert page.exercise is None
    assert page.rows[0].done.endswith(" met, 0 short")
    assert page.rows[0].now.endswith(" %")


@pytest.mark.django_db
def test_the_sentence_stands_above_the_chart(ana, trained, last_week):
    answer = asked_for(ana, trained, last_week, exercise=trained_key(trained))
    text = answer.content.decode()

    sentence = answer.context["page"].sentence
    assert text.index(sentence) < text.index("<plotly-chart")
    assert "9 times in 10" in sentence


@pytest.mark.django_db
def test_too_few_sessions_are_told_in_words_with_their_table(ana, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week)
    key = trained_key(cleo)

    text = asked_for(ana, cleo, last_week, exercise=key).content.decode()

    assert "from three on there is a course to draw" in text
    assert "<plotly-chart" not in text
    assert "Known on the day" in text


@pytest.mark.django_db
def test_another_coach_is_shown_nothing(ben, trained, last_week):
    assert asked_for(ben, trained, last_week).status_code == 404


@pytest.mark.django_db
def test_an_exercise_that_was_never_logged_has_no_chart(ana, trained, last_week):
    assert asked_for(ana, trained, last_week, exercise="front-lever").status_code == 404


@pytest.mark.django_db
def test_a_client_without_a_log_is_told_so(ana, cleo, last_week):
    answer = asked_for(ana, cleo, last_week)

    assert "No session is logged yet" in answer.content.decode()


@pytest.mark.django_db
def test_prehab_is_said_not_to_be_followed(ana, trained, last_week):
    one = trained.logged_sessions.first().sets.first()
    one.exercise.pattern = "prehab"
    one.exercise.save()

    text = asked_for(ana, trained, last_week, exercise=one.exercise.key).content.decode()

    assert "prehab" in text
    assert "<plotly-chart" not in text


@pytest.mark.django_db
def test_only_the_log_up_to_the_end_of_the_week_is_read(ana, trained, last_week):
    earlier = asked_for(ana, trained, last_week - timedelta(days=7)).context["page"]

    assert max(row.on for row in earlier.rows) < last_week


@pytest.mark.django_db
@pytest.mark.parametrize("query", [{"since": "soon"}, {"said": "<b>"}, {"since": "9999-99-99"}])
def test_odd_addresses_draw_the_plain_course(ana, trained, last_week, query):
    answer = asked_for(ana, trained, last_week, **query)

    assert answer.status_code == 200
    assert 'id="course-all"' in answer.content.decode()


@pytest.mark.django_db
def test_the_cost_does_not_grow_with_the_history(trained, last_week, today):
    asked = Asked(trained, review_week(last_week.isoformat(), today))
    with CaptureQueriesContext(connection) as found:
        page = ability_page(asked)

    assert page is not None
    assert len(found) <= 8


# The address


@pytest.mark.parametrize("kind", [FindingKind.PAIN, FindingKind.LOG_MISTAKE])
def test_what_is_not_said_of_strength_has_no_chart(reading, kind):
    assert chart_address(reading, finding(kind, "dip")) == ""


def test_a_fall_carries_its_onset_and_a_stall_does_not(reading):
    since = date(2026, 2, 20)
    fell = finding(FindingKind.EXERCISE_DROP, "dip", since)
    stalled = finding(FindingKind.STALLED, "dip", since)

    assert chart_address(reading, fell).endswith(
        "?week=2026-03-02&exercise=dip&since=2026-02-20&said=exercise_drop"
    )
    assert "since" not in chart_address(reading, stalled)


def test_an_exercise_that_is_not_followed_has_no_chart(reading):
    assert chart_address(reading, finding(FindingKind.HOLDING, "wall-slide")) == ""


def test_a_deload_that_is_due_opens_what_all_share(reading):
    assert "exercise" not in chart_address(reading, finding(FindingKind.DELOAD_DUE))
    assert chart_address(reading, finding(FindingKind.DELOAD_DUE)).endswith("said=deload_due")


@pytest.fixture
def reading():
    """A week with dips of a client who is in no database."""
    dips = make_logged_session(make_sets(make_exercise("dip"), [8, 8]))
    return WeekReading(
        client=Client(pk=7),
        week_starts_on=date(2026, 3, 2),
        sessions=(dips,),
        attendance=(),
        findings=(),
        proposals=(),
        body_weight=None,
        place=None,
        plans_block=None,
    )
