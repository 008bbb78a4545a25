"""The light week as a coach asks for it: first day, share, length, place, single exercises."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NoReturn
from urllib.parse import urlencode

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

from coaching.rules.deload import Wishes
from coaching.rules.numbers import DELOAD_DAYS_LONGEST, DELOAD_DAYS_SHORTEST, DELOAD_SHARE
from coaching.rules.plan import Part, PlannedWeek, Prescription

LEAST_PERCENT, MOST_PERCENT = 25, 70
FURTHEST_AHEAD = timedelta(days=42)
MOST_SETS, MOST_AMOUNT = 12, 600
BEFORE, IN_PLACE = "before", "in-place"
CARRIED, NOT_CARRIED = "back", "usual"
KEEP_IN, AS_USUAL, LEAVE_OUT = "keep", "usual", "out"
HOW = [
    ("", "Lighter"),
    (KEEP_IN, "Lighter, kept in"),
    (AS_USUAL, "As usual"),
    (LEAVE_OUT, "Left out"),
]
FORM_ID = "light-week-form"
ASKED = ("starts_on", "share", "days", "place")

_SAME = re.compile(r"^(\d{1,2})\s*[x×*]\s*(\d{1,3})$", re.IGNORECASE)
_EACH = re.compile(r"^\d{1,3}(\s*[-–,;/ ]\s*\d{1,3})+$")


@dataclass(frozen=True)
class Spot:
    """One exercise of the usual week; ``word`` names it in a form, whatever the week."""

    word: str
    session: int
    prescription: Prescription


def spots_of(usual: PlannedWeek) -> Iterator[Spot]:
    """The exercises that can be lightened, in order; warm-ups stay as they are.

    An exercise is named by the session's place in the week and by its own key, so that
    a wish stays with it when another week is taken as the usual one.
    """
    for place, session in enumerate(usual.sessions, start=1):
        seen: dict[str, int] = {}
        for one in session.prescriptions:
            if one.part is Part.WARM_UP or not any(one.targets):
                continue
            times = seen[one.exercise.key] = seen.get(one.exercise.key, 0) + 1
            again = f"-{times}" if times > 1 else ""
            yield Spot(f"{place}-{one.exercise.key}{again}", place - 1, one)


def read_sets(text: str) -> tuple[int, ...] | int | None:
    """Sets as coaches write them: 3 × 5, 5-4-4, or only how many; none when left empty.

    >>> read_sets("3 x 5"), read_sets("5-4-4"), read_sets("3"), read_sets(" ")
    ((5, 5, 5), (5, 4, 4), 3, None)
    """
    text = text.strip()
    if not text:
        return None
    if found := _SAME.match(text):
        count, amount = (int(number) for number in found.groups())
        return _checked((amount,) * count)
    if _EACH.match(text):
        return _checked(tuple(int(number) for number in re.findall(r"\d+", text)))
    if not text.isdecimal():
        _refuse(text)
    return _count(int(text))


def _refuse(text: str) -> NoReturn:
    message = f"“{text}” is no sets; write 3 × 5, 5-4-4, or 3 for three sets."
    raise forms.ValidationError(message)


def _checked(sets: tuple[int, ...]) -> tuple[int, ...]:
    _count(len(sets))
    if not all(1 <= amount <= MOST_AMOUNT for amount in sets):
        message = f"Each set needs a number from 1 to {MOST_AMOUNT}."
        raise forms.ValidationError(message)
    return sets


def _count(count: int) -> int:
    if not 1 <= count <= MOST_SETS:
        message = f"{count} is not between 1 and {MOST_SETS} sets; choose “Left out” for none."
        raise forms.ValidationError(message)
    return count


# The fields of single exercises stand among the days, outside the form element.
_OF_FORM = {"form": FORM_ID, "autocomplete": "off"}


def _days(data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The days of the light week as asked, counted from 0; ten without a name if unreadable."""
    length = str(data.get("days", ""))
    count = int(length) if length.isdecimal() else 0
    most = int(DELOAD_DAYS_LONGEST.value)
    try:
        first = date.fromisoformat(str(data.get("starts_on")))
        for offset in range(min(count, most)):
            day = first + timedelta(days=offset)
            yield str(offset), f"{day:%a} {day.day} {day:%b}"
    except (ValueError, OverflowError):
        yield from ((str(offset), f"Day {offset + 1}") for offset in range(most))


def _label(words: str, name: str) -> SafeString:
    """A short label that says its exercise to a screen reader."""
    return format_html('{}<span class="visually-hidden"> ({})</span>', words, name)


