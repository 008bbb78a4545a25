"""The shape of what a coach types about a block."""

from datetime import date
from typing import Any

from django import forms

from coaching.blocks.planned_days import start_fault


class KeepForm(forms.Form):
    """An exercise that a limit forbids, planned in spite of it: by its name, with a reason."""

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


class NewBlockForm(forms.Form):
    """Which template, and from when."""

    template = forms.IntegerField(widget=forms.HiddenInput)
    starts_on = forms.DateField(label="Starts on", widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, today: date, is_look: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["starts_on"].required = not is_look

    def clean_starts_on(self) -> date | None:
        """A block starts today or within a year; while one only looks, the day may be open."""
        starts_on: date | None = self.cleaned_data["starts_on"]
        if starts_on and (fault := start_fault(starts_on, self.today)):
            raise forms.ValidationError(fault)
        return starts_on
