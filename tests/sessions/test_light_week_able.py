"""A light week after sets that fell short: worked from them, and what steps back does so after it."""

from datetime import timedelta

import pytest

from coaching.blocks.plan_rows import snapshot_of
from sessions.models import Decision, DecisionKind
from sessions.pages_deload import deload_page
from sessions.pages_review import review_week
from sessions.queries import week_start
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week
from tests.sessions.lightening import NOON, address
from tests.sessions.reviewing import TEMPLATE, at, panel_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def block(cleo, last_week):
    """Two weeks in which every set fell short by three."""
    made = published_block(cleo, last_week - timedelta(weeks=1), TEMPLATE)
    for monday in (last_week - timedelta(weeks=1), last_week):
        log_week(cleo, monday, drop=3, rir=0)
    return made


@pytest.fixture
def monday(today):
    return week_start(today) + timedelta(weeks=1)


def page_for(client, today, **sent):
    week = review_week((week_start(today) - timedelta(weeks=1)).isoformat(), today)
    return deload_page(client, week, sent, NOON)


def put_in(coach, cleo, last_week, **sent):
    data = {"week": last_week.isoformat()} | sent
    return coach.post(address(cleo, "apply-deload"), data, follow=True)


def asked_after(block, day):
    return {
        line["name"]: line["targets"]
        for week in snapshot_of(block)["weeks"]
        if week["kind"] == "build"
        for session in week["sessions"]
        if session["on"] >= day.isoformat()
        for pair in session["pairs"]
        for line in pair["lines"]
    }


def test_no_set_of_the_light_week_goes_beyond_what_was_done(cleo, block, today):
    preview = page_for(cleo, today).preview
    assert preview is not None
    light = [p for s in preview.proposal.week.sessions for p in s.prescriptions]
    rowed = next(p for p in light if p.exercise.name == "Steep ring row")

    # 6 were asked and 3 done, none left; there is nothing lighter: half of 3, rounded up.
    assert set(rowed.targets) == {2}
    assert rowed.rir == 1
    # What steps back to an easier rung does so in the light week.
    names = {p.exercise.name for p in light}
    assert "Knee push-up" in names
    assert "Push-up" not in names


def test_what_steps_back_is_told_and_carried_on_in_one_change(
    coach, cleo, block, last_week, today, monday
):
    before, versions = snapshot_of(block), block.versions.count()
    page = page_for(cleo, today)
    names = {one.exercise.name for one in page.backs}
    assert "Incline push-up" in names
    assert any(words.startswith("Incline push-up: 5 × 6 → ") for words in page.back_words)

    text = put_in(coach, cleo, last_week).content.decode()
    after = asked_after(block, monday + timedelta(weeks=1))

    assert f"{len(page.backs)} step back after it" in text
    assert block.versions.count() == versions + 1
    back = next(one for one in page.backs if one.exercise.name == "Incline push-up")
    assert after[back.rung or back.exercise.name] == list(back.target.targets)
    assert Decision.objects.filter(kind=DecisionKind.STEP_BACK).count() == len(page.backs)

    coach.post(address(cleo, "undo-deload"))

    assert snapshot_of(block) == before
    assert not Decision.objects.filter(undone_at=None).exists()


def test_the_coach_may_take_the_usual_numbers_back(coach, cleo, block, last_week, today, monday):
    usual = asked_after(block, today)

    shown = page_for(cleo, today, then="usual")
    put_in(coach, cleo, last_week, then="usual")

    assert shown.preview is not None
    assert shown.preview.backs.carried_from is None
    assert asked_after(block, monday + timedelta(weeks=1)) == usual
    assert not Decision.objects.filter(kind=DecisionKind.STEP_BACK).exists()


def test_the_page_says_what_steps_back_after_it(coach, cleo, block, last_week):
    text = coach.get(at("deload", last_week, cleo.pk)).content.decode()

    assert "After it the review’s" in text
    assert "The session on" in text
    assert "That session" not in text


def test_once_in_the_review_says_so_and_asks_for_no_light_week(coach, cleo, block, last_week):
    put_in(coach, cleo, last_week, then="usual")

    panel = panel_of(coach, cleo, last_week)
    listed = coach.get(at("review", last_week)).content.decode()

    if panel.has_light_week:
        assert panel.proposal.startswith("the light week is in the plan")
        assert all(row.chosen for row in panel.changing if row.step == "step back")
        assert "Light week is in, from" in listed
        assert panel.since is not None
    assert not panel.wants_light_week


def test_one_decision_taken_back_leaves_the_light_week_to_undo(
    coach, cleo, block, last_week, today
):
    before = snapshot_of(block)
    put_in(coach, cleo, last_week, then="usual")
    panel = panel_of(coach, cleo, last_week)
    row = panel.rows[0]
    data = {"week": last_week.isoformat(), "take": row.key, f"planned-{row.key}": row.before}
    data |= {f"targets-{row.key}": row.targets, f"rung-{row.key}": row.rung}
    data |= {f"load-{row.key}": row.load} if row.has_load else {}
    coach.post(at("accept-targets", last_week, cleo.pk), data)
    newest = Decision.objects.exclude(kind=DecisionKind.DELOAD).get()
    coach.post(
        at("undo-decisions", last_week),
        {"decision": newest.pk, "week": last_week.isoformat()},
    )

    lines = panel_of(coach, cleo, last_week).decisions
    (first,) = [one for one in lines if not one.undone]

    assert len(lines) == 2
    assert first.can_undo
    coach.post(
        at("undo-decisions", last_week),
        {"decision": first.decision_id, "week": last_week.isoformat()},
    )
    assert snapshot_of(block) == before
