"""What a light week keeps of a usual one, counted: the week, each muscle, each side."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coaching.rules.deload_able import Able
from coaching.rules.numbers import (
    DELOAD_HOLD_STEP,
    DELOAD_MUSCLE_SETS,
    DELOAD_TOLERANCE,
    HOLD_SECONDS_PER_REP,
)
from coaching.rules.plan import Measure, Muscle, Part, Pattern, PlannedWeek, Prescription

RULE = (
    "Fewer sets and fewer repetitions a set at the kept load, a lighter one where the last sets fell "
    "short, so that the week and every muscle "
    "with 6 or more usual sets outside prehab come within 5 points of the asked share; as many "
    "pushing as pulling sets; prehab at half or more; every session keeps something; exercises of "
    "movement goals are never dropped. A hold counts one repetition for every 4 s."
)


@dataclass(frozen=True, slots=True)
class MuscleShareLine:
    """One muscle in the usual and in the light week, in fractional sets and repetitions.

    Holds count as repetitions of 4 s. ``must_hold`` says whether the share is
    asked of this muscle, ``holds`` whether it is within the tolerance.
    """

    muscle: Muscle
    usual_reps: float
    light_reps: float
    usual_sets: float
    light_sets: float
    share: float
    must_hold: bool
    holds: bool


@dataclass(frozen=True, slots=True)
class DeloadChange:
    """What becomes of one prescription: its sets before and after, and why."""

    prescription_key: str
    exercise_name: str
    before: tuple[int, ...]
    after: tuple[int, ...]
    why: str


@dataclass(frozen=True, slots=True)
class DeloadProposal:
    """A light week beside the usual one, with every number it rests on.

    ``share`` is what was reached of the usual repetitions (of the seconds where the
    week has holds only), ``wanted`` what was asked. ``unmet`` names what does not
    hold. ``proven`` says that no better week exists under the rule.
    """

    week: PlannedWeek
    share: float
    wanted: float
    muscles: tuple[MuscleShareLine, ...]
    push_sets: int
    pull_sets: int
    push_reps: int
    pull_reps: int
    changes: tuple[DeloadChange, ...]
    unmet: tuple[str, ...]
    rule: str = RULE
    source_key: str = "rogerson-2024"
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the coach wants of a light week besides its share.

    ``keep`` names prescriptions that get lighter but are never dropped; ``on`` puts sessions
    on days of the spell, counted from 0.
    """

    keep: frozenset[str] = frozenset()
    on: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Slot:
    """One prescription of the usual week and what the coach asked of it."""

    usual: Prescription
    session: int
    keep: bool
    fixed: tuple[int, ...] | int | None
    wished: bool = False
    able: Able | None = None

    @property
    def unit(self) -> int:
        """Repetitions are counted one by one, holds in steps where they divide evenly [s]."""
        step = int(DELOAD_HOLD_STEP.value)
        is_hold = self.usual.exercise.measure is Measure.SECONDS
        return step if is_hold and all(t % step == 0 for t in self.usual.targets) else 1

    @property
    def is_prehab(self) -> bool:
        """Joint work, which keeps its own share."""
        return self.usual.part is Part.PREHAB or self.usual.exercise.pattern is Pattern.PREHAB


def usual_work(slots: Sequence[Slot], measure: Measure) -> float:
    """Usual work of all repetitions, or of all holds, in repetitions."""
    work = sum(sum(s.usual.targets) for s in slots if s.usual.exercise.measure is measure)
    return work / (HOLD_SECONDS_PER_REP.value if measure is Measure.SECONDS else 1)


def in_reps(slot: Slot, work: float) -> float:
    """Work of a prescription in repetitions; a hold counts one for every 4 s."""
    is_hold = slot.usual.exercise.measure is Measure.SECONDS
    return work / HOLD_SECONDS_PER_REP.value if is_hold else work


def muscle_work(
    slots: Sequence[Slot], muscle: Muscle, sets: Callable[[Slot], tuple[int, ...]]
) -> float:
    """Fractional repetitions of a muscle, in the week that ``sets`` reads."""
    return sum(
        m.share * in_reps(s, sum(sets(s)))
        for s in slots
        for m in s.usual.exercise.muscles
        if m.muscle is muscle
    )


def muscle_sets(
    slots: Sequence[Slot], muscle: Muscle, sets: Callable[[Slot], tuple[int, ...]]
) -> float:
    """Fractional sets of a muscle, in the week that ``sets`` reads."""
    return sum(
        m.share * sum(t > 0 for t in sets(s))
        for s in slots
        for m in s.usual.exercise.muscles
        if m.muscle is muscle
    )


def must_hold(slots: Sequence[Slot]) -> list[Muscle]:
    """Muscles with enough usual sets outside prehab, whose own share is kept at half."""
    hard = [slot for slot in slots if not slot.is_prehab]
    least = DELOAD_MUSCLE_SETS.value
    return [m for m in Muscle if muscle_sets(hard, m, lambda s: s.usual.targets) >= least]


