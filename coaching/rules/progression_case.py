"""How one exercise went, and what the rules of progression ask of it."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import Required, TypedDict, Unpack

from coaching.rules.load_to_choose import is_to_choose
from coaching.rules.log import LoggedSet
from coaching.rules.numbers import PAIN_REMEMBERED
from coaching.rules.plan import Exercise, LoadKind, Measure, Prescription, WeekKind
from coaching.rules.progression_ahead import Ahead
from coaching.rules.stair import Range, start_of, usual_range


@dataclass(frozen=True)
class Exposure:
    """One time an exercise was done: its sets, what was planned, the kind of week.

    ``besides`` means that the day's plan asked for something else: done in place of another
    exercise, or added to the session. Then only its pain counts for the next target.
    """

    on: date
    sets: tuple[LoggedSet, ...]
    planned: Prescription | None = None
    kind: WeekKind = WeekKind.BUILD
    besides: bool = False


@dataclass(frozen=True)
class Case:
    """Everything one proposal rests on, with the questions that the rules ask of it."""

    asked: Prescription
    exposures: tuple[Exposure, ...]
    loads: tuple[float, ...]
    harder: Exercise | None
    easier: Exercise | None
    body_weight: float
    range: Range
    rung_loads: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    ahead: Ahead = field(default_factory=Ahead)

    @property
    def exercise(self) -> Exercise:
        """The exercise it is about."""
        return self.asked.exercise

    @property
    def assisted(self) -> bool:
        """Whether a bigger load is more help."""
        return self.exercise.load_kind is LoadKind.ASSISTED

    @cached_property
    def usual(self) -> tuple[Exposure, ...]:
        """Exposures of building weeks; light and test weeks say nothing about the step.

        Nor does what was done besides the plan of its day.
        """
        asked = (one for one in self.exposures if not one.besides)
        kept = (one for one in asked if one.kind is WeekKind.BUILD)
        return tuple(one for one in kept if self.work_of(one))

    def work_of(self, exposure: Exposure) -> tuple[LoggedSet, ...]:
        """The sets of this exercise that were work, as many as are asked for."""
        key = self.exercise.key
        mine = [one for one in exposure.sets if one.exercise.key == key and not one.warm_up]
        return tuple(sorted(mine, key=lambda one: one.number))[: self.asked.sets]

    def amounts_of(self, exposure: Exposure) -> tuple[int, ...]:
        """Repetitions or seconds of those sets."""
        return tuple(one.amount for one in self.work_of(exposure))

    def filled(self, exposure: Exposure) -> tuple[int, ...]:
        """What was done; a set left out counts like the poorest one that was done."""
        done = self.amounts_of(exposure)
        return done + (min(done),) * (self.asked.sets - len(done))

    def no_harder(self, load: float, limit: float) -> bool:
        """Whether a load is no harder than another."""
        return load >= limit if self.assisted else load <= limit

    def possible_load(self, load: float) -> float:
        """The nearest load that can be made and is no harder, else the easiest there is."""
        fitting = [one for one in self.loads if self.no_harder(one, load)]
        if not fitting:
            return max(self.loads) if self.assisted else min(self.loads)
        return min(fitting) if self.assisted else max(fitting)

    def reached(self, exposure: Exposure) -> bool:
        """Whether every set was done with the reps and the load that are asked for."""
        work = self.work_of(exposure)
        return len(work) == self.asked.sets and all(
            one.amount >= target and self.no_harder(self.asked.load, one.load)
            for one, target in zip(work, self.asked.targets, strict=True)
        )

    def fell_short(self, exposure: Exposure) -> bool:
        """Whether a set that was done missed its target, at whatever load."""
        pairs = zip(self.amounts_of(exposure), self.asked.targets, strict=False)
        return any(amount < target for amount, target in pairs)

    def only_cut_short(self, exposure: Exposure) -> bool:
        """Whether sets are missing in the log, and those that are there reached their target."""
        return len(self.work_of(exposure)) < self.asked.sets and not self.fell_short(exposure)

    def tried(self, exposure: Exposure) -> bool:
        """Whether the present target was the plan of that day, as far as is known."""
        was, now = exposure.planned, self.asked
        return was is None or (was.exercise.key, was.targets, was.load) == (
            now.exercise.key,
            now.targets,
            now.load,
        )

    @cached_property
    def misses(self) -> int:
        """How often running the present target was tried and missed, until now.

        Sets that were not logged are no misses: nothing says whether they were done.
        """
        count = 0
        for exposure in reversed(self.usual):
            if self.reached(exposure) or not self.tried(exposure):
                break
            count += not self.only_cut_short(exposure)
        return count

    def pains(self) -> tuple[int, ...]:
        """The worst pain of each of the last two exposures of any week, latest first."""
        return tuple(
            self._worst_pain(one) for one in self.exposures[: -1 - int(PAIN_REMEMBERED.value) : -1]
        )

    def _worst_pain(self, exposure: Exposure) -> int:
        mine = (one for one in exposure.sets if one.exercise.key == self.exercise.key)
        return max((one.pain or 0 for one in mine), default=0)

    def bottom_of(self, rung: Exercise) -> int:
        """Where targets begin on a rung, which may count seconds where this one counts reps."""
        start = start_of(self.asked.part, rung)
        if rung.measure is not self.exercise.measure:
            return start
        if rung.measure is Measure.REPS:
            return self.range.bottom
        return min(max(start, self.range.bottom), self.range.top)


class Known(TypedDict, total=False):
    """What a proposal rests on besides the log; see ``case_of``."""

    loads: Required[tuple[float, ...]]
    harder: Required[Exercise | None]
    easier: Required[Exercise | None]
    body_weight: Required[float]
    range_: tuple[int, int] | None
    rung_loads: Mapping[str, tuple[float, ...]] | None
    ahead: Ahead | None


def _with_load_found(
    asked: Prescription, exposures: Sequence[Exposure], loads: Collection[float]
) -> Prescription:
    """What is asked at the easiest load last used, where the plan left the load to be found.

    Only a load that the equipment still makes is gone on from.
    """
    if not is_to_choose(asked.exercise, asked.load):
        return asked
    key = asked.exercise.key
    done = (one for one in reversed(exposures) if one.kind is WeekKind.BUILD)
    found = (
        [each.load for each in one.sets if each.exercise.key == key and not each.warm_up]
        for one in done
    )
    used = [load for load in next((one for one in found if one), []) if load > 0 and load in loads]
    if not used:
        return asked
    easiest = max if asked.exercise.load_kind is LoadKind.ASSISTED else min
    return replace(asked, load=easiest(used))


def case_of(
    prescription: Prescription, exposures: Sequence[Exposure], **known: Unpack[Known]
) -> Case:
    """Everything a proposal rests on, checked.

    Of what is known, ``loads`` is what the client's equipment can make for this exercise [kg],
    ``harder`` and ``easier`` are the neighbouring rungs that the client may do, if any, and
    ``body_weight`` is in [kg]. ``range_`` is the fewest and most repetitions (or seconds) a set,
    the usual ones if none; ``rung_loads`` the loads of neighbouring rungs by exercise key [kg],
    easiest first; ``ahead`` what is told of the sessions to come, and what forbids a step up.

    Raises:
        ValueError: when there are no sets, the range is none, or dates run backwards.
    """
    if not prescription.targets:
        message = f"{prescription.exercise.name} has no sets; plan at least one."
        raise ValueError(message)
    days = [one.on for one in exposures]
    if days != sorted(days):
        message = "Exposures must come oldest first."
        raise ValueError(message)
    usual = usual_range(prescription.part, prescription.exercise.measure)
    range_ = known.get("range_")
    asked = _with_load_found(prescription, exposures, known["loads"])
    return Case(
        asked=asked,
        exposures=tuple(exposures),
        loads=known["loads"] or (asked.load,),
        harder=known["harder"],
        easier=known["easier"],
        body_weight=known["body_weight"],
        range=Range(*range_, step=usual.step) if range_ else usual,
        rung_loads=known.get("rung_loads") or {},
        ahead=known.get("ahead") or Ahead(),
    )
