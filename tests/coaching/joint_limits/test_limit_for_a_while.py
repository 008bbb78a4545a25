"""A limit that begins and ends inside a block, or inside a week: it counts on its days alone."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from clients.services import add_joint_limit
from coaching.blocks.editing.draft_services import draft_of, undo_edit
from coaching.blocks.limit_queries import avoided_findings, joints_of
from coaching.blocks.pages_limits import limited_in_plan
from coaching.library.models import Exercise
from coaching.rules.findings import FindingKind
from tests.coaching.block_page.acting import act, lines
from tests.coaching.joint_limits.limited import (
    GRIP,
    PART,
    WRIST,
    avoid,
    loading,
    page_of,
    sparing,
    swaps_for,
)
from tests.conftest import signed_in
from tests.factories.edits import edited

pytestmark = pytest.mark.django_db
PALMS = "Kneeling palm lift"
"""It loads the wrist bent back, and needs nothing."""


def planned_on(block, exercise):
    rows = [row for row in loading(block, WRIST) if row.exercise == exercise]
    return sorted({row.pair.planned_session.on for row in rows})


def avoid_between(client, since, until):
    """To be avoided from one day to the one before another."""
    limit = avoid(client, WRIST, since)
    limit.until = until
    limit.save(update_fields=["until"])
    return limit


def test_a_limit_between_the_first_and_the_last_day_is_told_in_the_review(
    cleo, block, day, django_assert_max_num_queries
):
    exercise = loading(block, WRIST)[0].exercise
    first, *between, last = planned_on(block, exercise)
    avoid_between(cleo, first + timedelta(days=1), last)
    joints = joints_of(cleo)

    with django_assert_max_num_queries(3):
        told = avoided_findings({cleo.pk: joints}, day)

    assert between
    assert exercise.key in {one.exercise for one in told[cleo.pk]}


def test_a_limit_that_no_planned_day_meets_is_not_told(cleo, block, day):
    every = {row.pair.planned_session.on for row in loading(block, WRIST)}
    week = [min(every) + timedelta(days=n) for n in range(7)]
    free = next(on for on in week if on not in every)
    avoid_between(cleo, free, free + timedelta(days=1))

    assert avoided_findings({cleo.pk: joints_of(cleo)}, day) == {}


def add_choices(coach, block, session):
    url = reverse("blocks:add-line", args=[block.pk, session["uid"]])
    found = signed_in(coach).get(url, {"q": PALMS}, headers=PART).context["panel"].found
    return {one.name: one for one in found}


def sessions_of(block, day, name=""):
    weeks = draft_of(block, day).snapshot["weeks"]
    every = [one for week in weeks for one in week["sessions"]]
    return [one for one in every if one["name"] == (name or every[0]["name"])]


def test_an_exercise_to_add_is_judged_on_the_day_of_its_session(ana, cleo, block, day):
    first, second, *_ = sessions_of(block, day)
    begins = date.fromisoformat(second["on"])
    limit = avoid_between(cleo, day, date.fromisoformat(first["on"]))

    over = add_choices(ana, block, first)[PALMS]
    limit.since, limit.until = begins, None
    limit.save()
    before, inside = (add_choices(ana, block, one)[PALMS] for one in (first, second))

    assert over.why_not == before.why_not == ""
    assert WRIST not in over.reason
    assert f"for this week only: it loads {WRIST}, avoided on {begins:%a %-d %b}" in before.reason
    assert inside.why_not == f"loads {WRIST}, which is avoided"
    # What is said of each is what becomes of it.
    palms = Exercise.objects.get(name=PALMS, coach=None)
    to = {"act": "add-exercise", "exercise": palms.pk}
    onward = act(ana, block, session=first["uid"], reach="onward", **to)
    this_week = act(ana, block, session=first["uid"], reach="week", **to)
    later = act(ana, block, session=second["uid"], reach="week", **to)
    assert [one.status_code for one in (onward, this_week, later)] == [422, 200, 422]


def test_a_swap_that_a_later_limit_forbids_says_so(ana, cleo, block, day):
    row = sparing(block, WRIST)
    rows = {swap.pk: swap for swap in swaps_for(row, ana, day)}
    loads = Exercise.objects.filter(pk__in=rows)
    [stress, *_] = (one for each in loads for one in each.joint_stresses)
    since = row.pair.planned_session.on + timedelta(days=7)
    avoid(cleo, stress, since)

    told = [swap for swap in swaps_for(row, ana, day) if "for this week only" in swap.reason]

    assert {one.pk for one in told} == {one.pk for one in loads if stress in one.joint_stresses}
    assert all(f"it loads {stress}, avoided on {since:%a %-d %b}" in one.reason for one in told)


def test_what_is_put_in_everywhere_is_allowed_on_every_day(ana, cleo, block, day):
    pressing = add_joint_limit(
        client=cleo, stress="elbow in hard pressing", action="avoid", since=day
    )

    def offered():
        found = limited_in_plan(cleo, ana, day, block=block)
        return next(one for one in found if one.name == "Push-up")

    loads_wrist = Exercise.objects.get(pk=offered().replacement.pk)
    last = offered().last_on
    avoid(cleo, WRIST, last)
    pressing.until = last
    pressing.save(update_fields=["until"])
    one = offered()

    swap = {"exercise": str(one.exercise_id), "to": str(one.replacement.pk)}
    edited(block, by=ana, today=day, act="replace-exercise", **swap)

    assert WRIST in loads_wrist.joint_stresses
    planned = {line["exercise"] for line in lines(block)}
    assert one.replacement.pk in planned
    assert one.exercise_id not in planned


def test_a_week_tells_a_limit_for_the_sessions_on_its_days_alone(ana, cleo, block, day):
    week = draft_of(block, day).snapshot["weeks"][0]["sessions"]
    avoid(cleo, WRIST, date.fromisoformat(week[-1]["on"]))

    page = page_of(block, ana, day)

    told = [one for one in page.effects.findings if one.finding.kind is FindingKind.JOINT_LIMIT]
    loaded = {str(row.pair.planned_session.uid) for row in loading(block, WRIST)}
    assert {key for one in told for key in one.keys} == {week[-1]["uid"]} & loaded
    assert loaded & {one["uid"] for one in week[:-1]}


def test_every_remedy_of_the_page_for_such_a_limit_is_done(ana, cleo, block, day):
    weeks = draft_of(block, day).snapshot["weeks"]
    avoid_between(
        cleo,
        date.fromisoformat(weeks[0]["sessions"][-1]["on"]),
        date.fromisoformat(weeks[1]["sessions"][-1]["on"]),
    )
    avoid(cleo, GRIP, date.fromisoformat(weeks[2]["sessions"][0]["on"]))
    page = page_of(block, ana, day)
    ways = [way for one in (*page.effects.findings, *page.effects.volume) for way in one.remedies]

    assert ways
    for way in ways:
        assert act(ana, block, **way.act).status_code == 200, way.words
        undo_edit(block=block, revision=draft_of(block, day).revision, today=day, by=ana)
