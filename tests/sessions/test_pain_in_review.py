"""The review of a week with pain: what loads the joint alike steps back in every session to come."""

import re

import pytest
from django.urls import reverse

from coaching.blocks.models import PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from coaching.library.models import Exercise
from sessions.models import Decision
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session
from tests.sessions.reviewing import TEMPLATE, at, messages_of, panel_of, sent_targets

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PAINFUL, HARDER, EASIER = "Incline push-up", "Push-up", "Knee push-up"


@pytest.fixture
def block(cleo, last_week):
    """A block of which days A and B were trained; A hurt, and day C with the harder rung was not."""
    made = published_block(cleo, last_week, TEMPLATE)
    painful = Exercise.objects.get(coach=None, name=PAINFUL)
    for planned in PlannedSession.objects.filter(week__block=made, week__starts_on=last_week):
        if not planned.name.endswith("C"):
            logged = log_session(cleo, planned, pain={painful.pk: 6})
            logged.sets.filter(pain=6).update(pain_where="left shoulder")
    return made


def row_of(panel, name):
    return next(row for row in (*panel.rows, *panel.others) if row.name == name)


def accept(coach, cleo, last_week):
    panel = panel_of(coach, cleo, last_week)
    return coach.post(
        reverse("sessions:accept-targets", args=[cleo.pk]),
        sent_targets(panel),
        follow=True,
    )


def to_come(block, today, kind="build"):
    """What sessions from today on ask, by exercise."""
    return {
        line["name"]: (line["targets"], line["load_kg"])
        for week in snapshot_of(block)["weeks"]
        if week["kind"] == kind
        for session in week["sessions"]
        if session["on"] >= today.isoformat()
        for pair in session["pairs"]
        for line in pair["lines"]
    }


def test_a_harder_rung_of_what_hurts_is_shown_open_ticked_and_with_its_reason(
    coach, cleo, block, last_week
):
    panel = panel_of(coach, cleo, last_week)
    row = row_of(panel, HARDER)

    assert row in panel.changing
    assert row.chosen
    assert (row.step, row.rung) == ("step back", EASIER)
    assert "loads the shoulder as Incline push-up does, which hurt 6 of 10" in row.sentence
    assert HARDER not in {one.name for one in panel.others}


def test_asking_comes_first_and_no_step_up_is_offered_where_the_joint_hurts(
    coach, cleo, block, last_week
):
    panel = panel_of(coach, cleo, last_week)

    for name in (PAINFUL, HARDER, "Lowering pull-up"):
        assert "step up" not in {one.act for one in row_of(panel, name).acts}
    assert "step up" in {one.act for one in row_of(panel, "Reverse lunge").acts}
    text = coach.get(at("review-client", last_week, cleo.pk)).content.decode()
    dark = re.findall(r'class="button is-primary"[^>]*>([^<]*)<', text)
    assert dark[0].strip() == "Ask Cleo"
    assert "Accept next targets" not in dark


def test_what_loads_the_joint_otherwise_is_not_asked_for_more(coach, cleo, block, last_week):
    panel = panel_of(coach, cleo, last_week)

    steps = {row.name: row.step for row in panel.rows}

    assert steps["Lowering pull-up"] == steps["Steep ring row"] == "hold"
    assert steps["Reverse lunge"] == "step up"


def test_accepted_no_session_to_come_asks_for_what_hurts_nor_the_light_week(
    coach, cleo, block, last_week, today
):
    before = snapshot_of(block)

    said = messages_of(accept(coach, cleo, last_week))
    light, usual = to_come(block, today, "deload"), to_come(block, today)

    assert not {PAINFUL, HARDER} & {*usual, *light}
    assert usual[EASIER] == ([5] * 5, 0)
    # 6 asked and 4 in the light week left 2 more in reserve: of 5 that is 3.
    assert light[EASIER] == ([3, 3, 3], 0)
    assert "and in light week 5 too" in said
    decided = Decision.objects.filter(review__client=cleo, exercise__name=PAINFUL).get()
    assert decided.proposal["light_weeks"] == [5]

    coach.post(at("undo-decisions", last_week), {"decision": decided.pk})

    assert snapshot_of(block) == before


def test_the_decision_says_that_the_light_week_follows(coach, cleo, block, last_week):
    accept(coach, cleo, last_week)

    words = " ".join(w for one in panel_of(coach, cleo, last_week).decisions for w in one.words)

    assert f"{PAINFUL}: step back, 6-6-6-6-6 → {EASIER} 5-5-5-5-5, in light week 5 too" in words
    # What steps up does so in usual weeks only.
    assert "Reverse lunge: step up, 8-8-8 → 9-8-8 " in f"{words} "
    assert "9-8-8, in light" not in words
