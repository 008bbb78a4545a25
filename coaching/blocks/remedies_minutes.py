"""Remedies for a session that is too long: sets, rests, or all that it takes at once.

A set of a muscle that is under its range, or would be, is asked for only where nothing else is
enough; the button says what it costs. The act knows no movement goals: what it would leave out
is named, and the coach decides.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.editing.shorten_acts import made_shorter
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.kept import Kept
from coaching.blocks.plan_figures import KEPT_SESSIONS, SessionFigures
from coaching.blocks.remedies_price import Ranges, price, ranges_of
from coaching.blocks.remedies_sets import changeable, rests_less, sets_less
from coaching.blocks.trials import Bench, Trial, Tried, act, tried
from coaching.blocks.week_sizes import lean_of
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.plan import Part, PlannedSession
from coaching.rules.session_clock import fits

_GIVE = (Part.ISOLATION, Part.SUPPLEMENTARY, Part.PREHAB, Part.PRIMARY)
"""What gives a set first, as in a session that is shortened by the rule."""
_MOST = 2


@dataclass(frozen=True, slots=True)
class _Way:
    """An act that was tried, and what it comes to."""

    tried: Tried
    cost: str
    is_enough: bool

    @property
    def remedy(self) -> Remedy:
        """The remedy, its price on the button."""
        remedy = self.tried.remedy
        return replace(remedy, words=f"{remedy.words}: {self.cost}") if self.cost else remedy


def for_minutes(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """What ends a session sooner; or why nothing is offered that ends it on time."""
    ways: list[Remedy] = []
    why = ""
    ranges = ranges_of(bench.scene)
    for figures in changeable(placed, bench.scene):
        found, told = _shorter(figures, bench.whole, ranges)
        ways += found
        why = why or told
    return replace(placed, remedies=tuple(ways[:_MOST]), way_out=why)


_kept: Kept[tuple[tuple[Remedy, ...], str]] = Kept(KEPT_SESSIONS)


def _shorter(
    figures: SessionFigures, whole: WholeBlock, ranges: Ranges
) -> tuple[tuple[Remedy, ...], str]:
    """Of each way to end sooner the first; kept, as it follows from session and ranges alone.

    Fewer sets and shorter rests make nothing worse that is as pressing as a session too long.
    """
    facts = whole.facts

    def ways(found: Iterable[Tried]) -> Iterator[_Way]:
        for one in found:
            (after,) = one.after
            is_less = after.minutes.total < figures.minutes.total
            if is_less and lean_of(after) <= lean_of(figures):
                cost = price(ranges, one.before, one.after)
                yield _Way(one, cost, fits(after.minutes, facts.minutes))

    def looked_for() -> tuple[tuple[Remedy, ...], str]:
        sets = list(ways(one for part in _GIVE for one in sets_less(figures, whole, part)))
        rests = list(ways(rests_less(figures, whole)))
        chosen = _chosen(list(ways(_shortened(figures, whole))), sets, rests)
        is_enough = any(one.is_enough for one in chosen)
        why = "" if is_enough else _why_not(figures, facts)
        return tuple(one.remedy for one in chosen), why

    known = (figures, facts.minutes, facts.locked, facts.today, facts.begun, ranges)
    return _kept.of(known, looked_for)


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


def _shortened(figures: SessionFigures, whole: WholeBlock) -> Iterator[Tried]:
    """All that goes by the rule, where it is enough and nothing locked has to give."""
    session, budget = figures.session, whole.facts.minutes
    sent = act("shorten-session", session=session.key, minutes=str(budget))
    done = tried(Trial(f"Shorten to {budget} min", sent, (figures,)), whole)
    if done and fits(done.after[0].minutes, budget):
        words = ", ".join((done.remedy.words, *_taken(session, done.after[0].session)))
        yield done._replace(remedy=Remedy(words, sent))


def _taken(was: PlannedSession, now: PlannedSession) -> Iterator[str]:
    """What a session lost: 4 sets less, shorter rests, without Leg press."""
    left = {one.key: one for one in now.prescriptions}
    sets = sum(one.sets for one in was.prescriptions) - sum(one.sets for one in left.values())
    if sets:
        yield f"{sets} {'set' if sets == 1 else 'sets'} less"
    if any(one.key in left and left[one.key].rest < one.rest for one in was.prescriptions):
        yield "shorter rests"
    gone = [one for one in was.prescriptions if one.key not in left]
    named = [one.exercise.name for one in gone if one.part is not Part.ISOLATION]
    if named:
        yield f"without {' and '.join(named)}"


def _why_not(figures: SessionFigures, facts: ClientFacts) -> str:
    """Why no act ends a session on time."""
    session, short = figures.session, made_shorter(figures.session, facts.minutes)
    if not short.fits:
        return (
            f"With the fewest sets it still takes {short.minutes[1]} min: move an exercise to "
            "another session, or remove one."
        )
    left = {one.key: one for one in short.session.prescriptions}
    given = [one.key for one in session.prescriptions if left.get(one.key) != one]
    if not facts.locked.isdisjoint(given):
        return "To end on time, something locked would have to give sets or rest: unlock it first."
    return "One step alone is not enough: take it, and look again."
