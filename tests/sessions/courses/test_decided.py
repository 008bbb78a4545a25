"""What was decided of one day stands for that day alone: on the page, in the history, undone.

That heavy and light days have targets of their own is common practice, no source.
"""

from datetime import timedelta

import pytest
from django.urls import reverse

from clients.intake_services import update_client
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.rules.progression import Step
from coaching.rules.progression_words import PAIN_RULE
from sessions.automatic_steps import step_up_by_itself
from sessions.models import Decision, LoggedSet
from sessions.pages_hindsight import decisions_page
from sessions.review_services import accept_proposals, keep_targets, mark_reviewed, undo_decision
from sessions.week_reading import read_weeks
from sessions.week_record import read_record
from tests.factories.editor import Editor
from tests.sessions.courses.days import PRESS, asked, done
from tests.sessions.reviewing import at, messages_of, panel_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def reading(cleo, two_days, last_week, today):
    return read_weeks([cleo], last_week, today)[0]


def of(reading, day):
    return next(one for one in reading.proposals if one.when.startswith(day))


def rows(coach, client, week):
    panel = panel_of(coach, client, week)
    return [row.label for row in (*panel.rows, *panel.others) if row.name == PRESS]


def test_the_rows_are_told_apart_in_words_that_are_read_out_too(coach, cleo, two_days, last_week):
    html = coach.get(at("review-client", last_week, cleo.pk)).content.decode()

    for day in ("Heavy on Mon", "Light on Wed"):
        assert f'aria-label="{PRESS} ({day}), reps set by set"' in html
        assert f'aria-label="{PRESS} ({day}), load in kg"' in html
        assert f"{PRESS} ({day}): what to do" in html


def test_an_exercise_with_one_course_is_said_as_before(coach, cleo, two_days, last_week):
    row = next(one for one in panel_of(coach, cleo, last_week).rows if one.name == "Barbell row")

    assert (row.label, row.when) == ("Barbell row", "")


@pytest.mark.parametrize(("day", "other"), [("Heavy", "Light"), ("Light", "Heavy")])
def test_one_day_decided_leaves_the_other_to_decide(
    coach, ana, cleo, reading, last_week, today, day, other
):
    accept_proposals(reading=reading, proposals=[of(reading, day)], today=today, by=ana)

    left = rows(coach, cleo, last_week)
    assert [one.split("(")[1].split()[0] for one in left] == [other]


@pytest.mark.parametrize("day", ["Heavy", "Light"])
def test_undone_the_block_is_exactly_as_before(ana, cleo, two_days, reading, today, day):
    before = snapshot_of(two_days)
    made = accept_proposals(reading=reading, proposals=[of(reading, day)], today=today, by=ana)
    assert snapshot_of(two_days) != before

    undo_decision(decision=made[0], today=today, by=ana)

    assert snapshot_of(two_days) == before


def test_the_second_day_decided_is_undone_without_the_first(
    ana, cleo, two_days, reading, now, today
):
    accept_proposals(reading=reading, proposals=[of(reading, "Heavy")], today=today, by=ana)
    # The clock stands; a decision of another moment is another act.
    Decision.objects.update(at=now - timedelta(minutes=1))
    between = snapshot_of(two_days)
    made = accept_proposals(reading=reading, proposals=[of(reading, "Light")], today=today, by=ana)

    undo_decision(decision=made[0], today=today, by=ana)

    assert snapshot_of(two_days) == between


def test_a_decision_from_before_courses_were_kept_holds_for_both_days(
    coach, ana, cleo, reading, last_week, today
):
    keep_targets(reading=reading, proposals=[of(reading, "Light")], by=ana)
    for one in Decision.objects.all():
        said = {k: v for k, v in one.proposal.items() if k not in {"when", "lines"}}
        Decision.objects.filter(pk=one.pk).update(course="", proposal=said)

    assert rows(coach, cleo, last_week) == []
    assert coach.get(reverse("sessions:decisions", args=[cleo.pk])).status_code == 200


def test_decisions_say_which_day_they_are_about(coach, ana, cleo, reading, last_week, today):
    accept_proposals(reading=reading, proposals=[of(reading, "Light")], today=today, by=ana)

    said = panel_of(coach, cleo, last_week).decisions[0].words
    assert said == (f"{PRESS} (Light on Wed): step up, 8-8-8-8-8 at 40 kg → 5-5-5-5-5 at 42.5 kg",)


def test_what_came_of_it_is_read_from_that_day(ana, cleo, reading, last_week, today):
    accept_proposals(reading=reading, proposals=[of(reading, "Heavy")], today=today, by=ana)
    # Of the days to come the light one is first; it tells nothing of the heavy one.
    done(cleo, today, today + timedelta(days=7))

    page = decisions_page(cleo, today + timedelta(days=8))

    row = next(one for one in page.weeks[0].rows if one.exercise == f"{PRESS} (Heavy on Mon)")
    assert [one.asked for one in row.after.times] == ["7-6-6-6-6 · 60 kg"]


