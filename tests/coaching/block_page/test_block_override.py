"""A joint limit is overridden by name on the block's page."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import BlockEdit, JointLimitOverride
from coaching.library.models import Exercise
from tests.coaching.block_page.acting import PART, act, change, lines, open_page, plan_of
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def avoided(cleo, line) -> Exercise:
    """An exercise that loads what Cleo must avoid, and needs nothing."""
    on = line.pair.planned_session.on
    add_joint_limit(client=cleo, stress="shoulder overhead", action="avoid", since=on)
    rows = Exercise.objects.filter(equipment=[]).order_by("pk")
    return next(row for row in rows if "shoulder overhead" in row.joint_stresses)


def override(coach, block, line, **data):
    today = block.client.local_date(timezone.now())
    url = reverse("blocks:override-line", args=[block.pk, line.uid])
    sent = {"revision": draft_of(block, today).revision, "shown": "1", "reach": "onward", **data}
    return signed_in(coach).post(url, sent, headers=PART)


def test_a_limit_is_overridden_by_name_and_the_reason_is_kept(ana, block, line, avoided):
    override(ana, block, line, name=avoided.name.upper(), why="Cleared by the physiotherapist.")

    kept = JointLimitOverride.objects.get()
    assert avoided.pk in {one["exercise"] for one in lines(block)}
    assert (kept.by, kept.exercise, kept.why) == (ana, avoided, "Cleared by the physiotherapist.")
    assert kept.stresses == ["shoulder overhead"]


def test_an_override_whose_answer_was_lost_is_given_once(ana, block, line, avoided):
    asked = {"name": avoided.name, "why": "Cleared.", "sent": f"{uuid4()}.1", "revision": "1"}

    answers = [override(ana, block, line, **asked) for _ in range(2)]

    assert [one.status_code for one in answers] == [200, 200]
    assert JointLimitOverride.objects.count() == 1
    (edit,) = BlockEdit.objects.filter(draft__block=block)
    assert "sent" not in edit.act


@pytest.mark.parametrize("reach", ["week", "onward"])
def test_a_limit_that_starts_later_is_overridden_where_the_act_reaches_it(
    ana, cleo, block, line, avoided, reach
):
    later = line.pair.planned_session.on + timedelta(days=7)
    cleo.joint_limits.update(since=later)
    url = reverse("blocks:swap-line", args=[block.pk, line.uid])
    panel = signed_in(ana).get(url, headers=PART).context["panel"]

    answer = override(ana, block, line, name=avoided.name, why="Cleared.", reach=reach)

    assert panel.avoids == ("shoulder overhead",)
    covered = [(one.exercise, len(one.limits)) for one in JointLimitOverride.objects.all()]
    # This week lies before the limit: there is nothing to override.
    assert covered == ([(avoided, 1)] if reach == "onward" else [])
    assert answer.status_code == (200 if reach == "onward" else 422)


def test_what_a_later_limit_forbids_is_kept_by_name(ana, cleo, block, line):
    planned = line.exercise
    later = line.pair.planned_session.on + timedelta(days=7)
    for stress in planned.joint_stresses:
        add_joint_limit(client=cleo, stress=stress, action="avoid", since=later)
    url = reverse("blocks:keep-exercise", args=[block.pk, planned.pk])

    signed_in(ana).post(url, {"name": planned.name, "why": "Cleared."})

    kept = JointLimitOverride.objects.get()
    assert (kept.exercise, len(kept.limits)) == (planned, len(planned.joint_stresses))


def test_an_override_of_an_older_window_is_kept_and_overrides_nothing(ana, block, line, avoided):
    old = draft_of(block, block.client.local_date(timezone.now())).revision
    change(ana, block, line, targets="9-9-9-9-9")

    override(ana, block, line, name=avoided.name, why="Cleared.", revision=old)

    assert not JointLimitOverride.objects.exists()
    assert avoided.pk not in {one["exercise"] for one in lines(block)}
    kept = open_page(ana, block).context["page"].draft.kept
    assert [avoided.name in one.what for one in kept] == [True]


@pytest.mark.parametrize("missing", ["name", "why"])
def test_an_override_needs_a_name_and_a_reason(ana, block, line, avoided, missing):
    before = plan_of(block)
    data = {"name": avoided.name, "why": "Cleared.", missing: ""}

    answer = override(ana, block, line, **data)

    assert answer.status_code == 422
    assert plan_of(block) == before
    assert not JointLimitOverride.objects.exists()


def test_without_an_override_what_is_avoided_is_refused(ana, block, line, avoided):
    answer = act(ana, block, act="swap-line", line=line.uid, exercise=avoided.pk)

    assert answer.status_code == 422
    assert "override the limit by name" in answer.text


def test_an_override_cannot_conjure_up_equipment(ana, block, line):
    before = plan_of(block)
    dip = Exercise.objects.get(name="Parallel-bar dip")

    answer = act(ana, block, act="swap-line", line=line.uid, exercise=dip.pk)

    assert answer.status_code == 422
    assert "dip bars" in answer.text
    assert plan_of(block) == before


@pytest.mark.parametrize("data", [{"name": "Push-up", "why": "Cleared."}, {}])
@pytest.mark.parametrize("headers", [PART, {}])
def test_an_override_for_an_exercise_that_is_gone_says_so(ana, block, line, avoided, data, headers):
    act(ana, block, act="remove-line", line=line.uid)
    before = plan_of(block)
    url = reverse("blocks:override-line", args=[block.pk, line.uid])
    sent = {"shown": "1", **({**data, "name": avoided.name} if data else {})}

    answer = signed_in(ana).post(url, sent, headers=headers)

    assert answer.status_code == 422
    assert "is no longer in the plan" in answer.text
    assert plan_of(block) == before
    assert not JointLimitOverride.objects.exists()
