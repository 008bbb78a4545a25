"""Form fields that an exercise needs: muscles with their shares, and lists to tick."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, cast

from django import forms

from coaching.rules.numbers import DIRECT_SHARE, INDIRECT_SHARE
from coaching.rules.plan import Muscle

GROUPS = (
    ("push", "They push", (Muscle.CHEST, Muscle.FRONT_DELT, Muscle.SIDE_DELT, Muscle.TRICEPS)),
    (
        "pull",
        "They pull",
        (Muscle.UPPER_BACK, Muscle.LATS, Muscle.REAR_DELT, Muscle.BICEPS, Muscle.FOREARMS),
    ),
    ("", "Legs", (Muscle.QUADRICEPS, Muscle.HAMSTRINGS, Muscle.GLUTES, Muscle.CALVES)),
    ("", "Trunk and shoulder", (Muscle.ABS, Muscle.LOWER_BACK, Muscle.ROTATOR_CUFF)),
)
"""All muscles, sorted as a coach looks for them."""

_SHARES = {
    "": (None, "not at all"),
    "indirect": (Decimal(str(INDIRECT_SHARE.value)), "indirect"),
    "direct": (Decimal(str(DIRECT_SHARE.value)), "direct"),
}


class MaybeEmpty(forms.Field):
    """Asked for, though an empty answer may be right; other checks decide."""

    def validate(self, value: Any) -> None:
        """Leave an empty answer to the checks of the whole form."""
        if value not in self.empty_values:
            super().validate(value)


class _Ticks(forms.MultipleChoiceField):
    """Several words, each once, whatever order and however often they were sent."""

    def clean(self, value: Any) -> list[str]:
        """The ticked words in the order of the trade's list."""
        ticked = set(super().clean(value))
        words = [word for word, _ in cast("list[tuple[str, str]]", self.choices)]
        return [word for word in words if word in ticked]


class _TicksMaybeEmpty(MaybeEmpty, _Ticks):
    """Several words, or none."""


def ticks(
    label: str, choices: list[tuple[str, str]], *, may_be_empty: bool = False, **more: Any
) -> forms.MultipleChoiceField:
    """A list to tick, all of it in sight."""
    widget = forms.CheckboxSelectMultiple(attrs={"class": "own-exercise-ticks"})
    kind = _TicksMaybeEmpty if may_be_empty else _Ticks
    return kind(label=label, choices=choices, widget=widget, **more)


@dataclass(frozen=True)
class Choice:
    """One answer for one muscle."""

    id: str
    value: str
    words: str
    is_chosen: bool


class MuscleSharesWidget(forms.Widget):
    """For each muscle: not at all, indirect or direct."""

    template_name = "library/own_exercise/_muscles_widget.html"
    use_fieldset = True

    def value_from_datadict(self, data: Mapping[str, Any], files: Any, name: str) -> dict[str, str]:  # noqa: ARG002
        """What was sent for each muscle; nothing means not at all."""
        return {muscle.value: str(data.get(_input(name, muscle), "")) for muscle in Muscle}

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        """The groups of muscles with their answers."""
        context = super().get_context(name, None, attrs)
        context["groups"] = [
            (side, title, [(one, _input(name, one), _choices(name, one, value)) for one in muscles])
            for side, title, muscles in GROUPS
        ]
        return context


class MuscleSharesField(MaybeEmpty):
    """The muscles that an exercise trains, with the share that one set counts for each."""

    widget = MuscleSharesWidget

    def clean(self, value: Mapping[str, str]) -> dict[str, Decimal]:
        """The share of each muscle that was chosen."""
        found = {}
        for muscle, word in value.items():
            if word not in _SHARES:
                message = f"“{word}” is no answer for {muscle}. Choose one of the three."
                raise forms.ValidationError(message)
            share = _SHARES[word][0]
            if share is not None:
                found[muscle] = share
        return found


def _input(name: str, muscle: Muscle) -> str:
    return f"{name}-{muscle.value.replace(' ', '-')}"


def _choices(name: str, muscle: Muscle, value: Mapping[str, Any] | None) -> list[Choice]:
    kept = (value or {}).get(muscle.value, "")
    chosen = kept if isinstance(kept, str) else "direct" if kept >= 1 else "indirect"
    return [
        Choice(f"id_{_input(name, muscle)}-{word or 'none'}", word, words, word == chosen)
        for word, (_, words) in _SHARES.items()
    ]
