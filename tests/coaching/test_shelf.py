"""What a client may be given, and the loads that the equipment makes for it."""

import pytest

from clients.models import Equipment
from coaching.blocks.shelf import Shelf
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values

pytestmark = pytest.mark.django_db


def made_for(client):
    row = Exercise.objects.get(coach=None, key="goblet-squat")
    (value,) = exercise_values([row.pk]).values()
    return dict(Shelf(client).made([value]))[value.key]


def test_loads_are_those_that_the_weights_of_the_client_make(cleo):
    Equipment.objects.create(client=cleo, kind="dumbbells", pieces=[10, 12.5])

    assert set(made_for(cleo)) >= {10, 12.5}


def test_where_the_equipment_is_missing_no_load_is_said_to_be_makeable(cleo):
    Equipment.objects.create(client=cleo, kind="weight vest", pieces=[5, 10])

    assert made_for(cleo) == ()
