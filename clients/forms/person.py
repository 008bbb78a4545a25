"""Shape of what is written down of a client as a person."""

import zoneinfo
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from clients.forms.accounts import email_field
from clients.models import Sex
from coaching.rules.plan import Level

OLDEST = 100
YOUNGEST = 8


@cache
def time_zones() -> tuple[str, ...]:
    """Time zones by place, and UTC; obsolete names are left out."""
    known = zoneinfo.available_timezones()
    places = (zone for zone in known if "/" in zone and not zone.startswith(("Etc/", "SystemV/")))
    return ("UTC", *sorted(places))


class PersonForm(forms.Form):
    """Name, level, time and body of a client."""

    name = forms.CharField(
        label="Name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    level = forms.ChoiceField(
        label="Level",
        choices=[(one.value, one.value) for one in Level],
        initial=Level.BEGINNER.value,
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        help_text="It sets how much variety a block has.",
    )
    minutes = forms.IntegerField(
        label="Time for a session [min]",
        min_value=15,
        max_value=180,
        initial=60,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    time_zone = forms.CharField(
        label="Time zone",
        max_length=64,
        widget=forms.TextInput(
            attrs={"list": "time-zones", "autocomplete": "off", "spellcheck": "false"}
        ),
        help_text="Type a city: Lisbon. “Today” on the phone follows it.",
    )
    stature_cm = forms.IntegerField(
        label="Stature [cm]",
        min_value=120,
        max_value=230,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    body_weight_kg = forms.DecimalField(
        label="Body weight today [kg]",
        min_value=25,
        max_value=300,
        max_digits=5,
        decimal_places=2,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
    )
    born_in = forms.IntegerField(
        label="Birth year",
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    sex = forms.ChoiceField(
        label="Sex",
        choices=Sex.choices,
        initial=Sex.UNSTATED,
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        help_text="Only the estimate of body weight in an exercise uses it.",
    )
    goal_words = forms.CharField(
        label="What the client wants, in their words",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    asks_rir = forms.BooleanField(
        label="Ask on the phone how many repetitions were left after a set",
        required=False,
        initial=True,
    )
    steps_up_by_itself = forms.BooleanField(
        label="Routine steps up go into the plan by themselves",
        required=False,
        help_text=(
            "When a session is finished and nothing about the week needs you. You see each one in "
            "Review and can undo it. Another rung always waits for you."
        ),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_time_zone(self) -> str:
        """Accept a zone's full name in any case, or a city that only one zone has."""
        typed: str = self.cleaned_data["time_zone"].strip()
        wanted = typed.casefold().replace(" ", "_")
        zones = [zone for zone in time_zones() if zone.casefold() == wanted]
        zones = zones or [
            zone for zone in time_zones() if zone.casefold().rpartition("/")[2] == wanted
        ]
        if len(zones) != 1:
            message = f"“{typed}” is not a time zone; choose one from the list, as Europe/Lisbon."
            raise ValidationError(message)
        return zones[0]

    def clean_born_in(self) -> int | None:
        """Refuse years in which no client was born."""
        year: int | None = self.cleaned_data["born_in"]
        first, last = self.today.year - OLDEST, self.today.year - YOUNGEST
        if year is not None and not first <= year <= last:
            message = f"{year} is not a likely birth year; write one from {first} to {last}."
            raise ValidationError(message)
        return year

    def person(self) -> dict[str, Any]:
        """What the services keep of the client; body weight and e-mail go their own way."""
        apart = {"email", "body_weight_kg"}
        return {name: value for name, value in self.cleaned_data.items() if name not in apart}

    def body_weight(self) -> Decimal | None:
        """The body weight that was typed [kg]."""
        weight: Decimal | None = self.cleaned_data["body_weight_kg"]
        return weight


class NewPersonForm(PersonForm):
    """A client who is not on the roster yet."""

    email = email_field(
        required=False,
        help_text="For the account on the phone; can come later.",
    )
    field_order = ("name", "email")
