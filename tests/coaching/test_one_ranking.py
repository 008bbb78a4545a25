"""What stands in for an exercise is ranked alike wherever it is offered; common practice, no source."""

import pytest

from clients.models import Equipment
from coaching.blocks.adaptation import _Fit
from coaching.blocks.client_means import means_of
from coaching.blocks.shelf import Shelf
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Level
from sessions.pages_swaps import Choice

pytestmark = pytest.mark.django_db

LEVELS = list(Level)


@pytest.fixture
def beginner(cleo):
    cleo.level = Level.BEGINNER.value
    cleo.save()
    for kind in ("pull-up bar", "bands", "box or step", "bench"):
        Equipment.objects.create(client=cleo, kind=kind)
    return cleo


def test_templates_remedies_and_the_phone_take_the_same_first(ana, beginner, today):
    rows = exercises_by_key(ana)
    library = {key: exercise_value(row) for key, row in rows.items()}
    fit = _Fit(library, means_of(beginner, rows.values(), today))
    shelf, phone = Shelf(beginner), Choice(beginner, Joints(), today, ())

    for key, asked in library.items():
        template = [one.key for one in fit.stand_ins(asked, (), ())]
        remedy = [one.value.key for one in shelf.instead_of(asked, (), ())]
        on_phone = [phone.value(pk).key for pk in phone.instead_of(rows[key].pk)]
        assert remedy == template, key
        assert on_phone == template[: len(on_phone)], key


def test_nothing_above_the_clients_level_stands_in(ana, beginner, today):
    rows = exercises_by_key(ana)
    shelf = Shelf(beginner)
    highest = LEVELS.index(Level.BEGINNER)

    for row in rows.values():
        found = shelf.instead_of(exercise_value(row), (), ())
        assert all(LEVELS.index(Level(rows[one.value.key].level)) <= highest for one in found)
