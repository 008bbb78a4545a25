"""A block that is all still to come, and its first exercise."""

from datetime import timedelta

import pytest
from django.utils import timezone

from coaching.blocks.models import Block, Prescription
from tests.factories.blocks import published_block


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today + timedelta(days=1), "beginner-full-body")


@pytest.fixture
def line(block) -> Prescription:
    return Prescription.objects.filter(
        pair__planned_session__week__block=block, pair__planned_session__week__number=1
    ).order_by("pair__planned_session__on", "pair__position", "position")[0]
