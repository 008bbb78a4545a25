"""The shape of a setting whose load is asked for, and of a set that shows strength."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from clients.enum_columns import choices_of
from coaching.library.number_fields import FloatEntry, decimal_input
from coaching.rules.body_numbers import PLANCHE_LEAN, WALL_LEAN
from coaching.rules.bodyweight_scales import Seat, Setting
from coaching.rules.plan import Exercise, LoadKind, Posture

_HEIGHTS = ("hands_cm", "feet_cm")
_LOAD = ("added_kg", "seat")
_USES: dict[Posture, tuple[str, ...]] = {
    Posture.WALL_PUSH_UP: ("lean",),
    Posture.PUSH_UP: (*_HEIGHTS, *_LOAD, "help_kg"),
    Posture.KNEE_PUSH_UP: (*_LOAD, "help_kg"),
    Posture.ARCHER_PUSH_UP: (*_HEIGHTS, *_LOAD),
    Posture.ONE_ARM_PUSH_UP: (*_HEIGHTS, *_LOAD, "help_kg"),
    Posture.PLANCHE_LEAN: ("lean", *_LOAD),
    Posture.PIKE_PUSH_UP: (*_HEIGHTS, *_LOAD),
    Posture.ROW: (*_HEIGHTS, *_LOAD),
    Posture.HANDS_ONLY: ("added_kg", "help_kg"),
    Posture.ONE_HAND_ONLY: ("added_kg", "help_kg"),
    Posture.TUCK_SIT: (),
    Posture.ONE_LEG_L_SIT: (),
    Posture.L_SIT: (),
    Posture.V_SIT: (),
}
_OF_LOAD_KIND: dict[LoadKind, tuple[str, ...]] = {
    LoadKind.NONE: (),
    LoadKind.ADDED: ("added_kg",),
    LoadKind.EXTERNAL: ("added_kg",),
    LoadKind.ASSISTED: ("help_kg",),
}
_SET = ("reps", "rir")


@dataclass(frozen=True)
class AskedLoad:
    """A setting, and a set that was done in it; ``reps`` none when no set is asked about."""

    setting: Setting
    reps: int | None
    rir: float | None


def _number(label: str, unit: str, most: float, *, least: float = 0) -> forms.FloatField:
    field = FloatEntry(
        label=label,
        required=False,
        min_value=least,
        max_value=most,
        widget=decimal_input(),
        error_messages=_errors(least, most, unit),
    )
    field.unit = unit  # type: ignore[attr-defined] # shown beside the input
    return field


def _errors(least: float, most: float, unit: str) -> dict[str, str]:
    """One sentence for whatever is wrong: it says what would be right."""
    remedy = " ".join(f"Enter a number from {least:g} to {most:g} {unit}".split()) + "."
    return dict.fromkeys(("invalid", "min_value", "max_value"), remedy)


class LoadForm(forms.Form):
    """How one exercise is set up; only what its posture uses, and what a set showed."""

    hands_cm = _number("Height of the hands", "cm", 300)
    feet_cm = _number("Height of the feet", "cm", 300)
    lean = _number("Lean", "°", 90)
    added_kg = _number("Added load", "kg", 300)
    seat = forms.ChoiceField(label="Where it sits", required=False, choices=choices_of(Seat))
    help_kg = _number("Help", "kg", 200)
    reps = forms.IntegerField(
        label="Reps done",
        required=False,
        min_value=1,
        max_value=100,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages=_errors(1, 100, "reps"),
    )
    rir = _number("RIR", "", 10)

    def __init__(self, exercise: Exercise, asked: Mapping[str, Any], *, shows_set: bool) -> None:
        self.exercise = exercise
        usual = usual_setting(exercise)
        # An address that names no client's setting, or only a client, asks for the usual one.
        given = {name: asked.get(name, "") for name in usual if name in asked}
        super().__init__({**usual, **given}, auto_id="load-%s")
        uses = {*inputs_of(exercise), *(_SET if shows_set else ())}
        for name in set(self.fields) - uses:
            del self.fields[name]
        for name, field in self.fields.items():
            field.widget.attrs["aria-describedby"] = f"load-{name}-problem"
        self._say(exercise)

    def _say(self, exercise: Exercise) -> None:
        """Words that depend on the exercise."""
        if exercise.posture is Posture.ROW:
            self.fields["hands_cm"].label = "Height of the bar"
        if exercise.load_kind is LoadKind.EXTERNAL:
            self.fields["added_kg"].label = "Load that is lifted"
        if exercise.posture is Posture.PLANCHE_LEAN:
            self.fields["lean"] = _number("Shoulders ahead of the hands", "cm", 60)
        if exercise.posture is Posture.WALL_PUSH_UP:
            self.fields["lean"] = _number("Body above the floor", "°", 90, least=45)

    def asked(self) -> AskedLoad:
        """What a valid form asks for: an empty height or load is 0, an empty lean the usual one."""
        # Heights that are not asked about are those of the library.
        given = {
            "hands_cm": self.exercise.hands_cm,
            "feet_cm": self.exercise.feet_cm,
            **self.cleaned_data,
        }
        return AskedLoad(
            Setting(
                hands_cm=given.get("hands_cm") or 0,
                feet_cm=given.get("feet_cm") or 0,
                added_kg=given.get("added_kg") or 0,
                seat=Seat(given.get("seat") or Seat.VEST),
                help_kg=given.get("help_kg") or 0,
                lean=given.get("lean"),
            ),
            given.get("reps"),
            given.get("rir"),
        )


def inputs_of(exercise: Exercise) -> Iterable[str]:
    """What the load of an exercise depends on, beside the body of the client."""
    if exercise.posture is None:
        return _OF_LOAD_KIND[exercise.load_kind]
    uses = _USES.get(exercise.posture, _LOAD)
    if exercise.load_kind is LoadKind.NONE:
        return [name for name in uses if name not in _LOAD]
    return uses


def usual_setting(exercise: Exercise) -> dict[str, Any]:
    """The setting of the library, as a form is filled in with it."""
    lean = WALL_LEAN if exercise.posture is Posture.WALL_PUSH_UP else PLANCHE_LEAN
    return {
        "hands_cm": exercise.hands_cm,
        "feet_cm": exercise.feet_cm,
        "lean": f"{lean.value:g}",
        "added_kg": 0,
        "seat": Seat.VEST.value,
        "help_kg": 0,
        "reps": "",
        "rir": "",
    }
