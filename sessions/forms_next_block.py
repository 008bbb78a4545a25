"""From when the next block runs, how long, and what the coach chose line by line."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django import forms

from coaching.rules.next_block_numbers import NEXT_BLOCK_WEEKS_FEWEST, NEXT_BLOCK_WEEKS_MOST
from sessions.next_block_reading import LastPlan
from sessions.queries import week_start

CHOICE, STAY, WHOLE, LIGHT_FIRST = "choice-", "stay", "whole-", "light-first"
WEEKS = range(int(NEXT_BLOCK_WEEKS_FEWEST.value), int(NEXT_BLOCK_WEEKS_MOST.value) + 1)
FURTHEST_AHEAD = timedelta(days=120)


class NextBlockForm(forms.Form):
    """The first day and the number of weeks of the next block."""

    starts_on = forms.DateField(
        label="Starts on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    weeks = forms.TypedChoiceField(
        label="Weeks",
        coerce=int,
        choices=[(n, str(n)) for n in WEEKS],
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        help_text="the last one light",
        error_messages={"invalid_choice": f"Choose {WEEKS[0]} to {WEEKS[-1]} weeks."},
    )

    def __init__(self, *args: Any, last: LastPlan, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.last, self.today = last, today

    def clean_starts_on(self) -> date:
        """After the last block and not in the past; the message says from when on."""
        starts_on: date = self.cleaned_data["starts_on"]
        block, ends_on = self.last.until
        earliest = max(self.today, ends_on + timedelta(days=1))
        if starts_on < earliest:
            why = "today" if earliest == self.today else f"block {block.number} runs until then"
            message = f"Choose {earliest:%-d %b %Y} or later: {why}."
            raise forms.ValidationError(message)
        if starts_on > earliest + FURTHEST_AHEAD:
            message = f"Choose {earliest + FURTHEST_AHEAD:%-d %b %Y} or earlier."
            raise forms.ValidationError(message)
        return starts_on


def first_day(last: LastPlan, today: date) -> date:
    """The Monday after the last block, or the next Monday when that is past."""
    monday = week_start(today)
    return max(last.after, monday if monday == today else monday + timedelta(weeks=1))


def usual_weeks(last: LastPlan) -> int:
    """As many weeks as the last block, within what is usual."""
    return min(max(last.weeks, WEEKS[0]), WEEKS[-1])


def next_block_form(sent: Mapping[str, str], last: LastPlan, today: date) -> NextBlockForm:
    """The form with what was sent, and the usual answers where nothing was."""
    usual = {"starts_on": first_day(last, today).isoformat(), "weeks": str(usual_weeks(last))}
    data = {name: sent.get(name) or usual[name] for name in usual}
    return NextBlockForm(data, last=last, today=today)


def wishes_in(sent: Mapping[str, str]) -> dict[str, str]:
    """What the coach chose by line; nothing where the proposal stands."""
    return {
        name.removeprefix(CHOICE): value
        for name, value in sent.items()
        if name.startswith(CHOICE) and value
    }


def whole_in(sent: Mapping[str, str]) -> frozenset[str]:
    """The lines and sessions, by uid, that keep all of their sets."""
    return frozenset(
        name.removeprefix(WHOLE) for name, value in sent.items() if name.startswith(WHOLE) and value
    )
