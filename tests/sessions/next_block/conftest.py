"""A block that is over, and the log of its last weeks."""

from datetime import UTC, datetime, timedelta

import pytest

from clients.models import Equipment
from coaching.blocks.models import Block, BlockTemplate, Week
from coaching.blocks.shared_templates import from_plan
from coaching.rules.plan import EquipmentKind, WeekKind
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week

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
