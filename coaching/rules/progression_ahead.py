"""What a proposal knows of the sessions to come: what they will probably give, and what forbids more.

The forecast itself is made elsewhere (``ability_forecast``) and only asked for here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.ability_forecast import Forecast
from coaching.rules.findings import Evidence
from coaching.rules.plan import Exercise, Measure

Tells = Callable[[Exercise, float, tuple[int, ...]], Forecast | None]
"""A forecast of an exercise at a load [kg] with these targets, none where nothing is known."""

_OF = 10
_TOLD = " Taken to failure, "


class Held(StrEnum):
    """Why nothing may go up for now."""

    OVERREACHING = "overreaching"
    DROP = "exercise drop"


@dataclass(frozen=True)
class Ahead:
    """What is told ahead, and what holds an exercise back; nothing of both by itself."""

    tells: Tells | None = None
    held: Held | None = None

    def of(self, exercise: Exercise, load: float, targets: tuple[int, ...]) -> Forecast | None:
        """The forecast of a planned exercise, if there is one."""
        return None if self.tells is None else self.tells(exercise, load, targets)


def times_words(chance: float) -> str:
    """A probability as a coach counts it.

    >>> times_words(0.71), times_words(0.12), times_words(0.99), times_words(0.01)
    ('7 times in 10', '1 time in 10', 'more than 9 times in 10', 'less than 1 time in 10')
    """
    times = round(_OF * chance)
    if times in {0, _OF}:
        return f"more than {_OF - 1} times in {_OF}" if times else f"less than 1 time in {_OF}"
    return f"{times} time{'s' if times > 1 else ''} in {_OF}"


def ahead_words(told: Forecast, measure: Measure) -> str:
    """The forecast in a sentence to follow a proposal."""
    unit = "repetition" if measure is Measure.REPS else "second"
    last = told.sets[-1]
    good = f"{last.middle} good {unit}{'' if last.middle == 1 else 's'}"
    which = "the last set" if len(told.sets) > 1 else "the set"
    return (
        f"{_TOLD}{which} would give about {good} (mostly {last.low} to {last.high}); "
        f"all that is asked is made {times_words(told.chance)}."
    )


def without_ahead(sentence: str) -> str:
    """A proposal's sentence without the forecast, where its numbers stand beside it anyway.

    >>> without_ahead("Ask for 8. Taken to failure, the set would give about 9 good repetitions.")
    'Ask for 8.'
    """
    return sentence.partition(_TOLD)[0]


def ahead_evidence(told: Forecast, measure: Measure) -> tuple[Evidence, ...]:
    """The numbers behind it, set by set."""
    unit = "reps" if measure is Measure.REPS else "s"
    middles = ", ".join(str(one.middle) for one in told.sets)
    ranges = ", ".join(f"{one.low}–{one.high}" for one in told.sets)
    return (
        Evidence("Expected to failure", f"{middles} {unit}"),
        Evidence(f"In {times_words(told.band).replace(' times in ', ' of ')} cases", ranges),
        Evidence("All that is asked", times_words(told.chance)),
    )
