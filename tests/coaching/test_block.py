"""The block's page: what the coach sees, edits and takes back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import Block, BlockTemplate, Prescription
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of, snapshot_of
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


def values(prescription, **changed) -> dict:
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
    change(ana, prescription, values(prescription, targets="3-3", onward="0"))

    changed = [s["on"] for s, ln in lines_of(snapshot_of(block)) if ln["targets"] == [3, 3]]
    assert changed == [prescription.pair.planned_session.on.isoformat()]


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

    signed_in(ana).post(url, {"exercise": "999999", "onward": "1"})

    assert snapshot_of(block) == before


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


def test_the_page_takes_as_many_queries_as_its_docstring_says(
    ana, block, django_assert_max_num_queries
):
    browser = signed_in(ana)
    url = reverse("blocks:block", args=[block.pk])
    browser.get(url)

    with django_assert_max_num_queries(17):
        browser.get(url)