def proposal_of(
    week: PlannedWeek,
    slots: Sequence[Slot],
    after: Mapping[str, tuple[int, ...]],
    wanted: float,
    *,
    proven: bool,
) -> DeloadProposal:
    """The light week with everything that is shown beside it."""
    muscles = tuple(_lines(slots, after, wanted))
    reached = _reached(slots, after)
    sides = {side: _side(slots, after, side) for side in (Pattern.PUSH, Pattern.PULL)}
    (push_sets, push_reps), (pull_sets, pull_reps) = sides[Pattern.PUSH], sides[Pattern.PULL]
    return DeloadProposal(
        week=week,
        share=reached,
        wanted=wanted,
        muscles=muscles,
        push_sets=push_sets,
        pull_sets=pull_sets,
        push_reps=push_reps,
        pull_reps=pull_reps,
        changes=tuple(_changes(slots, after)),
        unmet=tuple(_unmet(slots, after, muscles, (reached, wanted))),
        proven=proven,
    )


def _light(slot: Slot, after: Mapping[str, tuple[int, ...]]) -> tuple[int, ...]:
    return after[slot.usual.key]


def _reached(slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]]) -> float:
    """What is kept of the repetitions, or of the seconds where there are holds only."""
    for measure in Measure:
        of = [s for s in slots if s.usual.exercise.measure is measure]
        usual = sum(sum(s.usual.targets) for s in of)
        if usual:
            return sum(sum(_light(s, after)) for s in of) / usual
    return 0.0


def _side(
    slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]], side: Pattern
) -> tuple[int, int]:
    """Sets and repetitions of one side; a hold counts sets only."""
    of = [s for s in slots if s.usual.exercise.pattern is side]
    reps = [s for s in of if s.usual.exercise.measure is Measure.REPS]
    return sum(len(_light(s, after)) for s in of), sum(sum(_light(s, after)) for s in reps)


def _lines(
    slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]], wanted: float
) -> Iterator[MuscleShareLine]:
    asked = set(must_hold(slots))
    for muscle in Muscle:
        usual = muscle_work(slots, muscle, lambda s: s.usual.targets)
        if usual <= 0:
            continue
        light = muscle_work(slots, muscle, lambda s: _light(s, after))
        yield MuscleShareLine(
            muscle=muscle,
            usual_reps=usual,
            light_reps=light,
            usual_sets=muscle_sets(slots, muscle, lambda s: s.usual.targets),
            light_sets=muscle_sets(slots, muscle, lambda s: _light(s, after)),
            share=light / usual,
            must_hold=muscle in asked,
            holds=_is_near(light / usual, wanted),
        )


def _is_near(share: float, wanted: float) -> bool:
    return abs(share - wanted) <= DELOAD_TOLERANCE.value + 1e-9


def _changes(slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]]) -> Iterator[DeloadChange]:
    for slot in slots:
        light = _light(slot, after)
        if light != slot.usual.targets:
            yield DeloadChange(
                slot.usual.key,
                slot.usual.exercise.name,
                slot.usual.targets,
                light,
                _why(slot, light),
            )


def _why(slot: Slot, light: tuple[int, ...]) -> str:
    unit = "s" if slot.usual.exercise.measure is Measure.SECONDS else "reps"
    work = f"{sum(slot.usual.targets)} to {sum(light)} {unit}"
    if slot.fixed is not None:
        return f"Set by the coach: {work}."
    if not light:
        return f"Dropped for this week: {work}."
    if slot.is_prehab:
        return f"Prehab keeps at least half: {work}."
    kept = "; kept for a movement goal" if slot.keep else "; kept in" if slot.wished else ""
    return f"{work}, {_load_words(slot)}{kept}."


def _load_words(slot: Slot) -> str:
    if slot.able is None:
        return "load kept"
    if slot.able.load == slot.usual.load:
        return "load kept, from what was done the last time"
    return f"load from {slot.usual.load:g} to {slot.able.load:g} kg, as the last sets fell short"


def _unmet(
    slots: Sequence[Slot],
    after: Mapping[str, tuple[int, ...]],
    muscles: Sequence[MuscleShareLine],
    shares: tuple[float, float],
) -> Iterator[str]:
    reached, wanted = shares
    asked = f"instead of {wanted:.0%} ± 5 points".replace("%", " %")
    if not slots:
        yield "The usual week holds no work to lighten."
        return
    if not _is_near(reached, wanted):
        yield f"The week comes to {_percent(reached)} {asked}."
    for line in muscles:
        if line.must_hold and not line.holds:
            yield f"{line.muscle.capitalize()} comes to {_percent(line.share)} {asked}."
    yield from _unmet_sides(slots, after)
    yield from _lost(slots, after)


def _lost(slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]]) -> Iterator[str]:
    for slot in slots:
        if slot.keep and not _light(slot, after):
            yield f"{slot.usual.exercise.name} loses an exposure although it serves a goal."
    for at in dict.fromkeys(slot.session for slot in slots):
        if not any(_light(slot, after) for slot in slots if slot.session == at):
            yield f"Session {at + 1} of the week keeps nothing."


def _unmet_sides(slots: Sequence[Slot], after: Mapping[str, tuple[int, ...]]) -> Iterator[str]:
    if {Pattern.PUSH, Pattern.PULL} <= {s.usual.exercise.pattern for s in slots}:
        push, pull = _side(slots, after, Pattern.PUSH)[0], _side(slots, after, Pattern.PULL)[0]
        if push != pull:
            yield f"Pushing keeps {push} sets, pulling {pull}."


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"
