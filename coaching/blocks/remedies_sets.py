"""Remedies that give or take a set or some rest: minutes, balance, sets per muscle.

What stands in a pair with its opposite gives and gains sets together with it, so that pushing
stays equal to pulling. A pair that is trained in turn rests as long as its two exercises alone,
so pairing wins no minutes by the clock and is no remedy here.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import NamedTuple

from coaching.blocks import remedies_swaps
from coaching.blocks.block_findings import WeekScene
from coaching.blocks.editing.values import REST_STEP
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.kept import Kept
from coaching.blocks.plan_figures import KEPT_SESSIONS, SessionFigures
from coaching.blocks.trials import Bench, Trial, Tried, act, tried
from coaching.blocks.week_sizes import lean_of
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.block_numbers import SHORTEST_REST
from coaching.rules.findings import Side
from coaching.rules.plan import Muscle, Pair, Part, Pattern, Prescription
from coaching.rules.session_clock import fits
from coaching.rules.set_bounds import fewest_by_steps, most_sets

_GIVES = (Part.ISOLATION, Part.SUPPLEMENTARY, Part.PRIMARY)
"""What matters least first; prehab gives a set for minutes only."""
_SIDES = frozenset({Pattern.PUSH, Pattern.PULL})
_MOST = 2


@dataclass(frozen=True, slots=True)
class Place:
    """Lines of one pair that change together."""

    figures: SessionFigures
    pair: Pair
    lines: tuple[Prescription, ...]

    @property
    def names(self) -> str:
        """The exercises in words."""
        return " and ".join(one.exercise.name for one in self.lines)

    def nudged(self, field: str, by: int) -> dict[str, str]:
        """The act: one step of a field for these lines."""
        name = "nudge-pair" if len(self.lines) > 1 else "nudge-line"
        return act(name, line=self.lines[0].key, field=field, by=str(by))


class _Load(NamedTuple):
    share: float
    is_direct: bool
    place: Place
    line: Prescription


def for_balance(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """A set more on the side that has fewer, or one less on the other when time is short."""
    ways = []
    for figures in changeable(placed, bench.scene):
        for one in _levelled(figures, bench.whole):
            # Found in several sessions, each remedy says in which.
            place = "" if len(placed.sessions) == 1 else f", {figures.session.name}"
            ways.append(replace(one, words=f"{one.words}{place}", name=f"{one.what}{place}"))
    return replace(placed, remedies=tuple(ways[:_MOST]))


def changeable(placed: PlacedFinding, scene: WeekScene) -> Iterator[SessionFigures]:
    """The sessions of a finding that may change."""
    for one in scene.week.sessions:
        if one.session.key in placed.keys and scene.facts.may_change(one.session):
            yield one


_kept: Kept[tuple[Remedy, ...]] = Kept(KEPT_SESSIONS)


def _levelled(figures: SessionFigures, whole: WholeBlock) -> tuple[Remedy, ...]:
    """The first set that levels a session in its time; kept, as it follows from it alone."""
    facts = whole.facts

    def helps(one: Tried) -> bool:
        (after,) = one.after
        is_longer = after.minutes.total > figures.minutes.total
        is_nearer = lean_of(after) < lean_of(figures)
        return is_nearer and (fits(after.minutes, facts.minutes) or not is_longer)

    def first() -> tuple[Remedy, ...]:
        ways = (tried(one, whole) for one in _levelling(figures, facts.locked))
        return tuple(one.remedy for one in islice((w for w in ways if w and helps(w)), 1))

    return _kept.of((figures, facts.minutes, facts.locked, facts.today, facts.begun), first)


def for_muscle(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """A set more of what trains a muscle most directly, an exercise for it, or a set less."""
    muscle, scene, shelf = placed.finding.muscle, bench.scene, bench.whole.shelf
    is_open = any(scene.facts.may_change(one.session) for one in scene.week.sessions)
    if muscle is None or not is_open:
        return placed
    loads = list(_loads_of(muscle, scene))
    if placed.finding.side is Side.ABOVE:
        ways, why = bench.best(placed, _muscle_less(loads))
        return replace(placed, remedies=tuple(ways), way_out=why)
    direct = [one for one in loads if one.is_direct]
    ways, why = bench.best(placed, _muscle_more(direct))
    if shelf is None or _is_trained(muscle, scene):
        return replace(placed, remedies=tuple(ways), way_out=why)
    return remedies_swaps.for_untrained(placed, muscle, bench, shelf)


def _is_trained(muscle: Muscle, scene: WeekScene) -> bool:
    """Whether some exercise of the week has a muscle as its main mover, prehab left out."""
    return any(
        share.muscle is muscle and share.is_direct
        for figures in scene.week.sessions
        for one in figures.session.prescriptions
        if one.part in _GIVES
        for share in one.exercise.muscles
    )


def _set_trial(place: Place, by: int) -> Trial:
    words = f"One set {'more' if by > 0 else 'less'} of {place.names}"
    return Trial(words, place.nudged("sets", by), (place.figures,), tells_minutes=True)


def _free_pairs(figures: SessionFigures, locked: frozenset[str], part: Part) -> Iterator[Pair]:
    for pair in figures.session.pairs:
        free = not any(one.key in locked for one in pair.prescriptions)
        if pair.part is part and free:
            yield pair


def sets_less(figures: SessionFigures, whole: WholeBlock, part: Part) -> Iterator[Tried]:
    """From the end of the session; in a pair the least that is enough, else the most."""

    def over(one: Tried) -> tuple[bool, int]:
        minutes = round(one.after[0].minutes.total) - whole.facts.minutes
        return minutes > 0, abs(minutes)

    for pair in reversed(list(_free_pairs(figures, whole.facts.locked, part))):
        places = [one for one in _giving(figures, pair) if _may_give(one)]
        found = (tried(_set_trial(one, -1), whole) for one in places)
        yield from sorted((one for one in found if one), key=over)


def _giving(figures: SessionFigures, pair: Pair) -> Iterator[Place]:
    """A push with its pull; what is neither also by itself."""
    lines = pair.prescriptions
    neutral = [one for one in lines if _side(one) is None]
    for one in reversed(neutral):
        yield Place(figures, pair, (one,))
    if len(lines) > 1 or not neutral:
        yield Place(figures, pair, lines)


def _may_give(place: Place) -> bool:
    return all(one.sets > fewest_by_steps(one.part) for one in place.lines)


def _may_gain(place: Place) -> bool:
    return all(one.sets < most_sets() for one in place.lines)


def rests_less(figures: SessionFigures, whole: WholeBlock) -> Iterator[Tried]:
    """A step of rest less, what matters least first, never below what its part takes."""
    for part in _GIVES:
        shortest = SHORTEST_REST.rows[part.value][0]
        for pair in reversed(list(_free_pairs(figures, whole.facts.locked, part))):
            place = Place(figures, pair, pair.prescriptions)
            if all(one.rest - REST_STEP >= shortest for one in place.lines):
                words = f"Rest {REST_STEP} s less after {place.names}"
                trial = Trial(words, place.nudged("rest", -1), (figures,), tells_minutes=True)
                if done := tried(trial, whole):
                    yield done


def _levelling(figures: SessionFigures, locked: frozenset[str]) -> Iterator[Trial]:
    few, many = Pattern.PUSH, Pattern.PULL
    if figures.balance.push_sets > figures.balance.pull_sets:
        few, many = many, few
    places = [
        Place(figures, pair, (one,))
        for pair in figures.session.pairs
        for one in pair.prescriptions
        if one.key not in locked
    ]
    short = [one for one in places if _side(one.lines[0]) is few and _may_gain(one)]
    long = [
        one
        for one in places
        if _side(one.lines[0]) is many and one.pair.part in _GIVES and _may_give(one)
    ]
    for one in sorted(short, key=lambda place: place.lines[0].sets):
        yield _set_trial(one, 1)
    # Primary work gives last, however many sets it has.
    for one in sorted(
        long, key=lambda place: (_GIVES.index(place.pair.part), -place.lines[0].sets)
    ):
        yield _set_trial(one, -1)


def _loads_of(muscle: Muscle, scene: WeekScene) -> Iterator[_Load]:
    """What trains a muscle in the sessions that may change, those that give a set among them."""
    for figures in scene.week.sessions:
        if not scene.facts.may_change(figures.session):
            continue
        for part in _GIVES:
            for pair in _free_pairs(figures, scene.facts.locked, part):
                for one in pair.prescriptions:
                    for s in one.exercise.muscles:
                        if s.muscle is muscle:
                            place = _together(figures, pair, one)
                            yield _Load(s.share, s.is_direct, place, one)


def _together(figures: SessionFigures, pair: Pair, one: Prescription) -> Place:
    """The line alone, or with its opposite in the pair, so that the session stays balanced."""
    opposite = [o for o in pair.prescriptions if _side(o) not in {None, _side(one)}]
    both = _side(one) is not None and opposite
    return Place(figures, pair, pair.prescriptions if both else (one,))


def _alone(load: _Load) -> Place:
    return replace(load.place, lines=(load.line,))


def _muscle_more(loads: Sequence[_Load]) -> Iterator[Trial]:
    for load in sorted(loads, key=lambda one: (-one.share, one.line.sets)):
        for place in _ways(load, 1):
            if _may_gain(place):
                yield _set_trial(place, 1)


def _muscle_less(loads: Sequence[_Load]) -> Iterator[Trial]:
    by_part = sorted(
        loads, key=lambda one: (_GIVES.index(one.place.pair.part), -one.share, -one.line.sets)
    )
    for load in by_part:
        for place in _ways(load, -1):
            if _may_give(place):
                yield _set_trial(place, -1)


def _ways(load: _Load, by: int) -> Iterator[Place]:
    """Alone where the session leans the other way, or the exercise is on no side."""
    side, balance = _side(load.line), load.place.figures.balance
    lean = balance.push_sets - balance.pull_sets
    towards = by if side is Pattern.PUSH else -by
    if side is None or lean * towards < 0:
        yield _alone(load)
    elif len(load.place.lines) > 1:
        yield load.place


def _side(one: Prescription) -> Pattern | None:
    """The side of a line that counts in the balance; none for all others."""
    counts = one.part is not Part.WARM_UP and one.sets > 0
    return one.exercise.pattern if counts and one.exercise.pattern in _SIDES else None
