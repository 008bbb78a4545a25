"""What the services of the library may refuse."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing to mend: the field it stands in, and what is wrong with its remedy."""

    field: str
    message: str


class OwnExerciseError(Exception):
    """An exercise cannot be kept like that; ``faults`` name each field and its remedy."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(" ".join(fault.message for fault in self.faults))


class GoalError(Exception):
    """A movement goal cannot be kept like that; the message says why and the remedy."""
