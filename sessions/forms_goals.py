"""Shapes of what a coach says of a movement goal."""

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from django import forms

from coaching.library.goal_services import MOST_REPS, MOST_SECONDS, amount_remedy, most_of
from coaching.library.models import Exercise, MovementGoal
from coaching.rules.plan import Measure


def amount_field(label: str, most: int, help_text: str = "") -> forms.IntegerField:
    """So many repetitions or seconds, as a phone's keypad likes it."""
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    return forms.IntegerField(
        label=label,
        min_value=1,
        max_value=most,
        widget=widget,
        help_text=help_text or "In one set, without help.",
    )


class GoalForm(forms.Form):
    """A rung to work toward, and how much of it."""

    exercise = forms.TypedChoiceField(label="Rung", coerce=int)
    reps = amount_field(
        "Reps, or seconds of a hold",
        MOST_SECONDS,
        f"In one set, without help: up to {MOST_REPS} reps, or {MOST_SECONDS} seconds.",
    )

    def __init__(self, *args: Any, exercises: Iterable[Exercise], **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "goal_%s", **kwargs})
        self._rows = {row.pk: row for row in exercises}
        on_ladders = [row for row in self._rows.values() if row.ladder is not None and row.rung]
        self.fields["exercise"].choices = [  # type: ignore[attr-defined]
            ("", "choose a ladder and a rung on it"),
            *(
                (name, [(row.pk, _label(row)) for row in rows])
                for name, rows in groupby(on_ladders, key=lambda row: str(row.ladder))
            ),
        ]

    def clean(self) -> dict[str, Any]:
        """Fewer repetitions can be asked than seconds."""
        data = super().clean() or {}
        row = self._rows.get(data.get("exercise", 0))
        if row and data.get("reps", 0) > most_of(row):
            self.add_error("reps", amount_remedy(row))
        return data


class ChangeGoalForm(forms.Form):
    """Another number for a goal."""

    reps = amount_field("Reps", MOST_REPS)

    def __init__(self, *args: Any, goal: MovementGoal, **kwargs: Any) -> None:
        usual = {"auto_id": f"goal-{goal.pk}_%s", "initial": {"reps": goal.reps}}
        super().__init__(*args, **{**usual, **kwargs})
        if goal.exercise.measure == Measure.SECONDS:
            self.fields["reps"] = amount_field("Seconds", MOST_SECONDS)


class ReachedForm(forms.Form):
    """The day on which a goal was done; today when it is not said."""

    on = forms.DateField(required=False)


class DroppedGoalForm(forms.Form):
    """A dropped goal as the way back sends it."""

    exercise = forms.IntegerField()
    reps = forms.IntegerField()
    set_on = forms.DateField()
    reached_on = forms.DateField(required=False)


def _label(row: Exercise) -> str:
    unit = ", in seconds" if row.measure == Measure.SECONDS else ""
    return f"{row.rung} · {row.name}{unit}"
