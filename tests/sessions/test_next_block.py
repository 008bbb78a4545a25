"""The next block of a client: looked at, chosen line by line, made into a draft."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from clients.models import Equipment, JointLimit
from coaching.blocks.models import Block, BlockTemplate, Prescription, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import block_value
from coaching.blocks.shared_templates import from_plan
from coaching.rules.balance import planned_week_balance
from coaching.rules.next_block import KEEP
from coaching.rules.plan import EquipmentKind, WeekKind
from coaching.rules.volume_range import VolumeVerdict
from sessions.next_block_reading import NextReading
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 11, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _wednesday(monkeypatch):
    """The clock of the views stands at the Wednesday of the other fixtures."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def monday(today):
    return today - timedelta(days=today.weekday())


@pytest.fixture(autouse=True)
def _equipped(cleo):
    """Cleo has one of everything, so that nothing is swapped for want of it."""
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)


@pytest.fixture
def block(cleo, monday) -> Block:
    """A block that ended on the Sunday before, its last week light."""
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    weeks = len(from_plan(template.plan).week_kinds)
    return published_block(cleo, monday - timedelta(weeks=weeks), template.key)


@pytest.fixture
def log(cleo, block):
    """The two weeks before the light one, every target met."""
    for week in Week.objects.filter(block=block, kind=WeekKind.BUILD).order_by("-number")[:2][::-1]:
        log_week(cleo, week.starts_on)


def address(client):
    return reverse("sessions:next-block", args=[client.pk])


def reading_of(page) -> NextReading:
    """What the page rests on; there is a block to make it from."""
    assert page.reading is not None
    reading: NextReading = page.reading
    return reading


def lines_of(page):
    return [line for session in page.preview.sessions for line in session.lines]


def decided(page):
    """The lines that are decided about, each once."""
    return [line for line in lines_of(page) if not line.same_as]


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


# Make


def test_one_post_makes_the_draft_as_it_was_shown(ana, cleo, block, log, today):
    page = next_block_page(cleo, {}, today)

    answer = signed_in(ana).post(address(cleo))

    made = cleo.blocks.get(published_at__isnull=True)
    assert answer.headers["Location"] == reverse("blocks:block", args=[made.pk])
    assert (made.number, made.starts_on) == (2, reading_of(page).starts_on)
    value = block_value(made)
    assert [week.kind for week in value.weeks][-1] is WeekKind.DELOAD
    assert len(value.weeks) == page.weeks
    first = value.weeks[0]
    planned = {p.exercise.name for session in first.sessions for p in session.prescriptions}
    assert planned == {line.to or line.name for line in lines_of(page)}
    assert all(s.on.weekday() < 7 and s.on >= first.starts_on for s in first.sessions)
    assert made.changes_from_template
    told = [change["sentence"] for change in made.changes_from_template]
    assert all(": its targets were reached." in one for one in told)
    assert any(re.search(r"6-6-6-6-6|7-6-6-6-6 after 5 × 6", one) for one in told)


def test_push_and_pull_stay_as_they_were_and_the_light_week_is_light(ana, cleo, block, log):
    signed_in(ana).post(address(cleo), {"weeks": "6"})

    made = cleo.blocks.get(published_at__isnull=True)
    before = [w for w in block_value(block).weeks if w.kind is WeekKind.BUILD][-1]
    weeks = block_value(made).weeks
    was, now = planned_week_balance(before), planned_week_balance(weeks[0])
    assert len(weeks) == 6
    assert (was.push_sets, was.pull_sets) == (now.push_sets, now.pull_sets)
    reps = [sum(p.reps for s in w.sessions for p in s.prescriptions) for w in weeks]
    assert reps[0] == reps[4]
    # About 40 % of the usual volume (common practice, no source).
    assert 0.3 < reps[5] / reps[0] < 0.5


def test_the_last_block_is_not_touched(ana, cleo, block, log):
    before = snapshot_of(block)

    signed_in(ana).post(address(cleo))

    assert snapshot_of(block) == before


def test_what_the_coach_chose_is_what_is_made(ana, cleo, block, log, today):
    line = next(one for one in decided(next_block_page(cleo, {}, today)) if one.part == "primary")

    signed_in(ana).post(address(cleo), {f"choice-{line.key}": line.others[0].value})

    made = cleo.blocks.get(published_at__isnull=True)
    names = set(
        Prescription.objects.filter(
            pair__planned_session__week__block=made, pair__planned_session__week__number=1
        ).values_list("exercise__name", flat=True)
    )
    assert line.others[0].words in names
    assert line.name not in names


def test_a_second_draft_is_refused_and_the_first_one_shown(ana, cleo, block, log):
    browser = signed_in(ana)
    browser.post(address(cleo))
    made = cleo.blocks.get(published_at__isnull=True)

    again = browser.post(address(cleo))

    assert again.status_code == 422
    assert cleo.blocks.filter(published_at__isnull=True).count() == 1
    assert reverse("blocks:block", args=[made.pk]) in again.content.decode()


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"starts_on": "2026-03-02"}, "Choose 11 Mar 2026 or later: today."),
        ({"starts_on": "soon"}, "Enter a valid date."),
        ({"starts_on": "2027-03-01"}, "or earlier."),
        ({"weeks": "9"}, "Choose 4, 5 or 6 weeks."),
    ],
)
def test_a_wrong_day_or_length_names_the_remedy_and_writes_nothing(ana, cleo, block, sent, says):
    answer = signed_in(ana).post(address(cleo), sent)

    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert cleo.blocks.count() == 1


def test_a_block_cannot_begin_before_the_last_one_ends(ana, cleo, monday):
    published_block(cleo, monday, "beginner-full-body")

    answer = signed_in(ana).post(address(cleo), {"starts_on": "2026-03-16"})

    assert answer.status_code == 422
    assert "block 1 runs until then" in answer.content.decode()


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


# Days and volume


def test_a_block_that_begins_midweek_keeps_the_training_days(ana, cleo, block, log):
    base = block_value(block).weeks[0]

    signed_in(ana).post(address(cleo), {"starts_on": "2026-03-18"})

    week = block_value(cleo.blocks.get(published_at__isnull=True)).weeks[0]
    days = [session.on for session in week.sessions]
    assert sorted(day.weekday() for day in days) == [s.on.weekday() for s in base.sessions]
    assert days == sorted(days)
    assert all(week.starts_on <= day < week.starts_on + timedelta(weeks=1) for day in days)


@pytest.mark.parametrize("key", ["beginner-full-body", "upper-lower"])
def test_a_muscle_that_leaves_its_range_is_named_and_sets_stay_on_both_sides(
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
    was = {x.muscle.value for x in before.effects.lines if x.verdict is VolumeVerdict.WITHIN}
    now = {x.muscle.value for x in after.effects.lines if x.verdict is VolumeVerdict.WITHIN}
    assert set(after.left) == was - now
