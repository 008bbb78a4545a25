"""What a coach decides exercise by exercise in the review: up, hold, back, swap, leave."""

from typing import Any

import pytest
from django.urls import reverse

from clients.services import set_equipment
from coaching.blocks.models import Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from sessions.models import Decision, LoggedSet, WeekReview
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}


@pytest.fixture
def block(cleo, last_week):
    found = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return found


def panel_of(coach, client, week):
    url = reverse("sessions:review-client", args=[client.pk])
    return coach.get(url, {"week": week.isoformat()}).context["panel"]


def option(row, act):
    return next(one for one in row.acts if one.act == act)


def send(coach, client, week, row, act, **more):
    """Decide about one row as the page sends it once the act has put its numbers in."""
    one = option(row, act)
    data = {
        "week": week.isoformat(),
        "take": [row.key],
        f"act-{row.key}": act,
        f"shown-{row.key}": act,
        f"was-{row.key}": row.targets,
        f"targets-{row.key}": one.targets,
        f"load-{row.key}": one.load,
        f"rung-{row.key}": one.rung,
        f"planned-{row.key}": row.before,
    }
    url = reverse("sessions:accept-targets", args=[client.pk])
    return coach.post(url, data | more, headers=PART)


def coming(block, today, exercise):
    lines = lines_of(snapshot_of(block), since=today)
    return {s["on"]: ln["targets"] for s, ln in lines if ln["name"] == exercise}


def plain_row(panel, act):
    """A row that has this act and stays on its rung."""
    return next(
        row for row in panel.rows if any(one.act == act and not one.rung for one in row.acts)
    )


@pytest.mark.parametrize("act", ["step up", "step back"])
def test_an_act_plans_the_numbers_that_it_shows(coach, cleo, block, last_week, today, act):
    row = plain_row(panel_of(coach, cleo, last_week), act)

    send(coach, cleo, last_week, row, act)

    wanted = [int(n) for n in option(row, act).targets.split("-")]
    made = Decision.objects.get()
    assert (made.kind, made.proposal["targets"]) == (act, wanted)
    assert wanted in coming(block, today, row.name).values()


@pytest.mark.parametrize("act", ["hold", "leave"])
def test_hold_and_leave_are_kept_and_change_nothing(coach, cleo, block, last_week, act):
    before = snapshot_of(block)
    row = panel_of(coach, cleo, last_week).changing[0]

    send(coach, cleo, last_week, row, act)

    made = Decision.objects.get()
    assert (made.kind, made.version) == (act, None)
    assert snapshot_of(block) == before


def test_what_was_proposed_is_kept_beside_what_the_coach_chose(coach, cleo, block, last_week):
    row = panel_of(coach, cleo, last_week).changing[0]

    send(coach, cleo, last_week, row, "leave")

    said = Decision.objects.get().proposal
    assert said["changed_by_coach"] is True
    assert said["proposed"]["step"] == row.step
    assert "-".join(str(n) for n in said["proposed"]["targets"]) == row.targets


def test_the_numbers_of_an_act_can_be_changed(coach, cleo, block, last_week, today):
    row = plain_row(panel_of(coach, cleo, last_week), "step back")

    send(coach, cleo, last_week, row, "step back", **{f"targets-{row.key}": "3-3-2"})

    assert [3, 3, 2] in coming(block, today, row.name).values()


def test_without_scripts_the_numbers_follow_the_act(coach, cleo, block, last_week):
    row = next(r for r in panel_of(coach, cleo, last_week).changing if r.act == "step up")
    back = option(row, "step back")
    as_rendered = {
        f"shown-{row.key}": row.act,
        f"targets-{row.key}": row.targets,
        f"load-{row.key}": row.load,
        f"rung-{row.key}": row.rung,
    }

    send(coach, cleo, last_week, row, "step back", **as_rendered)

    made = Decision.objects.get()
    assert "-".join(str(n) for n in made.proposal["targets"]) == back.targets


def test_a_swap_puts_another_exercise_in_from_the_chosen_session_on(
    coach, cleo, block, last_week, today
):
    panel = panel_of(coach, cleo, last_week)
    row = next(r for r in panel.rows if r.swaps and len(coming(block, today, r.name)) > 1)
    days = sorted(coming(block, today, row.name))
    to = row.swaps[-1]

    send(
        *(coach, cleo, last_week, row, "swap"),
        **{
            "since": days[1],
            f"swap-{row.key}": to.pk,
            f"targets-{row.key}": to.option.targets,
            f"load-{row.key}": to.option.load,
        },
    )

    made = Decision.objects.get()
    assert (made.kind, made.proposal["to"]) == ("swap", to.name)
    assert made.evidence[-1] == {"label": "Why this one", "value": to.reason}
    assert sorted(coming(block, today, row.name)) == days[:1]
    assert days[1] in coming(block, today, to.name)


