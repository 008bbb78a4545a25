"""The block before, to set the one that is edited beside it."""

from datetime import timedelta

import pytest

from coaching.blocks.last_block import last_block_of
from coaching.blocks.models import BlockTemplate
from coaching.blocks.queries import block_value
from coaching.blocks.services import create_block_from_template
from coaching.library.models import MuscleShare
from coaching.rules.plan import Muscle, WeekKind
from coaching.rules.volume import planned_week_volume
from tests.factories.blocks import published_block


@pytest.fixture
def first(cleo, today):
    return published_block(cleo, today - timedelta(weeks=8))


def test_it_is_the_mean_of_the_usual_weeks_of_the_block_before(first, cleo, today):
    second = published_block(cleo, today)

    found = last_block_of(second)

    usual = [w for w in block_value(first).weeks if w.kind is WeekKind.BUILD]
    by_week = [planned_week_volume(week, body_weight=80) for week in usual]
    assert found is not None
    assert found.name == "block 1"
    assert found.sets == pytest.approx(
        {
            muscle: sum(one[muscle].fractional_sets for one in by_week) / len(usual)
            for muscle in by_week[0]
        }
    )


def test_a_first_block_has_none_and_a_draft_is_none(cleo, ana, today):
    first = published_block(cleo, today - timedelta(weeks=8))
    template = BlockTemplate.objects.order_by("key")[0]
    create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    third = published_block(cleo, today + timedelta(weeks=8))

    assert last_block_of(first) is None
    assert getattr(last_block_of(third), "name", "") == "block 1"


def test_it_counts_by_the_exercises_as_they_are_now(first, cleo, today):
    second = published_block(cleo, today)
    before = last_block_of(second)

    MuscleShare.objects.filter(muscle=Muscle.CHEST).delete()
    after = last_block_of(second)

    assert before is not None
    assert after is not None
    assert before.sets[Muscle.CHEST]
    assert Muscle.CHEST not in after.sets


def test_an_edit_asks_nothing_and_gets_what_stood_beside_the_page(
    first, cleo, today, django_assert_num_queries
):
    second = published_block(cleo, today)
    with django_assert_num_queries(3):
        opened = last_block_of(second)

    with django_assert_num_queries(0):
        assert last_block_of(second, anew=False) is opened
