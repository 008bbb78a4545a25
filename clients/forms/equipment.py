"""Shape of the equipment list: a check box a thing, weights where it has some."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.forms import BoundField

from clients.load_words import (
    WeightsError,
    read_bands,
    read_weight,
    read_weights,
    say_bands,
    say_weights,
)
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind

PIECES = {
    EquipmentKind.DUMBBELLS: ("Weights", "One of each pair: 5, 7.5, 10 or 2 to 20 by 2"),
    EquipmentKind.KETTLEBELLS: ("Weights", "8, 12, 16, 24"),
    EquipmentKind.BARBELL: ("Plates owned", "As often as there are: 2 × 20, 4 × 5, 2 × 1.25"),
    EquipmentKind.BANDS: (
        "Help of each band",
        "One number a band, or what it gives at the top and at the bottom: 10, 10-25. "
        "A plan then names the middle, 17.5",
    ),
    EquipmentKind.BELT: ("Plates to hang on it", "As often as there are: 2 × 2.5, 5, 10"),
    EquipmentKind.VEST: ("Pieces that go in", "As often as there are: 10 × 1"),
    EquipmentKind.CABLE: ("Notches of the stack", "5 to 80 by 5"),
    EquipmentKind.LEG_MACHINE: ("Notches of the stack", "20 to 160 by 10"),
}
EMPTY_WEIGHT = {EquipmentKind.BARBELL: "Bar alone", EquipmentKind.VEST: "Vest alone"}


def slug(kind: EquipmentKind) -> str:
    """A kind as part of a field's name."""
    return kind.value.replace(" ", "_").replace("-", "_")


def _said(item: EquipmentItem | None) -> str:
    if item is None:
        return ""
    if item.kind is EquipmentKind.BANDS:
        return say_bands([*item.pieces, *item.ranges])
    return say_weights(item.pieces)


class WeightsField(forms.CharField):
    """Weights typed as a list; the value is kilograms."""

    def __init__(self, **more: Any) -> None:
        widget = forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"})
        super().__init__(required=False, max_length=600, widget=widget, **more)

    def clean(self, value: Any) -> Any:
        """Read the weights, naming the entry that is not one."""
        try:
            return self.read(super().clean(value))
        except WeightsError as error:
            raise forms.ValidationError(str(error)) from error

    def read(self, text: str) -> Any:
        """Turn what was typed into kilograms."""
        return read_weights(text)


class WeightField(WeightsField):
    """One weight; the value is kilograms."""

    def read(self, text: str) -> Any:
        """Turn what was typed into kilograms."""
        return read_weight(text)


class BandsField(WeightsField):
    """Bands typed as a list; each value is kilograms, or a pair for both ends of a movement."""

    def read(self, text: str) -> Any:
        """Turn what was typed into kilograms."""
        return read_bands(text)


class EquipmentForm(forms.Form):
    """Everything a client may train with."""

    def __init__(self, *args: Any, owned: Iterable[EquipmentItem] = (), **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "equipment_%s", **kwargs})
        items = {item.kind: item for item in owned}
        for kind in EquipmentKind:
            item = items.get(kind)
            self.fields[slug(kind)] = forms.BooleanField(
                label=kind.value, required=False, initial=item is not None
            )
            if kind in EMPTY_WEIGHT:
                self.fields[f"{slug(kind)}_bar"] = WeightField(
                    label=f"{EMPTY_WEIGHT[kind]} [kg]",
                    initial=f"{item.bar:g}" if item and item.bar else "",
                )
            if kind in PIECES:
                label, example = PIECES[kind]
                field = BandsField if kind is EquipmentKind.BANDS else WeightsField
                self.fields[f"{slug(kind)}_pieces"] = field(
                    label=f"{label} [kg]", help_text=example, initial=_said(item)
                )

    def check(self, kind: EquipmentKind) -> BoundField:
        """The check box of a kind."""
        return self[slug(kind)]

    def weights(self, kind: EquipmentKind, what: str) -> BoundField | None:
        """The field for the ``bar`` or the ``pieces`` of a kind, if it has them."""
        name = f"{slug(kind)}_{what}"
        return self[name] if name in self.fields else None

    def items(self) -> list[dict[str, Any]]:
        """What the services keep: one item for each thing that is there."""
        data = self.cleaned_data
        return [
            {
                "kind": kind.value,
                "pieces": list(data.get(f"{slug(kind)}_pieces", ())),
                "bar_kg": data.get(f"{slug(kind)}_bar", 0),
            }
            for kind in EquipmentKind
            if data.get(slug(kind))
        ]
