"""The block's page: what the coach sees, edits and takes back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit
from coaching.blocks.models import Block, BlockTemplate, Prescription
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of, snapshot_of
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db
PART = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def block(cleo) -> Block:
    today = cleo.local_date(timezone.now())
    return published_block(cleo, today + timedelta(days=1), "beginner-full-body")


@pytest.fixture
def prescription(block) -> Prescription:
    return Prescription.objects.filter(
        pair__planned_session__week__block=block, pair__planned_session__week__number=1
    ).order_by("pair__planned_session__on", "pair__position", "position")[0]


def values(prescription, **changed) -> dict[str, object]:
    return {
        "targets": "-".join(map(str, prescription.targets)),
        "load_kg": "0",
        "tempo": prescription.tempo,
        "rest_s": prescription.rest_s,
        "rir": 2,
        "onward": "1",
        **changed,
    }


def change(ana, prescription, data, **more):
    url = reverse("blocks:change-prescription", args=[prescription.uid])
    return signed_in(ana).post(url, data, **more)


def test_the_page_shows_a_week_around_the_spine_and_what_it_does(ana, block):
    answer = signed_in(ana).get(reverse("blocks:block", args=[block.pk]) + "?week=1")

    page = answer.context["page"]
    first = page.sessions[0].rows[0]
    assert first.left.side == "push"
    assert first.right.side == "pull"
    assert page.effects.balance.push_sets == page.effects.balance.pull_sets
    assert page.effects.chart.rows


def test_an_edit_answers_with_the_week_and_what_the_edit_did(ana, block, prescription):
    data = values(prescription, targets="9-9-9-9-9")

    answer = change(ana, prescription, data, **PART)

    assert answer.status_code == 200
    assert "<html" not in answer.content.decode()
    assert answer.context["page"].last_edit
    targets = [ln["targets"] for _, ln in lines_of(snapshot_of(block))]
    assert [9] * 5 in targets


def test_the_same_edit_works_as_a_plain_form(ana, block, prescription):
    answer = change(ana, prescription, values(prescription, targets="5 × 4"))

    assert answer.status_code == 302
    assert answer.headers["Location"].endswith("?week=1")
    assert [4] * 5 in [ln["targets"] for _, ln in lines_of(snapshot_of(block))]


def test_this_week_only_leaves_the_other_weeks(ana, block, prescription):
    on = prescription.pair.planned_session.on

    change(ana, prescription, values(prescription, targets="11-3", onward="0"))

    changed = [s["on"] for s, ln in lines_of(snapshot_of(block)) if ln["targets"] == [11, 3]]
    assert changed == [on.isoformat()]


@pytest.mark.parametrize(
    ("field", "typed", "word"),
    [("targets", "many", "many"), ("tempo", "slow", "Tempo"), ("rest_s", "-5", "0")],
)
def test_a_bad_value_is_named_and_nothing_changes(ana, block, prescription, field, typed, word):
    before = snapshot_of(block)

    answer = change(ana, prescription, values(prescription, **{field: typed}), **PART)

    assert answer.status_code == 422
    assert word in answer.content.decode()
    assert snapshot_of(block) == before


def test_an_exercise_is_swapped_for_one_that_the_client_can_do(ana, block, prescription):
    page = signed_in(ana).get(reverse("blocks:change-prescription", args=[prescription.uid]))
    swap = page.context["page"].swaps[0]

    url = reverse("blocks:swap-exercise", args=[prescription.uid])
    signed_in(ana).post(url, {"exercise": swap.pk, "onward": "1"})

    names = {ln["name"] for _, ln in lines_of(snapshot_of(block))}
    assert swap.name in names


def test_a_swap_for_something_not_offered_is_refused(ana, block, prescription):
    before = snapshot_of(block)
    url = reverse("blocks:swap-exercise", args=[prescription.uid])

    answer = signed_in(ana).post(url, {"exercise": "999999", "onward": "1"})

    assert answer.status_code == 422
    assert "equipment and joints allow" in answer.content.decode()
    assert snapshot_of(block) == before


def test_no_swap_loads_what_the_client_must_avoid(ana, cleo, prescription):
    ladder = prescription.exercise.ladder
    harder = Exercise.objects.get(ladder=ladder, rung=prescription.exercise.rung + 1)
    stress = next(iter(harder.joint_stresses))
    url = reverse("blocks:change-prescription", args=[prescription.uid])
    assert harder.pk in {swap.pk for swap in signed_in(ana).get(url).context["page"].swaps}

    add_joint_limit(
        client=cleo, stress=stress, action="avoid", since=prescription.pair.planned_session.on
    )

    offered = {swap.pk for swap in signed_in(ana).get(url).context["page"].swaps}
    rows = Exercise.objects.filter(pk__in=offered)
    assert all(stress not in row.joint_stresses for row in rows)


@pytest.fixture
def avoided(cleo, prescription) -> Exercise:
    """An exercise that loads what Cleo must avoid, and needs nothing."""
    on = prescription.pair.planned_session.on
    add_joint_limit(client=cleo, stress="shoulder overhead", action="avoid", since=on)
    rows = Exercise.objects.filter(equipment=[]).order_by("pk")
    return next(row for row in rows if "shoulder overhead" in row.joint_stresses)


def override(ana, prescription, **data):
    url = reverse("blocks:override-limit", args=[prescription.uid])
    return signed_in(ana).post(url, {"onward": "1", **data})


def test_a_limit_is_overridden_by_name_and_the_reason_is_kept(ana, block, prescription, avoided):
    override(ana, prescription, name=avoided.name.upper(), why="Cleared by the physiotherapist.")

    newest = block.versions.order_by("-number")[0]
    assert avoided.pk in {ln["exercise"] for _, ln in lines_of(newest.snapshot)}
    assert newest.by == ana
    assert "shoulder overhead" in newest.why
    assert "Cleared by the physiotherapist." in newest.why


@pytest.mark.parametrize("missing", ["name", "why"])
def test_an_override_needs_a_name_and_a_reason(ana, block, prescription, avoided, missing):
    before = snapshot_of(block)
    data = {"name": avoided.name, "why": "Cleared.", missing: ""}

    answer = override(ana, prescription, **data)

    assert answer.status_code == 422
    assert snapshot_of(block) == before


def test_an_override_cannot_conjure_up_equipment(ana, block, prescription):
    before = snapshot_of(block)

    answer = override(ana, prescription, name="Parallel-bar dip", why="Wanted.")

    assert answer.status_code == 422
    assert "dip bars" in answer.content.decode()
    assert snapshot_of(block) == before


def test_saving_what_is_planned_already_makes_no_version(ana, block, prescription):
    data = values(prescription, load_kg=str(prescription.load_kg), rir=prescription.rir)

    answer = change(ana, prescription, data)

    assert answer.status_code == 422
    assert "Nothing differs" in answer.content.decode()
    assert block.versions.count() == 1


def test_the_last_edit_is_still_told_when_the_page_is_opened_again(ana, block, prescription):
    change(ana, prescription, values(prescription, targets="9-9-9-9-9-9"))

    answer = signed_in(ana).get(reverse("blocks:block", args=[block.pk]) + "?week=1")

    # One set more of the push: its main movers get one more, whatever the rest does.
    movers = prescription.exercise.muscle_shares.filter(share=1)
    page = answer.context["page"]
    assert all(f"{m.muscle} +1" in page.last_edit.lower() for m in movers)
    assert "5 × 6 → 6 × 9" in page.versions[0].what


def test_an_edit_of_another_coach_is_not_called_yours(ana, block, prescription):
    change(ana, prescription, values(prescription, rest_s=45))
    block.versions.update(by=None)

    text = signed_in(ana).get(reverse("blocks:block", args=[block.pk])).content.decode()

    assert "Your last edit" not in text
    assert "nobody known" in text


def test_a_past_or_logged_session_cannot_be_opened_for_editing(ana, block, prescription):
    session = prescription.pair.planned_session
    session.started_at = timezone.now()
    session.save()

    answer = signed_in(ana).get(reverse("blocks:block", args=[block.pk]) + "?week=1")

    assert answer.context["page"].sessions[0].locked == "logged"
    assert str(prescription.uid) not in answer.content.decode()
    assert change(ana, prescription, values(prescription, targets="2-2")).status_code == 422


def test_an_edit_of_a_draft_can_be_undone_too(ana, cleo):
    template = BlockTemplate.objects.get(key="first-block-floor")
    starts_on = cleo.local_date(timezone.now()) + timedelta(days=1)
    draft = create_block_from_template(client=cleo, template=template, starts_on=starts_on, by=ana)
    before = snapshot_of(draft)
    row = Prescription.objects.filter(pair__planned_session__week__block=draft).order_by("pk")[0]
    change(ana, row, values(row, targets="2-2"))

    newest = draft.versions.order_by("-number")[0]
    signed_in(ana).post(reverse("blocks:undo-version", args=[newest.pk]), {"week": "1"})

    assert newest.snapshot != before
    assert snapshot_of(draft) == before


def test_undo_puts_the_plan_back(ana, block, prescription):
    before = snapshot_of(block)
    change(ana, prescription, values(prescription, targets="2-2"))
    version = block.versions.order_by("-number")[0]

    signed_in(ana).post(reverse("blocks:undo-version", args=[version.pk]), {"week": "1"})

    assert snapshot_of(block) == before


def test_a_draft_is_published_once_or_discarded(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    other = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)

    signed_in(ana).post(reverse("blocks:publish-block", args=[draft.pk]))
    signed_in(ana).post(reverse("blocks:discard-draft", args=[draft.pk]))
    signed_in(ana).post(reverse("blocks:discard-draft", args=[other.pk]))

    assert Block.objects.get(pk=draft.pk).published_at is not None
    assert not Block.objects.filter(pk=other.pk).exists()


def test_a_coach_cannot_open_or_edit_another_coachs_block(ben, block, prescription):
    browser = signed_in(ben)

    assert browser.get(reverse("blocks:block", args=[block.pk])).status_code == 404
    assert change(ben, prescription, values(prescription)).status_code == 404


def test_the_page_takes_the_same_queries_whatever_the_size_of_the_block(
    ana, cleo, block, prescription, django_assert_num_queries
):
    change(ana, prescription, values(prescription, targets="9-9"))
    start = cleo.local_date(timezone.now()) + timedelta(days=60)
    larger = published_block(cleo, start, "upper-body-weights")
    row = Prescription.objects.filter(pair__planned_session__week__block=larger).order_by("pk")[0]
    for reps in range(3, 9):
        row = Prescription.objects.get(uid=row.uid)
        change(ana, row, values(row, targets=f"{reps}-{reps}"))

    # Two for who is signed in, one for the block, the rest as the page's docstring says.
    for one in (block, larger):
        browser = signed_in(ana)
        with django_assert_num_queries(2 + 1 + 12):
            browser.get(reverse("blocks:block", args=[one.pk]) + "?week=1")
