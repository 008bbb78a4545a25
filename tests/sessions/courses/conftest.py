"""A client with a heavy and a light day of one exercise, two weeks done and three to come."""

from datetime import timedelta

import pytest

from clients.models import Equipment
from coaching.rules.plan import EquipmentKind
from tests.factories.written_blocks import written_block
from tests.sessions.courses.days import HEAVY, LIGHT, PULL, done

WEEKS = 5


@pytest.fixture(autouse=True)
def _equipped(cleo, now):
    """Everything there is, and plates for steps of 2.5 kg on a bar of 20 kg."""
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)
    plates = [20, 20, 10, 10, 5, 5, 2.5, 2.5, 1.25, 1.25]
    Equipment.objects.filter(client=cleo, kind="barbell").update(pieces=plates, bar_kg=20)


@pytest.fixture
def start(last_week):
    return last_week - timedelta(weeks=1)


@pytest.fixture
def two_days(cleo, start, last_week):
    week = {"Heavy": [HEAVY, PULL], "Light": [LIGHT, PULL]}
    block = written_block(cleo, start, [week] * WEEKS)
    done(cleo, start, last_week + timedelta(days=6))
    return block
