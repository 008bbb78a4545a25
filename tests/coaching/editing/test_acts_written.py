"""Whatever acts were done: written into rows, the plan is read back as it was."""

from datetime import timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings

from coaching.blocks.editing.acts import EditSetting
from coaching.blocks.models import Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshot_writer import write_snapshot
from coaching.blocks.snapshots import lines_of
from coaching.library.queries import exercise_values
from tests.coaching.editing.drawn_plans import drawn_act
from tests.coaching.editing.test_acts_always import BY_CHANCE, tried
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, today):
    """Three weeks of a block of full-body sessions, of which one is light."""
    made = published_block(cleo, today + timedelta(days=7), "beginner-full-body")
    Week.objects.filter(block=made, number__gt=3).delete()
    Week.objects.filter(block=made, number=3).update(kind="deload")
    return made


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BY_CHANCE)
def test_an_edited_plan_is_read_back_from_the_rows_as_it_was_written(block, today, rng):
    with transaction.atomic():
        plan = snapshot_of(block)
        values = exercise_values({line["exercise"] for _, line in lines_of(plan)})
        setting = EditSetting(today, exercises=values)
        for _ in range(3):
            for _ in range(rng.randint(1, 6)):
                edited = tried(plan, drawn_act(rng, plan, exercises=tuple(values)), setting)
                plan = edited.snapshot if edited else plan
            write_snapshot(block=block, snapshot=plan, today=today)
            assert snapshot_of(block) == plan
        transaction.set_rollback(True)
