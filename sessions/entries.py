"""The shape of what a phone sends: each entry with its own id and revision."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from sessions.errors import EntryError
from sessions.models import ChangeKind
from sessions.word_models import LONGEST_WORD

MOMENTS = ["%Y-%m-%dT%H:%M:%S.%f%z", "%Y-%m-%dT%H:%M:%S%z"]
LARGEST_ID = 2**63 - 1

# A phone's clock may be off by a time zone, not by more; older than a year it was reset.
CLOCK_AHEAD = timedelta(days=1)
CLOCK_BEHIND = timedelta(days=366)


def by_a_right_clock(at: datetime) -> None:
    """Refuse a moment that only a wrong clock can have told."""
    now = timezone.now()
    if at > now + CLOCK_AHEAD or at < now - CLOCK_BEHIND:
        message = (
            f"the phone's clock said {at.day} {at:%b %Y}. Set the clock right, "
            "then open this entry and save it again."
        )
        raise forms.ValidationError(message)


class EntryForm(forms.Form):
    """What every entry of a phone carries: its own id, its revision, and the id of this statement.

    An older phone names no ``edit``.
    """

    uid = forms.UUIDField()
    revision = forms.IntegerField(min_value=1, max_value=10_000)
    edit = forms.UUIDField(required=False)

    def label_of(self, field: str) -> str:
        """The name of a field as the client knows it."""
        bound = self.fields.get(field)
        return str((bound and bound.label) or field.replace("_", " ").capitalize())


class _InSession(EntryForm):
    session = forms.UUIDField()
    planned_session = forms.UUIDField(required=False)
    session_name = forms.CharField(required=False, max_length=80)
    done_at = forms.DateTimeField(
        label="Time", input_formats=MOMENTS, validators=[by_a_right_clock]
    )
    on = forms.DateField(label="Day", required=False, input_formats=["%Y-%m-%d"])


class SetEntry(_InSession):
    """One set, or a newer revision of it."""

    exercise = forms.IntegerField(min_value=1, max_value=LARGEST_ID)
    prescription = forms.UUIDField(required=False)
    number = forms.IntegerField(label="Set", min_value=1, max_value=50)
    amount = forms.IntegerField(label="Reps or seconds", min_value=0, max_value=3600)
    load = forms.DecimalField(
        label="Load", required=False, min_value=0, max_value=1000, max_digits=6, decimal_places=2
    )
    target = forms.IntegerField(required=False, min_value=0, max_value=3600)
    target_load = forms.DecimalField(
        required=False, min_value=0, max_value=1000, max_digits=6, decimal_places=2
    )
    rir = forms.IntegerField(label="Reps in reserve", required=False, min_value=0, max_value=10)
    pain = forms.IntegerField(label="Pain", required=False, min_value=0, max_value=10)
    pain_where = forms.CharField(label="Where it hurts", required=False, max_length=60)
    note = forms.CharField(required=False, max_length=500)
    warm_up = forms.BooleanField(required=False)
    removed = forms.BooleanField(required=False)


class SessionEntry(_InSession):
    """What is said of a whole session."""

    rpe = forms.DecimalField(
        label="Effort", required=False, min_value=0, max_value=10, max_digits=3, decimal_places=1
    )
    note = forms.CharField(label="Word to the coach", required=False, max_length=2000)
    finished_at = forms.DateTimeField(
        label="End", required=False, input_formats=MOMENTS, validators=[by_a_right_clock]
    )
    skipped_reason = forms.CharField(label="Reason", required=False, max_length=200)


class LineEntry(_InSession):
    """A planned exercise that is swapped or skipped today, and why."""

    prescription = forms.UUIDField()
    change = forms.ChoiceField(
        choices=ChangeKind.choices,
        error_messages={"invalid_choice": "an exercise is swapped or skipped."},
    )
    exercise = forms.IntegerField(required=False, min_value=1, max_value=LARGEST_ID)
    reason = forms.CharField(max_length=200)
    removed = forms.BooleanField(required=False)

    def clean(self) -> dict[str, Any]:
        """A swap says what was done instead."""
        data = super().clean() or self.cleaned_data
        if data.get("change") == ChangeKind.SWAP and not data.get("exercise"):
            self.add_error("exercise", "say which one is done instead.")
        return data


class BodyWeightEntry(EntryForm):
    """Body weight on a day."""

    on = forms.DateField(label="Day", input_formats=["%Y-%m-%d"])
    kg = forms.DecimalField(
        label="Body weight", min_value=25, max_value=300, max_digits=5, decimal_places=2
    )


class WordEntry(EntryForm):
    """A word of a client to the coach; ``week`` names the week whose note it answers."""

    week = forms.DateField(label="Week", required=False, input_formats=["%Y-%m-%d"])
    text = forms.CharField(label="Your word", required=False, max_length=LONGEST_WORD)
    done_at = forms.DateTimeField(
        label="Time", input_formats=MOMENTS, validators=[by_a_right_clock]
    )
    removed = forms.BooleanField(required=False)

    def clean(self) -> dict[str, Any]:
        """Nothing said is no word."""
        data = super().clean() or self.cleaned_data
        if not data.get("text") and not data.get("removed") and "text" not in self.errors:
            self.add_error("text", "write something, or take it back.")
        return data


FORMS: Mapping[str, type[EntryForm]] = {
    "set": SetEntry,
    "session": SessionEntry,
    "line": LineEntry,
    "weight": BodyWeightEntry,
    "word": WordEntry,
}


def checked(entry: Mapping[str, Any]) -> tuple[str, dict[str, Any]]:
    """The kind of an entry and its fields as Python values.

    Raises EntryError with the field and the remedy when something does not fit.
    """
    flat = {name: _plain(name, value) for name, value in entry.items()}
    kind = str(flat.get("kind"))
    if kind not in FORMS:
        message = "Kind: an entry is a set, a session, a line, a weight or a word."
        raise EntryError(message)
    form = FORMS[kind](flat)
    if not form.is_valid():
        field, errors = next(iter(form.errors.items()))
        message = f"{form.label_of(field)}: {errors[0]}"
        raise EntryError(message)
    return kind, form.cleaned_data


def _plain(name: str, value: Any) -> str | bool:
    """A value of JSON as a form would carry it; lists and the like are refused."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return value
    if not isinstance(value, (str, int, float)):
        message = f"{name}: a single value was expected."
        raise EntryError(message)
    text = str(value)
    try:
        text.encode()
    except UnicodeEncodeError as error:
        message = f"{name}: it holds a sign that cannot be kept; write it again without."
        raise EntryError(message) from error
    return text
