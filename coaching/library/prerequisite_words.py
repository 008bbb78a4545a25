"""Prerequisites of an exercise in words, for pages that list them."""

from collections.abc import Mapping
from dataclasses import dataclass

from coaching.library.models import Exercise
from coaching.rules.ladder_times import amount_words
from coaching.rules.plan import Measure


@dataclass(frozen=True)
class PrerequisiteLine:
    """One prerequisite: which exercise, and how much of it in one set (8 reps, 30 s)."""

    key: str
    name: str
    amount: str


def prerequisites_in_words(
    row: Exercise, by_key: Mapping[str, Exercise]
) -> tuple[PrerequisiteLine, ...]:
    """What to be able to do before an exercise is tried; what left the library is left out."""
    return tuple(
        PrerequisiteLine(key, by_key[key].name, amount_words(amount, Measure(by_key[key].measure)))
        for key, amount in row.prerequisites.items()
        if key in by_key
    )