def test_the_load_of_a_swap_is_the_last_one_used_or_left_to_be_chosen(
    coach, cleo, block, last_week
):
    items: list[dict[str, Any]] = [
        {"kind": "dumbbells", "pieces": [1, 2, 10, 20]},
        {"kind": "bench"},
    ]
    set_equipment(client=cleo, items=items)
    press = Exercise.objects.get(key="dumbbell-bench-press")

    def option_of():
        rows = panel_of(coach, cleo, last_week).rows
        return next(one.option for row in rows for one in row.swaps if one.pk == press.pk)

    never_done = option_of()
    some = LoggedSet.objects.filter(exercise__key="wall-slide")
    some.update(exercise=press, load_kg=10)
    done = option_of()

    assert (never_done.load, done.load) == ("0", "10")
    assert never_done.sentence.endswith("Choose its load with the client.")
    assert not done.sentence.endswith("Choose its load with the client.")


def test_a_swap_begins_anew_where_the_targets_were_missed(coach, cleo, block, last_week):
    """From 8 repetitions in supplementary work, the bottom of its range: common practice."""

    def targets():
        rows = panel_of(coach, cleo, last_week).rows
        of_reps = (one for one in rows if one.swaps and one.part == "supplementary")
        found = ((one.name, one.swaps[0].option) for one in of_reps)
        return next((name, swap.targets) for name, swap in found if swap.unit == "reps")

    name, _ = targets()
    logged = LoggedSet.objects.filter(exercise__name=name)
    Prescription.objects.filter(exercise__name=name).update(targets=[9, 9, 9])
    logged.update(target=9, amount=9)
    reached = targets()
    logged.update(amount=2)

    assert (reached, targets()) == ((name, "9-9-9"), (name, "8-8-8"))


def test_a_swap_that_is_not_offered_is_refused(coach, cleo, block, last_week):
    row = next(r for r in panel_of(coach, cleo, last_week).rows if r.swaps)

    answer = send(coach, cleo, last_week, row, "swap", **{f"swap-{row.key}": "1000000"})

    assert answer.status_code == 422
    assert "choose another" in answer.content.decode()
    assert Decision.objects.count() == 0


def test_nothing_that_is_planned_already_is_offered_as_a_swap(coach, cleo, block, last_week):
    panel = panel_of(coach, cleo, last_week)
    planned = {row.name for row in (*panel.rows, *panel.others)}

    offered = {one.name for row in panel.rows for one in row.swaps}

    assert offered
    assert offered & planned == set()


def test_a_session_that_is_not_to_come_is_no_day_to_start_from(coach, cleo, block, last_week):
    row = panel_of(coach, cleo, last_week).rows[0]

    answer = send(coach, cleo, last_week, row, "hold", since=last_week.isoformat())

    assert answer.status_code == 422
    assert Decision.objects.count() == 0


def test_an_exercise_that_was_not_trained_can_be_decided_too(coach, cleo, last_week, today):
    block = published_block(cleo, last_week, "beginner-full-body")
    log_session(cleo, block.weeks.get(number=1).planned_sessions.order_by("on")[0])
    panel = panel_of(coach, cleo, last_week)
    row = next(r for r in panel.others if any(one.act == "step back" for one in r.acts))

    send(coach, cleo, last_week, row, "step back")

    assert not row.chosen
    assert Decision.objects.get().kind == "step back"


def test_a_swap_can_be_taken_back(coach, cleo, block, last_week):
    before = snapshot_of(block)
    row = next(r for r in panel_of(coach, cleo, last_week).rows if r.swaps)
    to = row.swaps[0]
    numbers = {f"targets-{row.key}": to.option.targets, f"load-{row.key}": to.option.load}
    send(coach, cleo, last_week, row, "swap", **{f"swap-{row.key}": to.pk}, **numbers)

    data = {"week": last_week.isoformat(), "decision": Decision.objects.get().pk}
    coach.post(reverse("sessions:undo-decisions"), data)

    assert snapshot_of(block) == before


def test_pain_leaves_no_step_up_to_choose(coach, cleo, last_week):
    block = published_block(cleo, last_week, "beginner-full-body")
    session = block.weeks.get(number=1).planned_sessions.order_by("on")[0]
    hurt = session.pairs.order_by("letter")[0].prescriptions.all()[0].exercise
    log_session(cleo, session, pain={hurt.pk: 7})

    row = next(r for r in panel_of(coach, cleo, last_week).rows if r.name == hurt.name)

    assert "step up" not in {one.act for one in row.acts}


def test_leaving_a_client_is_one_act_that_is_kept_and_closes_the_week(
    coach, cleo, block, last_week
):
    panel = panel_of(coach, cleo, last_week)
    data = {"week": last_week.isoformat(), "note_to_client": "", "private_note": "Knows why."}

    coach.post(reverse("sessions:leave-week", args=[cleo.pk]), data, headers=PART)

    assert {one.kind for one in Decision.objects.all()} == {"leave"}
    assert Decision.objects.count() == len(panel.rows)
    assert WeekReview.objects.get().reviewed_at is not None
    assert WeekReview.objects.get().private_note == "Knows why."


def test_a_week_without_a_proposal_can_be_left_too(coach, cleo, last_week):
    published_block(cleo, last_week, "beginner-full-body")
    data = {"week": last_week.isoformat()}

    coach.post(reverse("sessions:leave-week", args=[cleo.pk]), data, headers=PART)

    made = Decision.objects.get()
    assert (made.kind, made.exercise) == ("leave", None)
    assert "missed" in made.proposal["sentence"] or made.proposal["sentence"]
