"""Plans in their column: read as they were written, parsed once for as long as they stay."""

import json
from typing import Any

import pytest
from django.db import connection
from django.db.models import TextField
from django.db.models.functions import Cast

from coaching.blocks.models import BlockVersion
from coaching.blocks.plan_field import KEPT_PLANS
from tests.factories.blocks import published_block
from tests.rules.examples import MONDAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo):
    return published_block(cleo, MONDAY)


def read(version):
    return BlockVersion.objects.get(pk=version.pk).snapshot


def test_a_plan_comes_back_as_it_was_written_and_as_the_same_object(block):
    version = block.versions.get()

    plan = read(version)

    assert plan == version.snapshot
    assert read(version) is plan


def test_a_plan_is_written_as_json_writes_it_also_where_one_session_changed(block):
    version = block.versions.get()
    plan = read(version)
    week = plan["weeks"][0]
    named = {**week["sessions"][0], "name": "“Press” & 引き"}
    changed = {**week, "sessions": [named, *week["sessions"][1:]]}

    plans: list[Any] = [plan, {"weeks": [changed, *plan["weeks"][1:]]}, {"weeks": []}]
    for written in plans:
        BlockVersion.objects.filter(pk=version.pk).update(snapshot=written)
        rows = BlockVersion.objects.filter(pk=version.pk)
        (text,) = rows.values_list(Cast("snapshot", TextField()), flat=True)
        assert read(version) == written
        if connection.vendor == "sqlite":
            assert text == json.dumps(written)


def test_another_plan_in_the_row_is_read_anew(block):
    version = block.versions.get()
    before = read(version)
    after = {"weeks": before["weeks"][:1]}

    BlockVersion.objects.filter(pk=version.pk).update(snapshot=after)

    assert read(version) == after
    assert read(version) != before


def test_what_was_used_longest_ago_makes_room(block):
    version = block.versions.get()
    plan = read(version)

    for number in range(KEPT_PLANS + 1):
        BlockVersion.objects.filter(pk=version.pk).update(snapshot={"weeks": [number]})
        assert read(version) == {"weeks": [number]}
    BlockVersion.objects.filter(pk=version.pk).update(snapshot={"weeks": plan["weeks"]})

    assert read(version) == plan
