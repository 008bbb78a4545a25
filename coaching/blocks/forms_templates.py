"""The shape of what a coach types about templates and copies."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils import timezone

from clients.enum_columns import choices_of
from clients.models import Client
from coaching.blocks.planned_days import FURTHEST_AHEAD, start_fault
from coaching.blocks.words import week_kind_text
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


WHOLE_BLOCK = 0
"""In place of a week's number: every week is kept as it is."""


class KeepTemplateForm(TemplateForm):
    """The same, and what of the block is kept: all of it, or which week is repeated."""

    def __init__(self, *args: Any, weeks: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        whole = f"the whole block, {len(weeks)} week{'' if len(weeks) == 1 else 's'}"
        one_week = [
            (number, f"week {number} ({week_kind_text(kind)}), repeated")
            for number, kind in enumerate(weeks, start=1)
        ]
        self.fields["week"] = forms.TypedChoiceField(
            label="What is kept", coerce=int, choices=[(WHOLE_BLOCK, whole), *one_week]
        )
        self.order_fields(["name", "level", "week", "description"])


class ApplyForm(forms.Form):
    """For which clients, from when at the earliest, and from when for each of them.

    ``shown`` names those whose look is on the page, ticked or not, ``held`` those left out
    for their day. A day of one client that
    cannot be is kept by client in ``faults``: it stands beside the client, not at the head.
    """

    starts_on = forms.DateField(
        label="Not before", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )

    def __init__(self, *args: Any, clients: Iterable[Client], today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.clients = {one.pk: one for one in clients}
        self.days: dict[int, date] = {}
        self.faults: dict[int, str] = {}
        self.looked: dict[int, str] = {}
        choices = [(str(one.pk), one.name) for one in self.clients.values()]
        self.fields["shown"] = forms.MultipleChoiceField(choices=choices, required=False)
        self.fields["held"] = forms.MultipleChoiceField(choices=choices, required=False)
        self.fields["clients"] = forms.MultipleChoiceField(
            label="Clients",
            choices=choices,
            required="shown" not in self.data,
            error_messages={"required": "Choose one client or more."},
        )

    def clean_starts_on(self) -> date | None:
        """A block starts today or within a year."""
        starts_on: date | None = self.cleaned_data["starts_on"]
        if starts_on and (fault := start_fault(starts_on, self.today)):
            raise forms.ValidationError(fault)
        return starts_on

    def clean_clients(self) -> list[int]:
        """Not more than a page can show."""
        chosen = self.cleaned_data["clients"]
        if len(chosen) > MOST_AT_ONCE:
            message = f"Choose {MOST_AT_ONCE} clients at the most; {len(chosen)} are chosen."
            raise forms.ValidationError(message)
        return [int(pk) for pk in chosen]

    def clean_shown(self) -> list[int]:
        """The row ids of those whose look is on the page."""
        return [int(pk) for pk in self.cleaned_data["shown"]][:MOST_AT_ONCE]

    def clean_held(self) -> list[int]:
        """The row ids of those left out until their day is changed."""
        return [int(pk) for pk in self.cleaned_data["held"]]

    def clean(self) -> dict[str, Any]:
        """Each client's own day, where one is given."""
        data: dict[str, Any] = super().clean() or self.cleaned_data
        for pk in {*data.get("shown", ()), *data.get("clients", ())}:
            raw = self.data.get(day_field(pk), "").strip()
            if looked := self.data.get(f"looked_{pk}", ""):
                self.looked[pk] = looked
            if raw:
                self._take_day(pk, raw)
        return data

    def _take_day(self, pk: int, raw: str) -> None:
        try:
            day = forms.DateField().clean(raw)
        except forms.ValidationError:
            self.faults[pk] = f"“{raw[:20]}” is not a day; choose one."
            return
        today = self.clients[pk].local_date(timezone.now())
        if fault := start_fault(day, today):
            self.faults[pk] = fault
        if day <= today + FURTHEST_AHEAD:
            self.days[pk] = day


def day_field(pk: int) -> str:
    """The name of the field with one client's first day."""
    return f"starts_on_{pk}"
