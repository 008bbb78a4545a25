"""What a client can train with, and the loads it makes."""

import pytest
from django.urls import reverse

from clients.queries import equipment_of
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind
from tests.clients.conftest import HTMX
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def save(ana, cleo, said):
    url = reverse("clients:save-equipment", args=[cleo.pk])
    return signed_in(ana).post(url, said, headers=HTMX)


def test_what_was_ticked_is_kept_with_its_weights(ana, cleo):
    save(
        ana,
        cleo,
        {
            "pull_up_bar": "on",
            "dumbbells": "on",
            "dumbbells_pieces": "5, 7.5, 10",
            "barbell": "on",
            "barbell_bar": "20",
            "barbell_pieces": "2 x 10, 2 x 2.5",
            "kettlebells_pieces": "16",
        },
    )

    assert equipment_of(cleo) == (
        EquipmentItem(EquipmentKind.BARBELL, (2.5, 2.5, 10, 10), bar=20),
        EquipmentItem(EquipmentKind.DUMBBELLS, (5, 7.5, 10)),
        EquipmentItem(EquipmentKind.PULL_UP_BAR),
    )


def test_the_loads_that_the_pieces_make_are_shown(ana, cleo):
    # By hand: 20 kg bar with pairs of 10 and 2.5 makes 20, 25, 40, 45.
    answer = save(
        ana, cleo, {"barbell": "on", "barbell_bar": "20", "barbell_pieces": "2 x 10, 2 x 2.5"}
    )

    [barbell] = [row for row in answer.context["page"].equipment.weighted if row.makes]
    assert barbell.makes == "20, 25, 40, 45 kg"


def test_a_thing_without_weights_says_so(ana, cleo):
    answer = save(ana, cleo, {"kettlebells": "on"})

    assert "No weights listed" in answer.text


def test_a_band_keeps_what_it_gives_at_both_ends(ana, cleo):
    answer = save(ana, cleo, {"bands": "on", "bands_pieces": "5, 10-25"})

    [bands] = equipment_of(cleo)
    assert bands == EquipmentItem(EquipmentKind.BANDS, (5,), ranges=((10, 25),))
    [row] = [row for row in answer.context["page"].equipment.weighted if row.makes]
    assert row.makes == "5, 17.5 kg"
    assert row.pieces.value() == "5, 10–25"


def test_bands_without_a_range_stay_as_they_were(ana, cleo):
    cleo.equipment.create(kind="bands", pieces=[10, 20])

    assert equipment_of(cleo) == (EquipmentItem(EquipmentKind.BANDS, (10, 20)),)


def test_saving_again_replaces_the_list(ana, cleo):
    save(ana, cleo, {"rings": "on", "bench": "on"})
    save(ana, cleo, {"rings": "on"})

    assert [item.kind for item in equipment_of(cleo)] == [EquipmentKind.RINGS]


@pytest.mark.parametrize(
    ("field", "typed", "entry"),
    [
        ("dumbbells_pieces", "5, ten", "“ten”"),
        ("barbell_pieces", "7,5", "“7,5”"),
        ("barbell_bar", "20, 15", "“20, 15”"),
        ("vest_pieces", "600", "“600”"),
    ],
)
def test_a_bad_weight_is_named_and_the_old_list_stands(ana, cleo, field, typed, entry):
    save(ana, cleo, {"rings": "on"})
    field = field.replace("vest", "weight_vest")

    answer = save(ana, cleo, {"rings": "on", field.rpartition("_")[0]: "on", field: typed})

    assert answer.status_code == 422
    assert entry in answer.context["page"].equipment.form.errors[field][0]
    assert [item.kind for item in equipment_of(cleo)] == [EquipmentKind.RINGS]
