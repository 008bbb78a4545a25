"""The next block of a client: looked at, chosen line by line."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clients.models import Equipment, JointLimit
from coaching.blocks.models import Block, Prescription, Week
from coaching.rules.next_block import KEEP
from coaching.rules.plan import WeekKind
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week
from tests.sessions.next_block.pages import address, decided, lines_of, reading_of

pytestmark = pytest.mark.django_db


# Who may look


def test_only_the_clients_own_coach_sees_and_makes_it(ana, ben, cleo, block):
    users = {"own": ana, "stranger": ben, "client": cleo.user}

    seen = {who: signed_in(user).get(address(cleo)).status_code for who, user in users.items()}
    made = {
        who: signed_in(user).post(address(cleo)).status_code
        for who, user in users.items()
        if who != "own"
    }

    assert seen == {"own": 200, "stranger": 404, "client": 404}
    assert made == {"stranger": 404, "client": 404}
    assert not cleo.blocks.filter(published_at__isnull=True).exists()


def test_without_a_published_block_the_page_leads_to_a_template(ana, cleo):
    answer = signed_in(ana).get(address(cleo))

    assert answer.status_code == 200
    assert reverse("blocks:new-block", args=[cleo.pk]) in answer.content.decode()


# Look


def test_looking_writes_nothing_and_a_part_comes_alone(ana, cleo, block, log):
    before = Block.objects.count()
    browser = signed_in(ana)

    page = browser.get(address(cleo))
    part = browser.get(address(cleo), headers={"HX-Request": "true"})

    assert "sessions/next_block/page.html" in [one.name for one in page.templates]
    assert part.content.decode().lstrip().startswith('<div id="next-block"')
    assert Block.objects.count() == before


def test_it_starts_on_the_monday_after_the_last_block_or_the_next_one_to_come(cleo, monday, today):
    published_block(cleo, monday, "beginner-full-body")
    running = next_block_page(cleo, {}, today)
    last = Week.objects.filter(block__client=cleo).order_by("-number")[0]
    later = last.starts_on + timedelta(days=30)

    over = next_block_page(cleo, {}, later)

    assert reading_of(running).starts_on == last.starts_on + timedelta(weeks=1)
    assert reading_of(over).starts_on.weekday() == 0
    assert later <= reading_of(over).starts_on < later + timedelta(weeks=1)


def test_a_block_of_light_weeks_alone_is_passed_over_and_the_next_one_begins_after_it(
    ana, cleo, block, log, monday
):
    light = published_block(cleo, monday, "beginner-full-body")
    Week.objects.filter(block=light).update(kind=WeekKind.DELOAD)
    last = Week.objects.filter(block=light).latest("starts_on").starts_on

    answer = signed_in(ana).get(address(cleo))
    early = signed_in(ana).get(address(cleo), {"starts_on": last.isoformat()})

    page = answer.context["page"]
    assert page.last.block == block
    assert reading_of(page).starts_on == last + timedelta(weeks=1)
    assert "Block 2 has no usual week to go on from: this is made from block 1." in page.notes
    assert "block 2 runs until then" in early.content.decode()


def test_the_first_day_that_is_proposed_is_allowed_however_far_the_last_block_runs(
    ana, cleo, monday
):
    published_block(cleo, monday + timedelta(weeks=18))

    answer = signed_in(ana).get(address(cleo))

    assert answer.status_code == 200
    assert answer.context["page"].form.is_valid()


def test_without_a_log_everything_is_kept_and_says_so(cleo, block, today):
    page = next_block_page(cleo, {}, today)

    assert {line.outcome for line in lines_of(page)} == {"keep"}
    assert all("No log" in line.choice.sentence for line in lines_of(page))
    assert any("Nothing of block 1 is logged" in note for note in page.notes)


def test_what_was_met_steps_up_and_prehab_stays(cleo, block, log, today):
    lines = decided(next_block_page(cleo, {}, today))

    assert {line.outcome for line in lines if line.part == "prehab"} == {"keep"}
    primary = [line for line in lines if line.part == "primary"]
    assert primary
    assert {line.outcome for line in primary} == {"step up"}
    assert all(sum(line.choice.targets) > 0 and line.now != line.was for line in primary)


def test_what_hurt_twice_is_swapped_with_the_caution_and_others_to_choose(cleo, block, today):
    hurting = Prescription.objects.filter(
        pair__part="primary", pair__planned_session__week__block=block
    ).order_by("pk")[0]
    for week in Week.objects.filter(block=block, kind=WeekKind.BUILD).order_by("number")[:2]:
        log_week(cleo, week.starts_on, pain={hurting.exercise_id: 7})

    lines = [one for one in decided(next_block_page(cleo, {}, today)) if one.choice.why == "hurt"]

    assert hurting.exercise.name in {line.name for line in lines}
    assert all("licensed practitioner" in line.choice.sentence for line in lines)
    assert all(line.others for line in lines)


def test_a_joint_limit_written_down_since_forbids_what_was_planned(cleo, block, log, today):
    before = next_block_page(cleo, {}, today)
    stress = next(
        stress
        for case in reading_of(before).lines.values()
        for stress in case.exercise.joint_stresses
    )
    JointLimit.objects.create(client=cleo, stress=stress.value, action="avoid", since=today)

    page = next_block_page(cleo, {}, today)

    found = [choice.exercise for choice in page.choices.values() if choice.exercise]
    assert not [one.name for one in found if stress in one.joint_stresses]
    assert [one for one in page.choices.values() if one.why == "not possible now"]


def test_equipment_that_is_gone_forbids_what_needs_it(cleo, block, log, today):
    before = next_block_page(cleo, {}, today)
    needed = {k for case in reading_of(before).lines.values() for k in case.exercise.equipment}
    Equipment.objects.filter(client=cleo).delete()

    page = next_block_page(cleo, {}, today)

    assert needed
    assert not [
        choice.exercise.name
        for choice in page.choices.values()
        if choice.exercise and choice.exercise.equipment
    ]


def test_after_two_blocks_alike_exercises_change_and_the_goal_of_the_block_stays(
    cleo, block, monday, today
):
    cleo.level = "intermediate"
    cleo.save()
    second = published_block(cleo, monday, "beginner-full-body")
    end = Week.objects.filter(block=second).order_by("-number")[0].starts_on
    log_week(cleo, monday)

    page = next_block_page(cleo, {}, end + timedelta(days=7))

    why = {line.part: line.choice.why for line in decided(page) if line.outcome == "swap"}
    assert set(why.values()) == {"two blocks alike"}
    assert "prehab" not in why
    assert page.may_stay

    kept = next_block_page(cleo, {"stay": "1"}, end + timedelta(days=7))

    assert not [line for line in lines_of(kept) if line.choice.why == "two blocks alike"]


def test_a_line_can_be_kept_or_another_exercise_taken(cleo, block, log, today):
    proposed = next_block_page(cleo, {}, today)
    first, second = [one for one in decided(proposed) if one.part == "primary"][:2]
    other = second.others[-1]

    page = next_block_page(
        cleo, {f"choice-{first.key}": KEEP, f"choice-{second.key}": other.value}, today
    )

    by_key = {line.key: line for line in decided(page)}
    assert (by_key[first.key].now, by_key[first.key].is_own) == (first.was, True)
    assert by_key[second.key].to == other.words
    assert by_key[second.key].is_own


def test_the_queries_do_not_grow_with_the_log(
    cleo, block, log, today, django_assert_max_num_queries
):
    with django_assert_max_num_queries(56):
        assert next_block_page(cleo, {}, today).preview is not None


# The ways to it


def test_client_and_block_lead_to_it(ana, cleo, block):
    browser = signed_in(ana)

    pages = [
        reverse("sessions:client", args=[cleo.pk]),
        reverse("blocks:block", args=[block.pk]),
    ]

    assert all(address(cleo) in browser.get(page).content.decode() for page in pages)


def test_the_review_leads_to_it_where_a_block_ends(ana, cleo, block, log):
    answer = signed_in(ana).get(
        reverse("sessions:review-client", args=[cleo.pk]), {"week": "2026-03-02"}
    )

    assert "Make the next block" in answer.content.decode()
    assert address(cleo) in answer.content.decode()


@pytest.mark.parametrize("key", ["beginner-full-body", "upper-lower"])
def test_what_changes_for_variety_keeps_muscles_in_range_and_the_sets_on_both_sides(
    cleo, monday, today, key
):
    cleo.level = "intermediate"
    cleo.save()
    first = published_block(cleo, monday - timedelta(weeks=12), key)
    published_block(cleo, monday - timedelta(weeks=6), key)
    for week in Week.objects.filter(block__client=cleo, kind=WeekKind.BUILD).order_by("-pk")[:2]:
        log_week(cleo, week.starts_on, drop=1)

    page = next_block_page(cleo, {}, today)

    assert first.number == 1
    assert any(line.outcome == "swap" for line in lines_of(page))
    kept = next_block_page(cleo, {f"choice-{k}": KEEP for k in page.choices}, today)
    before, after = kept.preview, page.preview
    assert before is not None
    assert after is not None
    assert before.effects.balance.push_sets == after.effects.balance.push_sets
    assert before.effects.balance.pull_sets == after.effects.balance.pull_sets
    # Nothing that comes in for variety takes a muscle out of its range.
    swaps = [line.to for line in lines_of(page) if line.outcome == "swap"]
    blamed = " ".join(cause for one in after.out for cause in one.causes)
    assert not [name for name in swaps if f"{name} in the place of" in blamed]
    assert not before.out
