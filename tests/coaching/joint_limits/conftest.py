"""A block that lies ahead, of work on bent wrists and work for the grip."""

from datetime import timedelta

import pytest
from django.utils import timezone

from clients.services import set_equipment
from coaching.blocks.models import Block
from tests.coaching.joint_limits.limited import TEMPLATE
from tests.factories.blocks import published_block

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
