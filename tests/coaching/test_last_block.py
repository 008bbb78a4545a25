"""The block before, to set the one that is edited beside it."""

from datetime import timedelta

import pytest

from coaching.blocks.last_block import last_block_of
from coaching.blocks.models import BlockTemplate
from coaching.blocks.queries import block_value
from coaching.blocks.services import create_block_from_template
from coaching.rules.plan import WeekKind
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


def test_it_is_read_once_and_costs_one_query_after(first, cleo, today, django_assert_num_queries):
    second = published_block(cleo, today)
    last_block_of(second)

    with django_assert_num_queries(1):
        last_block_of(second)
