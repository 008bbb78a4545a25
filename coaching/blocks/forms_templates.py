"""The shape of what a coach types about templates and copies."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms

from clients.enum_columns import choices_of
from clients.models import Client
from coaching.rules.plan import Level

MOST_AT_ONCE = 30


class TemplateForm(forms.Form):
    """What an own template is called, for whom it is, and what it says."""

    name = forms.CharField(label="Name", max_length=100)
    level = forms.ChoiceField(label="Level", choices=choices_of(Level))
    description = forms.CharField(
        label="For whom, and what for",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class KeepTemplateForm(TemplateForm):
    """The same, and which week of the block is repeated."""

    def __init__(self, *args: Any, weeks: Iterable[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["week"] = forms.TypedChoiceField(
            label="Week to repeat", coerce=int, choices=list(weeks)
        )
        self.order_fields(["name", "level", "week", "description"])


class ApplyForm(forms.Form):
    """For which clients, and from when."""

    starts_on = forms.DateField(label="Starts on", widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, clients: Iterable[Client], today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["clients"] = forms.MultipleChoiceField(
            label="Clients",
            choices=[(str(one.pk), one.name) for one in clients],
            error_messages={"required": "Choose one client or more."},
        )

    def clean_starts_on(self) -> date:
        """A block starts today at the earliest."""
        starts_on: date = self.cleaned_data["starts_on"]
        if starts_on < self.today:
            message = f"A block can start today ({self.today:%-d %b}) at the earliest."
            raise forms.ValidationError(message)
        return starts_on

    def clean_clients(self) -> list[int]:
        """Not more than a page can show."""
        chosen = self.cleaned_data["clients"]
        if len(chosen) > MOST_AT_ONCE:
            message = f"Choose {MOST_AT_ONCE} clients at the most; {len(chosen)} are chosen."
            raise forms.ValidationError(message)
        return [int(pk) for pk in chosen]
