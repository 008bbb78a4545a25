"""The shape of what a coach types about a block."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms

from clients.load_words import say_loads
from coaching.blocks.editing.values import read_targets
from coaching.blocks.errors import BlockError


class TargetsField(forms.CharField):
    """Targets set by set, written 8-7-7-7-7, 8 7 7 7 7, or 5 × 7."""

    def clean(self, value: Any) -> list[int]:
        """Read the numbers; the message shows both ways of writing them."""
        text = str(super().clean(value)).strip()
        try:
            return read_targets(text)
        except BlockError as error:
            raise forms.ValidationError(str(error)) from error


def _scope() -> forms.TypedChoiceField:
    """From here on, or this week only."""
    return forms.TypedChoiceField(
        label="Change",
        choices=[("1", "from this week on"), ("0", "this week only")],
        coerce=lambda value: value == "1",
        initial="1",
        widget=forms.RadioSelect(attrs={"class": "segments"}),
    )


class PrescriptionForm(forms.Form):
    """One prescription as a coach edits it."""

    targets = TargetsField(label="Targets", help_text="set by set: 8-7-7-7-7, or 5 × 7")
    load_kg = forms.DecimalField(
        label="Load in kg", required=False, min_value=0, max_value=999, decimal_places=2
    )
    tempo = forms.CharField(label="Tempo", max_length=14, help_text="such as 3-0-1-0")
    rest_s = forms.IntegerField(label="Rest in seconds", min_value=0, max_value=900)
    rir = forms.IntegerField(label="RIR", required=False, min_value=0, max_value=10)
    onward = _scope()

    def __init__(self, *args: Any, loads: tuple[float, ...] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.loads = loads
        load = self.fields["load_kg"]
        if loads == (0.0,):
            load.help_text = "takes no load, or nothing is there to load it"
        elif loads:
            load.widget.attrs["list"] = "own-loads"
            load.help_text = f"the equipment makes {say_loads(loads)}"

    def fields_changed(self) -> dict[str, Any]:
        """What the service is asked to set."""
        data = self.cleaned_data
        return {
            "targets": data["targets"],
            "load_kg": float(data["load_kg"] or 0),
            "tempo": data["tempo"].strip().upper(),
            "rest_s": data["rest_s"],
            "rir": data["rir"],
        }


class SwapForm(forms.Form):
    """Another exercise in the place of one, out of those that fit the client."""

    exercise = forms.TypedChoiceField(
        label="Exercise",
        coerce=int,
        widget=forms.RadioSelect,
        error_messages={
            "invalid_choice": "Choose one of those that equipment and joints allow.",
            "required": "Choose one of those that equipment and joints allow.",
        },
    )
    onward = _scope()

    def __init__(self, *args: Any, swaps: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["exercise"].choices = list(swaps)  # type: ignore[attr-defined]


class KeepForm(forms.Form):
    """An exercise that is planned already and that a limit forbids, kept by name with a reason."""

    name = forms.CharField(
        label="Exercise, by its full name",
        max_length=100,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    why = forms.CharField(
        label="Why this is right for the client",
        max_length=300,
        help_text="kept with your name and the day; you can withdraw it",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class OverrideForm(KeepForm):
    """An exercise that a joint limit forbids, put in by its name and with a reason."""

    onward = _scope()


class NewBlockForm(forms.Form):
    """Which template, and from when."""

    template = forms.IntegerField(widget=forms.HiddenInput)
    starts_on = forms.DateField(label="Starts on", widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_starts_on(self) -> date:
        """A block starts today at the earliest."""
        starts_on: date = self.cleaned_data["starts_on"]
        if starts_on < self.today:
            message = f"A block can start today ({self.today:%-d %b}) at the earliest."
            raise forms.ValidationError(message)
        return starts_on