class LightWeekForm(forms.Form):
    """What the coach wants of the light week; everything has a usual answer."""

    starts_on = forms.DateField(
        label="First day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Enter a day, such as 2026-03-16."},
    )
    share = forms.IntegerField(
        label="Share of the usual reps",
        min_value=LEAST_PERCENT,
        max_value=MOST_PERCENT,
        error_messages={
            "invalid": "Enter a whole number of per cent.",
            "min_value": f"Enter {LEAST_PERCENT} %% or more.",
            "max_value": f"Enter {MOST_PERCENT} %% or less; above that the week is no light one.",
        },
    )
    days = forms.IntegerField(
        label="Length",
        min_value=int(DELOAD_DAYS_SHORTEST.value),
        max_value=int(DELOAD_DAYS_LONGEST.value),
    )
    place = forms.ChoiceField(
        label="Rest of the block",
        choices=[(BEFORE, "Moves"), (IN_PLACE, "Shortens")],
        widget=forms.RadioSelect(attrs={"class": "segments"}),
    )
    then = forms.ChoiceField(
        label="After it",
        choices=[(CARRIED, "Steps back"), (NOT_CARRIED, "Usual numbers")],
        widget=forms.RadioSelect(attrs={"class": "segments"}),
    )
    week = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        data: Mapping[str, Any],
        *,
        today: date,
        usual: PlannedWeek,
        is_planned: bool = True,
        chose_place: bool = True,
    ) -> None:
        """``is_planned`` says whether anything is planned around the first day asked for."""
        super().__init__(data)
        self.chose_place = chose_place
        self.today = today
        self.is_planned = is_planned
        self.spots = tuple(spots_of(usual))
        self.fields["starts_on"].widget.attrs["min"] = today.isoformat()
        self.fields["starts_on"].widget.attrs["max"] = (today + FURTHEST_AHEAD).isoformat()
        for spot in self.spots:
            name = spot.prescription.exercise.name
            self.fields[f"own-{spot.word}"] = forms.CharField(
                required=False,
                max_length=60,
                label=_label("Own sets", name),
                widget=forms.TextInput(attrs=_OF_FORM | {"placeholder": "3 × 5, 5-4-4 or 3"}),
            )
            self.fields[f"how-{spot.word}"] = forms.ChoiceField(
                required=False,
                choices=HOW,
                label=_label("This week", name),
                widget=forms.Select(attrs=_OF_FORM),
            )
        for place, session in enumerate(usual.sessions, start=1):
            self.fields[f"day-{place}"] = forms.ChoiceField(
                required=False,
                choices=[("", "Day as proposed"), *_days(self.data)],
                label=_label("Day", session.name),
                widget=forms.Select(attrs=_OF_FORM),
                error_messages={"invalid_choice": "This day lies after the light week."},
            )
        self.sessions = {n: session.key for n, session in enumerate(usual.sessions, start=1)}

    def clean_starts_on(self) -> date:
        """A light week starts today or later, and not further ahead than a block reaches."""
        day: date = self.cleaned_data["starts_on"]
        if day < self.today:
            message = "This day is past; a light week can start today at the earliest."
            raise forms.ValidationError(message)
        if day > self.today + FURTHEST_AHEAD:
            message = "This day is more than six weeks ahead; come back nearer to it."
            raise forms.ValidationError(message)
        if not self.is_planned:
            message = "Nothing is planned around this day; choose a day of a published block."
            raise forms.ValidationError(message)
        return day

    def clean(self) -> dict[str, Any]:
        """Read the sets of each exercise that the coach wrote by hand."""
        data: dict[str, Any] = super().clean() or self.cleaned_data
        for spot in self.spots:
            field = f"own-{spot.word}"
            try:
                data[field] = read_sets(data.get(field, ""))
            except forms.ValidationError as error:
                self.add_error(field, error)
        chosen = [field for field in self._day_fields if data.get(field)]
        taken = [data[field] for field in chosen]
        for field in chosen:
            if taken.count(data[field]) > 1:
                self.add_error(field, "Two sessions stand on this day; choose different days.")
        return data

    @property
    def _day_fields(self) -> list[str]:
        return [f"day-{place}" for place in self.sessions]

    def shorten(self) -> None:
        """Let the light week take the place of a usual one, where the block cannot move."""
        self.data = {**self.data, "place": IN_PLACE}
        self.cleaned_data["place"] = IN_PLACE

    @property
    def carries(self) -> bool:
        """Whether what the review steps back does so in the weeks after it."""
        return self.cleaned_data.get("then") != NOT_CARRIED

    @property
    def own_sets(self) -> dict[str, tuple[int, ...] | int]:
        """What the coach set by hand, by prescription key."""
        found: dict[str, tuple[int, ...] | int] = {}
        for spot in self.spots:
            own = self.cleaned_data.get(f"own-{spot.word}")
            how = self.cleaned_data.get(f"how-{spot.word}")
            if how == LEAVE_OUT:
                found[spot.prescription.key] = ()
            elif own is not None:
                found[spot.prescription.key] = own
            elif how == AS_USUAL:
                found[spot.prescription.key] = spot.prescription.targets
        return found

    @property
    def wishes(self) -> Wishes:
        """What is kept in, and the days that the coach chose."""
        said = self.cleaned_data
        keep = (s.prescription.key for s in self.spots if said.get(f"how-{s.word}") == KEEP_IN)
        days = {key: said.get(f"day-{place}") for place, key in self.sessions.items()}
        return Wishes(frozenset(keep), {key: int(day) for key, day in days.items() if day})

    @property
    def sent(self) -> dict[str, str]:
        """The fields that say something, to be sent on or put into an address."""
        names = [name for name in self.fields if self.data.get(name)]
        return {name: str(self.data[name]) for name in names}

    @property
    def as_query(self) -> str:
        """The same as the query of an address."""
        return urlencode(self.sent)

    @property
    def is_answerable(self) -> bool:
        """Whether a week can be shown: only single exercises may be wrong."""
        return self.is_valid() or not any(name in self.errors for name in ASKED)


def with_defaults(sent: Mapping[str, Any], starts_on: date, *, place: str) -> dict[str, Any]:
    """What was sent, filled up with the usual answers."""
    usual = {
        "starts_on": starts_on.isoformat(),
        "share": str(round(100 * DELOAD_SHARE.value)),
        "days": "7",
        "place": place,
        "then": CARRIED,
    }
    return usual | {name: value for name, value in sent.items() if value != "" or name in ASKED}


def asked_day(sent: Mapping[str, Any], default: date, today: date) -> date:
    """The first day that was asked for; what is past or no day is left to the form to refuse."""
    try:
        day = date.fromisoformat(str(sent.get("starts_on") or default))
    except ValueError:
        return default
    return day if day >= today else default
