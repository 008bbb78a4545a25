"""Movement goals: set, changed, dropped and reached, and the ladder on the client page."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.services import add_joint_limit
from coaching.library.errors import GoalError
from coaching.library.goal_services import (
    change_goal,
    drop_goal,
    mark_reached,
    reopen_goal,
    restore_goal,
    set_goal,
)
from coaching.library.models import Exercise, MovementGoal
from coaching.library.prerequisite_words import PrerequisiteLine, prerequisites_in_words
from coaching.library.queries import exercises_by_key
from coaching.library.services import retire
from sessions.history import HistorySession, HistorySet, record_history
from sessions.pages_goals import goals_section

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}


def shared(key):
    return Exercise.objects.get(key=key, coach=None)


def log(client, key, amounts, on, load=0.0):
    at = datetime.combine(on, datetime.min.time(), tzinfo=UTC)
    sets = tuple(
        HistorySet(uuid4(), shared(key).pk, number, amount, at, load)
        for number, amount in enumerate(amounts, start=1)
    )
    record_history(
        client=client,
        sessions=[HistorySession(uuid4(), on, "Session", "build", at, at, sets)],
    )


@pytest.fixture
def muscle_up(cleo, today):
    return set_goal(client=cleo, exercise=shared("bar-muscle-up"), reps=1, on=today)


def page_of(coach, client):
    answer = coach.get(reverse("sessions:client", args=[client.pk]))
    assert answer.status_code == 200
    return answer.context["page"].goals, answer.content.decode()


def rung(card, key):
    return next(one for one in card.rungs if one.key == key)


# --- What the services keep and refuse


def test_every_act_on_a_goal_can_be_undone(cleo, muscle_up, today):
    change_goal(goal=muscle_up, reps=3)
    mark_reached(goal=muscle_up, on=today)
    dropped = drop_goal(goal=muscle_up)

    back = restore_goal(client=cleo, dropped=dropped)

    assert (back.reps, back.set_on, back.reached_on) == (3, today, today)
    assert reopen_goal(goal=back).reached_on is None
    assert change_goal(goal=back, reps=1).reps == 1


def test_an_exercise_is_a_goal_once(cleo, muscle_up, today):
    with pytest.raises(GoalError, match=r"goal already\. Change its number"):
        set_goal(client=cleo, exercise=muscle_up.exercise, reps=2, on=today)

    assert MovementGoal.objects.get(client=cleo).reps == 1


def test_a_retired_exercise_is_no_goal(cleo, today):
    row = retire(exercise=shared("dip"))

    with pytest.raises(GoalError, match=r"dip is retired\. Choose"):
        set_goal(client=cleo, exercise=row, reps=8, on=today)


def test_another_coachs_exercise_is_no_goal(cleo, ben, today):
    row = shared("dip")
    row.pk, row.coach, row.ladder, row.rung = None, ben, None, None
    row.save()

    with pytest.raises(GoalError, match="not in your library"):
        set_goal(client=cleo, exercise=row, reps=8, on=today)


def test_what_a_client_must_avoid_is_no_goal_and_the_reason_is_named(cleo, today):
    add_joint_limit(client=cleo, stress="shoulder overhead", action="avoid", since=today)

    with pytest.raises(GoalError, match=r"avoid: shoulder overhead\. Choose a rung that spares it"):
        set_goal(client=cleo, exercise=shared("pull-up"), reps=8, on=today)

    assert set_goal(client=cleo, exercise=shared("dip"), reps=8, on=today).pk


@pytest.mark.parametrize(("key", "reps"), [("dip", 0), ("dip", 101), ("dead-hang", 601)])
def test_a_goal_asks_a_number_that_can_be_done(cleo, today, key, reps):
    with pytest.raises(GoalError, match="Give 1 to"):
        set_goal(client=cleo, exercise=shared(key), reps=reps, on=today)


def test_a_dropped_goal_comes_back_although_a_limit_has_come_since(cleo, muscle_up, today):
    dropped = drop_goal(goal=muscle_up)
    add_joint_limit(client=cleo, stress="grip", action="avoid", since=today)

    assert restore_goal(client=cleo, dropped=dropped).reps == 1


def test_prerequisites_are_said_in_words(ana):
    by_key = exercises_by_key(ana)

    lines = prerequisites_in_words(by_key["tuck-front-lever"], by_key)

    assert PrerequisiteLine("pull-up", "Pull-up", "5 reps") in lines
    assert PrerequisiteLine("hollow-hold", by_key["hollow-hold"].name, "20 s") in lines


# --- What the client page shows


def test_the_ladder_shows_where_the_client_is_and_what_is_in_the_way(coach, cleo, muscle_up, today):
    log(cleo, "explosive-pull-up", (5, 5, 4), today - timedelta(days=3))
    log(cleo, "explosive-pull-up", (5, 5, 5), today - timedelta(days=1))
    log(cleo, "pull-up", (8, 8, 8), today - timedelta(days=10))
    log(cleo, "dip", (6, 6), today - timedelta(days=10))

    goals, text = page_of(coach, cleo)
    card = goals.cards[0]
    asked = {one.asked: one.word for one in rung(card, "bar-muscle-up").prerequisites}

    assert [line.number for line in card.rungs] == [6, 5, 4, 3, 2, 1]
    assert [line.key for line in card.rungs if line.is_here] == ["explosive-pull-up"]
    assert [line.key for line in card.rungs if line.is_goal] == ["bar-muscle-up"]
    assert asked == {
        "Chest-to-bar pull-up, 8 reps": "unknown",
        "Parallel-bar dip, 8 reps": "not met",
    }
    assert "best 6 reps, 1 Mar" in text
    assert "8 reps a set" in text


def test_nothing_logged_is_unknown_and_never_not_met(coach, cleo, muscle_up):
    goals, _ = page_of(coach, cleo)
    words = {one.word for line in goals.cards[0].rungs for one in line.prerequisites}

    assert words == {"unknown"}
    assert goals.cards[0].progress == "Not logged in the last year."


def test_a_limit_that_came_later_names_the_rungs_it_blocks(coach, cleo, muscle_up, today):
    add_joint_limit(client=cleo, stress="shoulder behind the body", action="avoid", since=today)

    goals, text = page_of(coach, cleo)

    assert rung(goals.cards[0], "bar-muscle-up").blocked == "shoulder behind the body"
    assert rung(goals.cards[0], "false-grip-hang").blocked == ""
    assert "loads shoulder behind the body" in text


def test_a_goal_that_was_done_is_proposed_and_not_written(coach, cleo, muscle_up, today):
    log(cleo, "bar-muscle-up", (1, 1), today - timedelta(days=2))

    goals, text = page_of(coach, cleo)

    assert goals.cards[0].done_on == today - timedelta(days=2)
    assert "Done: 1 rep in one set, 9 Mar." in text
    assert MovementGoal.objects.get().reached_on is None


def test_a_goal_without_a_ladder_stands_alone_and_a_retired_one_stays(coach, cleo, today):
    set_goal(client=cleo, exercise=shared("dragon-flag"), reps=3, on=today)
    retire(exercise=shared("dragon-flag"))

    goals, _ = page_of(coach, cleo)

    assert [line.key for line in goals.cards[0].rungs] == ["dragon-flag"]
    assert goals.cards[0].stands == ""


def test_goals_cost_the_same_after_years_and_with_more_goals(cleo, muscle_up, today):
    def count():
        with CaptureQueriesContext(connection) as found:
            goals_section(cleo, today)
        return len(found)

    log(cleo, "pull-up", (8,), today)
    short = count()
    set_goal(client=cleo, exercise=shared("full-planche"), reps=5, on=today)
    for days in range(1, 60):
        log(cleo, "pull-up", (5, 5, 5), today - timedelta(days=9 * days))

    assert count() == short == 9


# --- When a goal comes into reach


def trained(client, today, key="pull-up", amounts=(8, 8, 8)):
    """Ten weeks of an exercise, twice a week, a repetition more every second week."""
    for session in range(20):
        done = tuple(amount + session // 4 for amount in amounts)
        log(client, key, done, today - timedelta(days=70 - 7 * (session // 2) - 3 * (session % 2)))


def test_a_goal_says_in_how_many_weeks_it_comes_into_reach(coach, cleo, today):
    trained(cleo, today)
    set_goal(client=cleo, exercise=shared("pull-up"), reps=16, on=today)

    goals, text = page_of(coach, cleo)
    told = goals.cards[0].ahead

    assert told is not None
    assert told.sentence in text
    assert "reach" in told.sentence
    assert "Gain of strength a week" in text
    assert goals.ahead_caution in text


def test_a_ladder_that_is_not_in_the_log_is_not_foreseeable(coach, cleo, muscle_up):
    goals, text = page_of(coach, cleo)

    assert goals.cards[0].ahead.sentence.startswith("Not foreseeable")
    assert goals.cards[0].ahead.sentence in text


def test_what_was_done_is_not_told_ahead(coach, cleo, today):
    trained(cleo, today)
    set_goal(client=cleo, exercise=shared("pull-up"), reps=8, on=today)

    assert page_of(coach, cleo)[0].cards[0].ahead is None


def test_the_part_of_the_goals_tells_the_same_as_the_page(coach, cleo, today):
    trained(cleo, today)
    set_goal(client=cleo, exercise=shared("pull-up"), reps=16, on=today)

    assert goals_section(cleo, today).cards[0].ahead == page_of(coach, cleo)[0].cards[0].ahead


# --- What a coach does


def test_a_plain_post_sets_a_goal_and_leads_back_to_the_goals(coach, cleo):
    address = reverse("sessions:set-goal", args=[cleo.pk])

    answer = coach.post(address, {"exercise": shared("dip").pk, "reps": 8})

    assert answer.status_code == 302
    goal = MovementGoal.objects.get(client=cleo)
    assert answer.headers["Location"].endswith(f"#goal-{goal.pk}-title")
    assert goal.exercise.key == "dip"


def test_the_heading_of_an_added_goal_takes_the_focus(coach, cleo, muscle_up):
    address = reverse("sessions:set-goal", args=[cleo.pk])

    answer = coach.post(address, {"exercise": shared("dip").pk, "reps": 8}, headers=PART)

    added = MovementGoal.objects.get(exercise__key="dip")
    text = answer.content.decode()
    heading = text[text.index(f'<h3 id="goal-{added.pk}-title"') :].split(">")[0]
    assert "autofocus" in heading
    assert text.count("autofocus") == 1


def test_no_two_messages_about_goals_stand_together(coach, cleo, muscle_up, today):
    dropped = {"exercise": muscle_up.exercise_id, "reps": 1, "set_on": today.isoformat()}
    acts = [("drop-goal", muscle_up.pk, {}), ("put-back-goal", cleo.pk, dropped)]

    for act, pk, data in acts:
        answer = coach.post(reverse(f"sessions:{act}", args=[pk]), data, headers=PART)
        assert 'hx-swap-oob="innerHTML:#messages"' in answer.content.decode()


@pytest.mark.parametrize(("key", "most"), [("dip", 100), ("dead-hang", 600)])
def test_a_number_above_the_most_is_named_at_the_number(coach, cleo, today, key, most):
    row = shared(key)
    goal = set_goal(client=cleo, exercise=row, reps=1, on=today)
    address = reverse("sessions:change-goal", args=[goal.pk])

    refused = coach.post(address, {"reps": most + 1}, headers=PART)

    assert refused.status_code == 422
    assert f'max="{most}"' in refused.content.decode()


def test_more_reps_than_can_be_asked_are_refused_beside_the_number(coach, cleo):
    address = reverse("sessions:set-goal", args=[cleo.pk])

    answer = coach.post(address, {"exercise": shared("dip").pk, "reps": 101}, headers=PART)

    assert answer.status_code == 422
    errors = answer.context["goals"].form.errors
    assert list(errors) == ["reps"]
    assert "Give 1 to 100 reps" in errors["reps"][0]


def test_htmx_gets_the_goals_with_a_message_that_takes_it_back(coach, cleo):
    address = reverse("sessions:set-goal", args=[cleo.pk])

    answer = coach.post(address, {"exercise": shared("dip").pk, "reps": 8}, headers=PART)
    back = reverse("sessions:drop-goal", args=[MovementGoal.objects.get(client=cleo).pk])

    assert answer.status_code == 200
    assert "<html" not in answer.content.decode()
    assert answer.content.decode().count(f'action="{back}"') == 2


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_a_goal_that_cannot_be_set_says_why_beside_the_form(coach, cleo, today, headers):
    add_joint_limit(client=cleo, stress="shoulder overhead", action="avoid", since=today)
    address = reverse("sessions:set-goal", args=[cleo.pk])

    answer = coach.post(address, {"exercise": shared("pull-up").pk, "reps": 8}, headers=headers)

    assert answer.status_code == 422
    assert "must avoid: shoulder overhead" in answer.content.decode()
    assert ("<html" in answer.content.decode()) == (headers == {})
    assert not MovementGoal.objects.exists()


def test_a_number_is_changed_and_the_message_leads_back(coach, muscle_up):
    address = reverse("sessions:change-goal", args=[muscle_up.pk])
    text = coach.post(address, {"reps": 3}, headers=PART).content.decode()
    refused = coach.post(address, {"reps": 0}, headers=PART)

    muscle_up.refresh_from_db()
    assert muscle_up.reps == 3
    assert '<input type="hidden" name="reps" value="1">' in text
    assert refused.status_code == 422


def test_a_dropped_goal_is_put_back_by_what_its_message_sends(coach, cleo, muscle_up, today):
    before = {"exercise": muscle_up.exercise_id, "reps": 1, "set_on": today.isoformat()}
    text = coach.post(
        reverse("sessions:drop-goal", args=[muscle_up.pk]), headers=PART
    ).content.decode()
    gone = not MovementGoal.objects.exists()

    coach.post(reverse("sessions:put-back-goal", args=[cleo.pk]), before)

    assert gone
    assert f'name="set_on" value="{today.isoformat()}"' in text
    assert MovementGoal.objects.get(client=cleo).set_on == today


def test_a_goal_is_reached_on_the_day_of_the_log_and_never_after_today(coach, muscle_up, today):
    address = reverse("sessions:goal-reached", args=[muscle_up.pk])
    days = []
    for on in (today - timedelta(days=2), today + timedelta(days=2), ""):
        coach.post(address, {"on": on})
        muscle_up.refresh_from_db()
        days.append(muscle_up.reached_on)

    assert days == [today - timedelta(days=2), today, today]


def test_a_reached_goal_is_listed_and_can_be_worked_toward_again(coach, cleo, muscle_up, today):
    mark_reached(goal=muscle_up, on=today)
    goals, text = page_of(coach, cleo)

    coach.post(reverse("sessions:reopen-goal", args=[muscle_up.pk]))

    assert (len(goals.reached), len(goals.cards)) == (1, 0)
    assert "reached 11 Mar 2026" in text
    assert len(page_of(coach, cleo)[0].cards) == 1


def test_another_coachs_exercise_is_not_put_back(coach, cleo, ben, today):
    row = shared("dip")
    row.pk, row.coach, row.ladder, row.rung = None, ben, None, None
    row.save()
    data = {"exercise": row.pk, "reps": 1, "set_on": today.isoformat()}

    answer = coach.post(reverse("sessions:put-back-goal", args=[cleo.pk]), data)

    assert answer.status_code == 404
