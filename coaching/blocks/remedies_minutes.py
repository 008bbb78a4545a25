"""Remedies for a session that is too long: sets, rests, or all that it takes at once.

A set of a muscle that is under its range, or would be, is asked for only where nothing else is
enough; the button says what it costs. The act knows no movement goals: what it would leave out
is named, and the coach decides.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from coaching.blocks.block_findings import WeekScene
from coaching.blocks.editing.shorten_acts import made_shorter
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import KEPT_SESSIONS, SessionFigures
from coaching.blocks.remedies_price import Ranges, price, ranges_of
from coaching.blocks.remedies_sets import changeable, is_leaning_more, rests_less, sets_less
from coaching.blocks.trials import Trial, act
from coaching.rules.plan import Part, Prescription
from coaching.rules.session_clock import fits
from coaching.rules.shorter_session import ShorterSession

_GIVE = (Part.ISOLATION, Part.SUPPLEMENTARY, Part.PREHAB, Part.PRIMARY)
"""What gives a set first, as in a session that is shortened by the rule."""
_MOST = 2


@dataclass(frozen=True, slots=True)
class _Way:
    """A trial and what it comes to."""

    trial: Trial
    cost: str
    is_enough: bool

    @property
    def remedy(self) -> Remedy:
        """The remedy, its price on the button."""
        words = self.trial.remedy.words
        return (
            replace(self.trial.remedy, words=f"{words}: {self.cost}")
            if self.cost
            else (self.trial.remedy)
        )


def for_minutes(placed: PlacedFinding, scene: WeekScene) -> PlacedFinding:
    """What ends a session sooner; or why nothing is offered that ends it on time."""
    ways: list[Remedy] = []
    why = ""
    ranges = ranges_of(scene)
    for figures in changeable(placed, scene):
        found, told = _shorter(figures, scene.facts.minutes, scene.facts.locked, ranges)
        ways += found
        why = why or told
    return replace(placed, remedies=tuple(ways[:_MOST]), way_out=why)


@lru_cache(maxsize=KEPT_SESSIONS)
def _shorter(
    figures: SessionFigures, minutes: int, locked: frozenset[str], ranges: Ranges
) -> tuple[tuple[Remedy, ...], str]:
    """Of each way to end sooner the first; kept, as it follows from session and ranges alone.

    Fewer sets and shorter rests make nothing worse that is as pressing as a session too long.
    """

    def ways(trials: Iterator[Trial]) -> Iterator[_Way]:
        for trial in trials:
            after = SessionFigures(trial.sessions[0])
            is_less = after.minutes.total < figures.minutes.total
            if is_less and not is_leaning_more(figures, after):
                cost = price(ranges, figures, after)
                yield _Way(trial, cost, fits(after.minutes, minutes))

    short = made_shorter(figures.session, minutes)
    whole = list(ways(_shortened(figures, short, minutes, locked)))
    sets = list(ways(t for part in _GIVE for t in sets_less(figures, minutes, locked, part)))
    rests = list(ways(rests_less(figures, locked)))
    chosen = _chosen(whole, sets, rests)
    is_enough = any(one.is_enough for one in chosen)
    why = "" if is_enough else _why_not(figures, short, locked)
    return tuple(one.remedy for one in chosen), why


def _chosen(whole: Sequence[_Way], sets: Sequence[_Way], rests: Sequence[_Way]) -> tuple[_Way, ...]:
    """Those without a price first; one with a price only where no other one is enough."""
    steps = [one for ways in (sets, rests) if (one := _first_free(ways))]
    if any(one.is_enough for one in steps):
        return tuple(steps[:_MOST])
    free = [*(one for one in whole if not one.cost), *steps]
    if any(one.is_enough for one in free):
        return tuple(free[:_MOST])
    dear = [one for one in (*sets, *whole) if one.is_enough]
    if dear:
        first = (*free, *sets)[: _MOST - 1]
        return (*(one for one in first if one is not dear[0]), dear[0])
    return tuple(free[:_MOST]) if free else tuple(sets[:1])


def _first_free(ways: Sequence[_Way]) -> _Way | None:
    """The first without a price, one that is enough before one that is not."""
    free = [one for one in ways if not one.cost]
    return next((one for one in free if one.is_enough), free[0] if free else None)


def _shortened(
    figures: SessionFigures, shorter: ShorterSession, budget: int, locked: frozenset[str]
) -> Iterator[Trial]:
    """All that goes by the rule, where it is enough and nothing locked has to give."""
    session = figures.session
    given = _given(figures, shorter)
    if shorter.fits and not any(one.key in locked for one in given):
        left = {one.key: one for one in shorter.session.prescriptions}
        sets = sum(one.sets - (left[one.key].sets if one.key in left else 0) for one in given)
        gone = [o for o in given if o.key not in left and o.part is not Part.ISOLATION]
        is_quicker = any(one.key in left and left[one.key].rest < one.rest for one in given)
        words = (
            f"Shorten to {budget} min",
            *((f"{sets} {'set' if sets == 1 else 'sets'} less",) if sets else ()),
            *(("shorter rests",) if is_quicker else ()),
            *((f"without {' and '.join(one.exercise.name for one in gone)}",) if gone else ()),
        )
        sent = act("shorten-session", session=session.key, minutes=str(budget))
        yield Trial(Remedy(", ".join(words), sent), (shorter.session,))


def _given(figures: SessionFigures, shorter: ShorterSession) -> list[Prescription]:
    """What has fewer sets in the shorter session, or shorter rests, or is gone."""
    left = {one.key: one for one in shorter.session.prescriptions}
    return [one for one in figures.session.prescriptions if left.get(one.key) != one]


def _why_not(figures: SessionFigures, shorter: ShorterSession, locked: frozenset[str]) -> str:
    """Why no act ends a session on time."""
    if not shorter.fits:
        return (
            f"With the fewest sets it still takes {shorter.minutes[1]} min: move an exercise to "
            "another session, or remove one."
        )
    if any(one.key in locked for one in _given(figures, shorter)):
        return "To end on time, something locked would have to give sets or rest: unlock it first."
    return "One step alone is not enough: take it, and look again."