def test_the_day_that_nobody_decided_is_told_as_not_decided(ana, cleo, reading, last_week, today):
    accept_proposals(reading=reading, proposals=[of(reading, "Heavy")], today=today, by=ana)
    mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, reading=reading)

    told = {one.exercise: one.did.value for one in decisions_page(cleo, today).weeks[0].rows}

    assert told[f"{PRESS} (Heavy on Mon)"] == "accepted as proposed"
    assert told[f"{PRESS} (Light on Wed)"] == "not decided"


def test_each_day_steps_up_by_itself_from_its_own_log(cleo, two_days, now, today):
    update_client(client=cleo, steps_up_by_itself=True)

    step_up_by_itself(client=cleo, now=now)

    heavy = asked(two_days, session="Heavy", since=today)
    light = asked(two_days, session="Light", since=today)
    assert set(heavy.values()) == {((7, 6, 6, 6, 6), 60.0)}
    assert set(light.values()) == {((5,) * 5, 42.5)}


def test_a_day_that_was_taken_back_is_not_stepped_up_again_and_the_other_is(
    ana, cleo, two_days, reading, now, today
):
    update_client(client=cleo, steps_up_by_itself=True)
    made = accept_proposals(reading=reading, proposals=[of(reading, "Light")], today=today, by=ana)
    undo_decision(decision=made[0], today=today, by=ana)

    step_up_by_itself(client=cleo, now=now)

    light = asked(two_days, session="Light", since=today)
    heavy = asked(two_days, session="Heavy", since=today)
    assert set(light.values()) == {((8,) * 5, 40.0)}
    assert set(heavy.values()) == {((7, 6, 6, 6, 6), 60.0)}


def test_pain_on_the_heavy_day_lets_neither_go_up(cleo, two_days, last_week, today):
    """Thomeé (1997): pain above 5 of 10 is not trained on; the rule of progression cites it."""
    heavy = LoggedSet.objects.filter(exercise__name=PRESS, load_kg=60).latest("done_at")
    LoggedSet.objects.filter(pk=heavy.pk).update(pain=7)

    found = [one for one in read_weeks([cleo], last_week, today)[0].proposals if one.when]

    assert {one.when: one.target.rule for one in found} == {
        "Heavy on Mon": PAIN_RULE,
        "Light on Wed": PAIN_RULE,
    }
    assert not any(one.target.step is Step.STEP_UP for one in found)
    light = next(one for one in found if one.when.startswith("Light"))
    assert light.target.load <= 40


def test_another_exercise_comes_into_the_place_of_one_day_only(
    coach, cleo, two_days, last_week, today
):
    panel = panel_of(coach, cleo, last_week)
    row = next(one for one in panel.rows if one.when.startswith("Light"))
    to = row.swaps[0]
    key = row.key

    answer = coach.post(
        reverse("sessions:accept-targets", args=[cleo.pk]),
        {
            "week": last_week.isoformat(),
            "take": [key],
            f"act-{key}": "swap",
            f"shown-{key}": "swap",
            f"swap-{key}": to.pk,
            f"targets-{key}": to.option.targets,
            f"load-{key}": to.option.load,
            f"planned-{key}": row.before,
        },
    )

    assert "1 next target changes" in messages_of(coach.get(answer.url))
    assert asked(two_days, session="Light", since=today) == {}
    assert len(asked(two_days, to.name, session="Light", since=today)) == 3
    assert set(asked(two_days, session="Heavy").values()) == {((6,) * 5, 60.0)}


def test_edits_that_wait_in_the_block_take_in_the_day_that_was_decided(
    ana, cleo, two_days, reading, today
):
    """The light day waits with a rest changed; the heavy one with another load."""
    (light, *_), (heavy, *_) = (
        [uid for _on, uid in asked(two_days, session=day, since=today)]
        for day in ("Light", "Heavy")
    )
    editor = Editor(two_days, today, ana)
    editor.act(act="change-line", line=light, rest_s="90", reach="onward")
    editor.act(act="change-line", line=heavy, load_kg="57.5", reach="onward")

    accept_proposals(reading=reading, proposals=[of(reading, "Light")], today=today, by=ana)

    draft = editor.look()
    now = {line["uid"]: line for _, line in lines_of(draft.snapshot)}
    assert (now[light]["targets"], now[light]["load_kg"]) == ([5] * 5, 42.5)
    assert now[light]["rest_s"] == 90
    assert (now[heavy]["targets"], now[heavy]["load_kg"]) == ([6] * 5, 57.5)
    assert draft.clashes == ()


def test_a_week_that_was_closed_before_courses_were_kept_is_read_as_it_was():
    one = {
        "exercise_id": 1,
        "exercise": PRESS,
        "part": "primary",
        "step": "hold",
        "before": "5 × 6 · 60 kg",
        "after": "5 × 6 · 60 kg",
    }

    kept = read_record({"findings": [], "proposals": [one], "stays": 0})

    assert kept is not None
    assert [(each.name, each.course) for each in kept.proposals] == [(PRESS, "")]
