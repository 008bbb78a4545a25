"""Wherever a plan can change, nothing that loads what the client must avoid comes in unasked."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit, end_joint_limit, set_equipment
from coaching.blocks.block_facts import block_facts
from coaching.blocks.editing.draft_services import draft_of, publish_changes, undo_edit
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.limit_services import (
    leave_out_of_plan,
    override_limit,
    withdraw_override,
)
from coaching.blocks.models import (
    Block,
    BlockTemplate,
    JointLimitOverride,
    PlannedSession,
    Prescription,
    Week,
)
from coaching.blocks.pages_block import BlockPage, block_page
from coaching.blocks.pages_limits import limited_in_plan
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.blocks.queries import week_value
from coaching.blocks.services import (
    TargetChange,
    change_targets,
    create_block_from_template,
    insert_light_week,
    undo_version,
)
from coaching.blocks.snapshots import lines_of, snapshot_of
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.deload import light_week
from coaching.rules.plan import WeekKind
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.edits import edited, swap_exercise

pytestmark = pytest.mark.django_db

WRIST = "wrist bent back under load"
GRIP = "grip"
TEMPLATE = "beginner-full-body"
PART = {"HX-Request": "true"}
OWNED = ("pull-up bar", "rings", "box or step")


@pytest.fixture
def day(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def monday(day):
    return day + timedelta(days=7 - day.weekday())


@pytest.fixture
def block(cleo, monday) -> Block:
    """Everything of it lies ahead; it holds work on bent wrists and work for the grip."""
    set_equipment(client=cleo, items=[{"kind": kind, "pieces": []} for kind in OWNED])
    return published_block(cleo, monday, TEMPLATE)


def facts_of(block, coach, day):
    return block_facts(block, coach=coach, today=day, draft=draft_of(block, day))


def page_of(block, coach, day) -> BlockPage:
    return block_page(facts_of(block, coach, day), number=None)


def swaps_for(row, coach, day):
    block = row.pair.planned_session.week.block
    return swap_panel(facts_of(block, coach, day), str(row.uid), 1).swaps


def avoid(client, stress, since):
    return add_joint_limit(client=client, stress=stress, action="avoid", since=since)


def regress(client, stress, since):
    return add_joint_limit(client=client, stress=stress, action="regress", since=since)


def loading(block, stress):
    """The coming prescriptions of a block that load something, first things first."""
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    ordered = rows.order_by("pair__planned_session__on", "pair__position", "position")
    return [
        row
        for row in ordered.select_related("exercise", "pair__planned_session__week__block__client")
        if stress in row.exercise.joint_stresses
    ]


def sparing(block, stress):
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    ordered = rows.order_by("pair__planned_session__on", "pair__position", "position")
    return next(
        row
        for row in ordered.select_related("exercise", "pair__planned_session__week__block__client")
        if stress not in row.exercise.joint_stresses
    )


def stresses_in(block, since):
    ids = {line["exercise"] for _, line in lines_of(snapshot_of(block), since=since)}
    return {s.value for one in exercise_values(ids).values() for s in one.joint_stresses}


# Where an exercise is offered


def test_a_new_block_holds_nothing_that_is_avoided_in_any_of_its_weeks(ana, cleo, day, monday):
    avoid(cleo, WRIST, day)

    for template in BlockTemplate.objects.filter(coach=None):
        made = create_block_from_template(
            client=cleo, template=template, starts_on=monday, by=ana, adapt=True
        )
        assert WRIST not in stresses_in(made, day), template.key


def test_the_swap_list_offers_nothing_that_is_avoided(ana, cleo, block, day):
    rows = [sparing(block, WRIST), loading(block, WRIST)[0]]
    avoid(cleo, WRIST, day)

    offered = {swap.pk for row in rows for swap in swaps_for(row, ana, day)}

    assert offered
    assert not any(WRIST in row.joint_stresses for row in Exercise.objects.filter(pk__in=offered))


def test_a_swap_to_what_is_avoided_is_refused_without_a_reason(ana, cleo, block, day):
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match="override the limit by name"):
        swap_exercise(prescription=row, to=other, onward=True, today=day, by=ana)

    assert snapshot_of(block) == before
    assert not JointLimitOverride.objects.exists()


def test_next_targets_never_step_onto_what_is_avoided(ana, cleo, block, day):
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)
    change = TargetChange(row.exercise_id, row.pair.part, (5, 5, 5), 0.0, swap_to=other.pk)

    with pytest.raises(BlockError, match=WRIST):
        change_targets(block=block, changes=[change], today=day, by=ana, what="step")

    assert snapshot_of(block) == before


def test_an_undo_brings_nothing_back_that_is_avoided_by_now(ana, cleo, block, day):
    row = loading(block, WRIST)[0]
    version = swap_exercise(
        prescription=row, to=sparing(block, WRIST).exercise, onward=True, today=day, by=ana
    )
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match=f"{row.exercise.name} loads {WRIST}"):
        undo_version(version=version, today=day, by=ana)

    assert snapshot_of(block) == before
    undo_edit(block=block, revision=draft_of(block, day).revision, today=day, by=ana)
    with pytest.raises(BlockError, match="override the limit by name"):
        publish_changes(block=block, by=ana, today=day)
    assert snapshot_of(block) == before


def test_an_undo_that_brings_back_something_else_goes_on(ana, cleo, block, day):
    before = snapshot_of(block)
    row, other = loading(block, GRIP)[0], sparing(block, GRIP).exercise
    version = swap_exercise(prescription=row, to=other, onward=True, today=day, by=ana)
    avoid(cleo, WRIST, day)

    undo_version(version=version, today=day, by=ana)

    assert snapshot_of(block) == before


def test_a_draft_that_a_later_limit_forbids_is_not_published(ana, cleo, day, monday):
    template = BlockTemplate.objects.get(key=TEMPLATE)
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)
    avoid(cleo, WRIST, day)

    answer = signed_in(ana).post(reverse("blocks:publish-block", args=[draft.pk]), follow=True)

    draft.refresh_from_db()
    assert draft.published_at is None
    assert "which Cleo Brandt avoids" in answer.text
    assert answer.context["page"].avoided


def test_a_draft_is_published_once_everything_avoided_is_replaced(ana, cleo, day, monday):
    template = BlockTemplate.objects.get(key=TEMPLATE)
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)
    avoid(cleo, WRIST, day)

    for one in limited_in_plan(cleo, ana, day, block=draft):
        url = reverse("blocks:replace-exercise", args=[draft.pk, one.exercise_id])
        to = one.replacement.pk if one.replacement else "nothing"
        signed_in(ana).post(url, {"to": to, "week": "1"})
    publish_changes(block=draft, by=ana, today=day)

    assert WRIST not in stresses_in(draft, day)


def test_a_light_week_copies_nothing_that_is_avoided(ana, cleo, block, day):
    usual = Week.objects.filter(block=block, kind=WeekKind.BUILD).order_by("number")[1]
    light = light_week(week_value(usual), starts_on=usual.starts_on).week
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)

    with pytest.raises(BlockError, match=WRIST):
        insert_light_week(block=block, usual=usual, light=light, today=day, by=ana)

    assert snapshot_of(block) == before


def test_what_is_planned_already_can_still_be_changed_and_stays_flagged(ana, cleo, block, day):
    row = loading(block, WRIST)[0]
    avoid(cleo, WRIST, day)

    edited(block, by=ana, today=day, act="change-line", line=str(row.uid), targets="3-3")

    assert row.exercise.name in {one.name for one in page_of(block, ana, day).avoided}


# A limit that comes after the block


def test_a_published_block_names_what_loads_a_new_limit_and_what_to_put_there(
    ana, cleo, block, day
):
    names = {row.exercise.name for row in loading(block, WRIST)}
    avoid(cleo, WRIST, day)

    page = page_of(block, ana, day)

    given = [one.replacement for one in page.avoided if one.replacement]
    assert {one.name for one in page.avoided} == names
    assert given
    assert all(f"does not load {WRIST}" in one.reason for one in given)
    rows = Exercise.objects.filter(pk__in=[one.pk for one in given])
    assert not any(WRIST in row.joint_stresses for row in rows)


def test_one_act_replaces_an_exercise_in_every_week_to_come_light_ones_too(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    found = limited_in_plan(cleo, ana, day, block=block)
    one, given = next((one, one.replacement) for one in found if one.replacement)
    url = reverse("blocks:replace-exercise", args=[block.pk, one.exercise_id])

    signed_in(ana).post(url, {"to": given.pk, "week": "1"}, headers=PART)
    publish_changes(block=block, by=ana, today=day)

    light = Week.objects.get(block=block, kind=WeekKind.DELOAD)
    planned = {line["exercise"] for _, line in lines_of(snapshot_of(block))}
    in_light = Prescription.objects.filter(pair__planned_session__week=light)
    assert one.exercise_id not in planned
    assert given.pk in set(in_light.values_list("exercise_id", flat=True))
    assert given.name in block.versions.order_by("-number")[0].what


def test_what_is_avoided_may_be_left_out_in_one_act(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    found = limited_in_plan(cleo, ana, day, block=block)
    one = found[0]
    before = len(list(lines_of(snapshot_of(block))))

    url = reverse("blocks:replace-exercise", args=[block.pk, one.exercise_id])
    answer = signed_in(ana).post(url, {"to": "nothing", "week": "1"}, headers=PART)

    left = [line["exercise"] for _, line in lines_of(draft_of(block, day).snapshot)]
    assert "left out of every session to come" in answer.text
    assert one.exercise_id not in left
    assert len(left) == before - one.sessions


def test_the_last_exercise_of_a_block_is_not_left_out(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    only = loading(block, WRIST)[0].exercise
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    rows.exclude(exercise=only).delete()

    with pytest.raises(BlockError, match="nothing is left to train"):
        leave_out_of_plan(block=block, exercise=only, today=day, by=ana)


def test_a_replacement_that_is_avoided_too_is_refused(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    first = loading(block, WRIST)[0].exercise
    other = next(
        row
        for row in Exercise.objects.filter(coach=None, equipment=[])
        if WRIST in row.joint_stresses and row != first
    )
    before = snapshot_of(block)

    url = reverse("blocks:replace-exercise", args=[block.pk, first.pk])
    answer = signed_in(ana).post(url, {"to": other.pk, "week": "1"}, headers=PART)

    assert "override the limit by name" in answer.text
    assert snapshot_of(block) == before


@pytest.mark.parametrize("sent", ["", "999999", "abc", "-1"])
def test_a_replacement_that_is_none_changes_nothing(ana, cleo, block, day, sent):
    avoid(cleo, WRIST, day)
    before = snapshot_of(block)
    row = loading(block, WRIST)[0]

    url = reverse("blocks:replace-exercise", args=[block.pk, row.exercise_id])
    answer = signed_in(ana).post(url, {"to": sent, "week": "1"}, headers=PART)

    assert "nothing was changed" in answer.text
    assert snapshot_of(block) == before


def test_a_limit_that_ended_counts_nowhere(ana, cleo, block, day):
    limit = avoid(cleo, WRIST, day - timedelta(days=30))
    end_joint_limit(limit=limit, on=day)
    row, other = sparing(block, WRIST), loading(block, WRIST)[0].exercise

    swap_exercise(prescription=row, to=other, onward=False, today=day, by=ana)

    page = page_of(block, ana, day)
    assert page.limited == ()
    assert not JointLimitOverride.objects.exists()


def test_a_session_that_is_begun_is_left_alone_and_not_asked_about(ana, cleo, block, day):
    avoid(cleo, WRIST, day)
    PlannedSession.objects.filter(week__block=block).update(started_at=timezone.now())

    assert limited_in_plan(cleo, ana, day, block=block) == ()


# What is regressed


def test_what_is_regressed_offers_what_spares_it_first_with_the_word_and_the_reason(
    ana, cleo, block, day
):
    row = next(r for r in loading(block, WRIST) if r.exercise.key == "push-up")
    regress(cleo, WRIST, day)

    swaps = swaps_for(row, ana, day)

    rows = Exercise.objects.in_bulk([swap.pk for swap in swaps])
    loads = [WRIST in rows[swap.pk].joint_stresses for swap in swaps]
    assert (swaps[0].word, loads[0]) == ("regress", False)
    assert f"does not load {WRIST}" in swaps[0].reason
    assert (swaps[1].word, loads[1]) == ("regress", True)
    assert f"loads {WRIST} less" in swaps[1].reason
    assert swaps[-1].word == "progress"
    assert "which is regressed" in swaps[-1].reason


def test_a_template_is_regressed_to_what_spares_the_joint(ana, cleo, block, day, monday):
    regress(cleo, WRIST, day)
    template = BlockTemplate.objects.get(key=TEMPLATE)

    made = create_block_from_template(
        client=cleo, template=template, starts_on=monday, by=ana, adapt=True
    )

    changes = {one["asked"]: one for one in made.changes_from_template}
    assert changes["Push-up"]["given"] == "Wall push-up"
    assert changes["Push-up"]["why"] == f"regresses {WRIST}"


def test_what_is_regressed_stays_possible_with_the_finding(ana, cleo, block, day):
    regress(cleo, GRIP, day)
    row, other = sparing(block, GRIP), loading(block, GRIP)[0].exercise

    swap_exercise(prescription=row, to=other, onward=False, today=day, by=ana)

    page = page_of(block, ana, day)
    assert page.avoided == ()
    assert other.name in {one.name for one in page.regressed}
    assert any(
        "which this client regresses" in one.finding.sentence for one in page.effects.findings
    )


# The override


def override(ana, cleo, exercise, day, why="Cleared by the physiotherapist."):
    return override_limit(
        client=cleo, exercise=exercise, name=exercise.name, why=why, days=[day], by=ana
    )


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


# Health


def test_a_block_cautions_about_breath_where_hard_work_meets_a_condition(ana, cleo, block, day):
    url = reverse("blocks:block", args=[block.pk])
    quiet = signed_in(ana).get(url).text

    cleo.screening_answers = {"blood pressure": True}
    cleo.save(update_fields=["screening_answers"])
    told = signed_in(ana).get(url)

    assert "No breath-holding on" not in quiet
    assert "No breath-holding on" in told.text
    assert "high blood pressure" in told.context["page"].breath.sentence


@pytest.mark.parametrize(
    ("born", "answers", "waits"),
    [(15, {}, True), (15, {"minor": True, "consent": True}, False), (30, {"minor": False}, False)],
)
def test_a_draft_for_a_minor_asks_for_a_guardian_before_it_is_published(
    ana, cleo, day, monday, born, answers, waits
):
    cleo.born_in, cleo.screening_answers = day.year - born, answers
    cleo.save(update_fields=["born_in", "screening_answers"])
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=monday, by=ana)

    pages = [
        signed_in(ana).get(reverse("blocks:block", args=[draft.pk])).text,
        signed_in(ana).get(reverse("blocks:new-block", args=[cleo.pk])).text,
    ]

    for page in pages:
        assert ("written consent of a parent or guardian" in page) is waits
