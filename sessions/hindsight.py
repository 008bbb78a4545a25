"""What became of a decision: the next times of its exercise, and whether all of it was made."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import exp
from typing import Any

from coaching.rules import exposures as strength
from coaching.rules.plan import WeekKind
from coaching.rules.progression import Exposure
from sessions.models import Decision, DecisionKind
from sessions.review_words import asked_words
from sessions.set_rows import Place
from sessions.set_words import done_words

TIMES_SHOWN = 2


class Did(StrEnum):
    """What the coach did about a proposal."""

    ACCEPTED = "accepted as proposed"
    BY_ITSELF = "stepped up by itself"
    CHANGED = "changed by you"
    HELD = "held instead"
    SWAPPED = "swapped by you"
    LEFT = "left as it was"
    LIGHT_WEEK = "light week"
    OPEN = "not decided"


class After(StrEnum):
    """What the next time of the exercise came to."""

    MADE = "all made"
    SHORT = "fell short"
    NOT_YET = "not trained since"
    UNASKED = "done without a target"


@dataclass(frozen=True)
class Time:
    """One time of an exercise after a decision: what was asked and what was done."""

    on: date
    asked: str
    done: str
    after: After


@dataclass(frozen=True)
class Hindsight:
    """What happened after a decision: the next times, and the change of the strength shown [%]."""

    times: tuple[Time, ...] = ()
    change: str = ""

    @property
    def after(self) -> After:
        """What the next time came to."""
        return self.times[0].after if self.times else After.NOT_YET


Strength = Mapping[str, Sequence[strength.Exposure]]


@dataclass(frozen=True)
class Course:
    """What was done since the earliest decision that is looked at, exercise by exercise."""

    done: Mapping[Place, Sequence[Exposure]]
    strength: Strength

    def after(
        self,
        names: Iterable[str],
        part: str,
        since: date,
        last: date | None,
        lines: Collection[str] = (),
    ) -> Hindsight:
        """The next times of an exercise by one of these names, the first that was trained.

        Args:
            names: The exercise decided on, and before it the one it was changed to.
            part: The part of the session.
            since: The day of the decision.
            last: The last time before it, if that is known.
            lines: The uids of the lines that it was about, none for all of the exercise.
        """
        for name in names:
            own = [
                one
                for (_, where), found in self.done.items()
                for one in found
                if where == part and _name(one) == name and one.kind is WeekKind.BUILD
                if not lines or (one.planned is not None and one.planned.key in lines)
            ]
            later = [one for one in own if one.on >= since and (last is None or one.on > last)]
            if later:
                times = tuple(_time(one) for one in later[:TIMES_SHOWN])
                return Hindsight(times, self._change(later[0], times[0].on, times[-1].on))
        return Hindsight()

    def _change(self, one: Exposure, first: date, last: date) -> str:
        """How strength shown differs from the last time before: by the mean of all sets."""
        key = one.sets[0].exercise.key
        known = self.strength.get(key, ())
        before = [item for item in known if item.on < first]
        after = [item for item in known if first <= item.on <= last]
        if not before or not after:
            return ""
        per_cent = round((exp(after[-1].index - before[-1].index) - 1) * 100)
        return f"{per_cent:+d} %".replace("-", "−") if per_cent else "the same"


def _name(one: Exposure) -> str:
    return one.sets[0].exercise.name if one.sets else ""


def _time(one: Exposure) -> Time:
    work = [s for s in one.sets if not s.warm_up]
    exercise = one.sets[0].exercise
    done = done_words(
        [s.amount for s in work], [s.load for s in work], exercise.measure, exercise.load_kind
    )
    asked = asked_words(one.planned) if one.planned else ""
    return Time(one.on, asked, done, _after(one))


def _after(one: Exposure) -> After:
    """Made when every set asked for was done with all its repetitions."""
    if one.planned is None:
        return After.UNASKED
    work = [s.amount for s in one.sets if not s.warm_up]
    targets = one.planned.targets
    made = len(work) >= len(targets) and all(
        amount >= target for amount, target in zip(work, targets, strict=False)
    )
    return After.MADE if made else After.SHORT


def did(decision: Decision) -> Did:
    """What the coach did, from what is kept with the decision."""
    kind, said = decision.kind, decision.proposal
    if kind == DecisionKind.DELOAD:
        return Did.LIGHT_WEEK
    if kind == DecisionKind.LEAVE:
        return Did.LEFT
    if decision.automatic:
        return Did.BY_ITSELF
    if not said.get("changed_by_coach", "what" in said):
        return Did.ACCEPTED
    return {DecisionKind.HOLD.value: Did.HELD, DecisionKind.SWAP.value: Did.SWAPPED}.get(
        kind, Did.CHANGED
    )


def names_of(said: Mapping[str, Any]) -> tuple[str, ...]:
    """The exercise that a decision changed to, if it did, and the one that it was about."""
    return tuple(name for name in (said.get("to", ""), said.get("exercise", "")) if name)


def last_of(said: Mapping[str, Any]) -> date | None:
    """The last time before a decision, where it is kept."""
    on = said.get("last_on", "")
    return date.fromisoformat(on) if on else None
