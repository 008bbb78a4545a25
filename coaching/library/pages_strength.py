"""What a set shows of strength, in words: the maximum with its range, and loads for the next."""

from dataclasses import dataclass, replace

from coaching.library.chosen_client import ChosenClient
from coaching.library.forms_load import AskedLoad
from coaching.library.pages_load import ONE_ARM
from coaching.rules.bodyweight_load import body_load
from coaching.rules.bodyweight_scales import Scale, Setting
from coaching.rules.findings import NoAnswer
from coaching.rules.next_load import follows_total_mass
from coaching.rules.plan import Exercise, LoadKind, Measure
from coaching.rules.strength import Confidence, Estimate, estimate_one_rm, load_for_reps

_NEXT = (3, 5, 8)
_NO_CLIENT = "Choose a client: body weight counts in this exercise."
_SURE = {
    Confidence.USUAL: "usual, up to 10 repetitions to failure, for which the formulas were made",
    Confidence.LOW: "low, because from 11 repetitions to failure on the formulas are a guess",
    Confidence.AT_LEAST: "the least that the client can do: the reserve is not known",
}


@dataclass(frozen=True)
class NextLoad:
    """The load that goes for so many repetitions to failure."""

    reps: int
    system: str
    load: str


@dataclass(frozen=True)
class StrengthWords:
    """The maximum that a set shows; a ``reason`` alone when it shows none."""

    reason: str = ""
    figure: str = ""
    where: str = ""
    range: str = ""
    system: str = ""
    confidence: str = ""
    has_reserve: bool = False
    falls_faster: bool = False
    load_title: str = ""
    next: tuple[NextLoad, ...] = ()


@dataclass(frozen=True)
class _Moved:
    """What a set moves [kg], of that without any load, and what one more kilogram adds.

    Where one arm works it is what that arm moves.
    """

    value: float
    low: float
    high: float
    bare: float
    per_kilogram: float


def why_no_strength(exercise: Exercise, scale: Scale | None) -> str:
    """Why no set of an exercise shows a maximum; empty when one does."""
    if exercise.measure is Measure.SECONDS:
        return "A hold is counted in seconds: no maximum is told from it."
    if scale not in {None, Scale.HANDS}:
        return "A moment at a joint is not a load that is lifted: no maximum is told from it."
    if not exercise.body_share and exercise.load_kind is not LoadKind.EXTERNAL:
        return "Hardly any load is moved: no maximum is told from it."
    return ""


def strength_words(
    exercise: Exercise, one: ChosenClient | None, asked: AskedLoad
) -> StrengthWords | None:
    """What a set of reps shows on system load; none when no reps were given."""
    if asked.reps is None:
        return None
    moved = _moved(exercise, one, asked.setting)
    if isinstance(moved, NoAnswer):
        return StrengthWords(reason=moved.reason)
    found = estimate_one_rm(moved.value, asked.reps, asked.rir, span=(moved.low, moved.high))
    if isinstance(found, NoAnswer):
        return StrengthWords(reason=found.reason)
    at_least = found.confidence is Confidence.AT_LEAST
    high = f"–{found.high:.0f}" if found.high is not None else " by the lowest formula"
    return StrengthWords(
        figure=f"{'at least ' if at_least else ''}{found.value:.0f} kg",
        where="on the working arm" if exercise.posture in ONE_ARM else "",
        range=f"{found.low:.0f}{high}",
        system=f"{moved.value:.0f} kg",
        confidence=_SURE[found.confidence],
        has_reserve=bool(asked.rir),
        falls_faster=follows_total_mass(exercise),
        load_title="Load" if _is_lifted(exercise) else "Added load",
        next=_next_loads(exercise, found, moved),
    )


def _moved(exercise: Exercise, one: ChosenClient | None, setting: Setting) -> _Moved | NoAnswer:
    if exercise.posture is None:
        return _usual_moved(exercise, one, setting)
    if one is None:
        return NoAnswer(_NO_CLIENT)
    if isinstance(one.body, NoAnswer):
        return one.body
    bare = replace(setting, added_kg=0, help_kg=0)
    found, without, more = (
        body_load(exercise.posture, one.body, so)
        for so in (setting, bare, replace(bare, added_kg=1))
    )
    if isinstance(found, NoAnswer):
        return found
    if isinstance(without, NoAnswer) or isinstance(more, NoAnswer):
        return NoAnswer("Without load there is no answer to compare with.")
    arms = 2 if exercise.posture in ONE_ARM else 1
    of_all = (found.value, found.low, found.high, without.value, more.value - without.value)
    return _Moved(*(kilograms / arms for kilograms in of_all))


def _usual_moved(
    exercise: Exercise, one: ChosenClient | None, setting: Setting
) -> _Moved | NoAnswer:
    """By the usual share of body weight, where the posture is not computed."""
    bare = 0.0
    if exercise.body_share:
        if one is None:
            return NoAnswer(_NO_CLIENT)
        if isinstance(one.body, NoAnswer):
            return one.body
        bare = exercise.body_share * one.body.mass_kg
    value = max(0.0, bare + setting.added_kg - setting.help_kg)
    return _Moved(value, value, value, bare, 1)


def _next_loads(exercise: Exercise, found: Estimate, moved: _Moved) -> tuple[NextLoad, ...]:
    """None where no load can be added."""
    if exercise.load_kind is LoadKind.NONE:
        return ()
    return tuple(_next(exercise, found, moved, reps) for reps in _NEXT)


def _next(exercise: Exercise, one_rm: Estimate, moved: _Moved, reps: int) -> NextLoad:
    found = load_for_reps(one_rm.value, reps)
    if isinstance(found, NoAnswer):
        return NextLoad(reps, "", found.reason)
    value, low, high = (
        round((load - moved.bare) / moved.per_kilogram)
        for load in (found.value, found.low, found.high or found.value)
    )
    system = f"{found.value:.0f} kg"
    if _is_lifted(exercise):
        return NextLoad(reps, system, f"{value} kg, {low}–{high}")
    if value < 0:
        return NextLoad(reps, system, f"{-value} kg of help, or an easier rung")
    return NextLoad(reps, system, f"+{value} kg, {_signed(low)} to {_signed(high)}")


def _is_lifted(exercise: Exercise) -> bool:
    """Whether the load is all that is moved."""
    return exercise.load_kind is LoadKind.EXTERNAL and not exercise.body_share


def _signed(kilograms: int) -> str:
    return f"{'+' if kilograms > 0 else '−' if kilograms < 0 else ''}{abs(kilograms)}"
