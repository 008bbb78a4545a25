"""A limit is overridden for one exercise of one client, on record, and withdrawn."""

import pytest
from django.urls import reverse

from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.limit_services import withdraw_override
from coaching.blocks.models import JointLimitOverride
from coaching.blocks.pages_limits import limited_in_plan
from coaching.library.queries import exercise_values
from tests.coaching.joint_limits.limited import PART, WRIST, avoid, loading, override, sparing
from tests.conftest import signed_in
from tests.factories.edits import swap_exercise

pytestmark = pytest.mark.django_db


def test_an_override_is_recorded_once_and_not_asked_again(ana, cleo, block, day):
    row = loading(block, WRIST)[0]
    avoid(cleo, WRIST, day)
    url = reverse("blocks:keep-exercise", args=[block.pk, row.exercise_id])

    answer = signed_in(ana).post(
        url, {"name": row.exercise.name.upper(), "why": "Cleared.", "week": "1"}, headers=PART
    )

    kept = JointLimitOverride.objects.get()
    page = answer.context["page"]
    told = f"overridden by Ana Ferro on {day.day} {day:%b %Y}: Cleared."
    assert (kept.client, kept.exercise, kept.by) == (cleo, row.exercise, ana)
    assert kept.stresses == [WRIST]
    assert row.exercise.name not in {one.name for one in page.avoided}
    assert any(told in one.finding.sentence for one in page.effects.findings)
    assert told in answer.text


def test_an_overridden_exercise_may_be_planned_again_without_a_new_reason(ana, cleo, block, day):
    other = loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    override(ana, cleo, other, day)

    swap_exercise(prescription=sparing(block, WRIST), to=other, onward=False, today=day, by=ana)

    assert JointLimitOverride.objects.count() == 1


@pytest.mark.parametrize(
    ("name", "why", "word"),
    [("Push", "Cleared.", "full name"), ("", "Cleared.", "required"), (None, "", "required")],
)
def test_an_override_needs_the_full_name_and_a_reason(ana, cleo, block, day, name, why, word):
    row = loading(block, WRIST)[0]
    avoid(cleo, WRIST, day)
    url = reverse("blocks:keep-exercise", args=[block.pk, row.exercise_id])
    typed = row.exercise.name if name is None else name

    for headers in (PART, {}):
        answer = signed_in(ana).post(url, {"name": typed, "why": why, "week": "1"}, headers=headers)
        assert answer.status_code == 422
        assert word in answer.text
    assert not JointLimitOverride.objects.exists()


def test_an_override_of_what_no_limit_forbids_is_refused(ana, cleo, block, day):
    avoid(cleo, WRIST, day)

    with pytest.raises(BlockError, match="nothing to override"):
        override(ana, cleo, sparing(block, WRIST).exercise, day)


def test_a_reason_of_blanks_is_no_reason(ana, cleo, block, day):
    avoid(cleo, WRIST, day)

    with pytest.raises(BlockError, match="Say why"):
        override(ana, cleo, loading(block, WRIST)[0].exercise, day, why="  ")


def test_a_new_limit_with_another_loading_asks_again(ana, cleo, block, day):
    both = next(
        row.exercise for row in loading(block, WRIST) if len(row.exercise.joint_stresses) > 1
    )
    other = next(word for word in both.joint_stresses if word != WRIST)
    avoid(cleo, WRIST, day)
    override(ana, cleo, both, day)

    avoid(cleo, other, day)

    asked = {one.exercise_id: one for one in limited_in_plan(cleo, ana, day, block=block)}
    assert both.pk in asked
    assert asked[both.pk].loads == other
    override(ana, cleo, both, day)
    assert both.pk not in {one.exercise_id for one in limited_in_plan(cleo, ana, day, block=block)}


def test_a_withdrawn_override_is_flagged_again_and_kept_as_a_record(ana, cleo, block, day):
    exercise = loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    kept = override(ana, cleo, exercise, day)
    back = reverse("blocks:block", args=[block.pk])

    answer = signed_in(ana).post(
        reverse("blocks:withdraw-override", args=[kept.pk]), {"back": back}
    )

    kept.refresh_from_db()
    assert answer.headers["Location"] == back
    assert (kept.withdrawn_by, kept.withdrawn_at is not None) == (ana, True)
    assert exercise.name in {o.name for o in limited_in_plan(cleo, ana, day, block=block)}
    with pytest.raises(BlockError, match="withdrawn already"):
        withdraw_override(override=kept, by=ana)


@pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere.example", ""])
def test_withdrawing_never_leads_to_another_host(ana, cleo, block, day, back):
    avoid(cleo, WRIST, day)
    kept = override(ana, cleo, loading(block, WRIST)[0].exercise, day)

    answer = signed_in(ana).post(
        reverse("blocks:withdraw-override", args=[kept.pk]), {"back": back}
    )

    assert answer.headers["Location"] == reverse("sessions:client", args=[cleo.pk])


def test_an_override_of_one_client_allows_nothing_to_another(ana, ben, cleo, drew, block, day):
    exercise = loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    avoid(drew, WRIST, day)
    kept = override(ana, cleo, exercise, day)

    value = exercise_values([exercise.pk])[exercise.pk]
    assert joints_of(cleo).blocking(value, day) == ()
    assert joints_of(drew).blocking(value, day)
    url = reverse("blocks:withdraw-override", args=[kept.pk])
    assert signed_in(ben).post(url).status_code == 404
