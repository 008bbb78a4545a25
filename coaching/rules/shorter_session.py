"""A session made to end on time: what goes first, and what stays. Common practice, no source.

Every muscle keeps some work before any keeps all of it: who comes in spite of little time keeps
more of a whole session made small than of half a session. What gives way, a set of both
exercises of a pair at a time so that pushing stays equal to pulling:

1. rests between the exercises of a pair, down to the shortest usual of their part, where asked;
2. straight sets of primary work down to six, as beginners have seven and more;
3. prehab down to half of its sets, never below;
4. a set of each pair of isolation, supplementary and primary work, in this order;
5. isolation and supplementary work down to two sets;
6. isolation left out, then primary work down to its usual five sets;
7. supplementary pairs left out, the last one first;
8. primary work down to three sets, never left out.

No pair is left out that a movement goal stands in, nor the last one that trains a muscle or a
pattern; where a session has to end on time whatever it costs, such a pair goes after all else.
What more was taken than the minutes need is given back, the most important first. Tempo and
repetitions stay: less work, done as well.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from coaching.rules.block_numbers import (
    SHORTER_PRIMARY_LONG,
    SHORTER_PRIMARY_USUAL,
    SHORTER_REST_STEP,
    SHORTEST_REST,
)
from coaching.rules.next_block_volume import NO_HARM, Harm
from coaching.rules.plan import Exercise, Muscle, Pair, Part, Pattern, PlannedSession, Prescription
from coaching.rules.session_clock import fits, session_minutes
from coaching.rules.set_bounds import fewest_sets
from coaching.rules.set_counts import lean, side_sets

RULE = (
    "A session that is too long loses straight sets above six first, then prehab down to half, a "
    "set off every pair, then more of isolation and supplementary work; pairs are left out last, "
    "the last one of a muscle only where nothing else helps, and primary work keeps three sets."
)

MILD_RULE = (
    "Of the sets that may go, those go first that put no muscle out of its range, nor further out."
)

_SIDES = {Pattern.PUSH: 1, Pattern.PULL: -1}
_WORK = (Part.ISOLATION, Part.SUPPLEMENTARY, Part.PRIMARY)


@dataclass(frozen=True, slots=True)
class Cut:
    """What one letter lost: sets of its longer exercise before and after, 0 when left out.

    ``rests`` are the longest rests before and after [s].
    """

    letter: str
    names: tuple[str, ...]
    before: int
    after: int
    rests: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class ShorterSession:
    """A session that ends on time or as near as the rule lets it, and what that took.

    ``minutes`` are those before and after [min], rounded as they are told.
    """

    session: PlannedSession
    cuts: tuple[Cut, ...]
    minutes: tuple[int, int]
    fits: bool


_Step = Callable[[PlannedSession, Pair], PlannedSession]
_May = Callable[[Pair], bool]


def shorter_session(
    session: PlannedSession,
    budget: float,
    *,
    kept: Collection[str] = (),
    whole: Collection[str] = (),
    elsewhere: Iterable[Exercise] = (),
    rests: bool = False,
    whatever_it_costs: bool = False,
    harm: Callable[[PlannedSession], Harm] | None = None,
) -> ShorterSession:
    """The session with as little left out as makes it end within the budget [min].

    Args:
        session: The planned session, with a key of its own on every prescription.
        budget: Minutes that the client has [min].
        kept: Keys of exercises that are never left out: those of movement goals.
        whole: Keys of prescriptions whose pairs keep all of their sets.
        elsewhere: What else the week trains: the work of its other sessions.
        rests: Whether rests may be shortened too.
        whatever_it_costs: Whether the last pair of a muscle goes where nothing else helps.
        harm: What a week comes to with the session so: of steps of one tier that which makes
            it no worse comes first, where that is better in the end.
    """
    cutting = _Cutting(
        *(session, frozenset(kept), frozenset(whole), tuple(elsewhere)), rests, whatever_it_costs
    )
    now = _ended(session, cutting, budget, None)
    does_harm = harm is not None and harm(now) > NO_HARM
    if harm is not None and (does_harm or not fits(session_minutes(now), budget)):
        # Which order does the least harm is seen at the end.
        ends = (now, _ended(session, cutting, budget, harm))
        now = min(ends, key=lambda one: (not fits(session_minutes(one), budget), harm(one)))
    clock = session_minutes(now)
    minutes = (round(session_minutes(session).total), round(clock.total))
    return ShorterSession(now, tuple(_cuts(session, now)), minutes, fits(clock, budget))


def _ended(
    session: PlannedSession,
    cutting: "_Cutting",
    budget: float,
    harm: Callable[[PlannedSession], Harm] | None,
) -> PlannedSession:
    """What a session comes to, with what was taken in vain given back."""
    now = session
    while not fits(session_minutes(now), budget):
        tiers = (_mildest(tier, now, harm) for tier in cutting.smaller(now))
        smaller = next((one for one in tiers if one is not None), None)
        if smaller is None:
            break
        now = smaller
    while now != session:
        larger = (one for one in cutting.larger(now) if fits(session_minutes(one), budget))
        given = _mildest(larger, None, harm)
        if given is None:
            break
        now = given
    return now


def _mildest(
    found: Iterator[PlannedSession],
    now: PlannedSession | None,
    harm: Callable[[PlannedSession], Harm] | None,
) -> PlannedSession | None:
    """The first that does no more harm than now, else the first of those that do the least."""
    if harm is None:
        return next(found, None)
    limit = None if now is None else harm(now)
    best: tuple[Harm, PlannedSession] | None = None
    for one in found:
        does = harm(one)
        if limit is not None and does <= limit:
            return one
        if best is None or does < best[0]:
            best = does, one
    return None if best is None else best[1]


@dataclass(frozen=True)
class _Cutting:
    """What may go of one session, and in which order."""

    session: PlannedSession
    kept: frozenset[str]
    whole: frozenset[str]
    elsewhere: tuple[Exercise, ...]
    rests: bool
    whatever_it_costs: bool

    def smaller(self, now: PlannedSession) -> Iterator[Iterator[PlannedSession]]:
        """Sessions one step shorter, tier by tier, in each the best step first."""
        usual, least = SHORTER_PRIMARY_USUAL.value, self._least
        yield self._fewer_sets(now)
        yield self._out(now, Part.ISOLATION)
        yield self._down(now, Part.PRIMARY, lambda _: int(usual))
        yield self._out(now, Part.SUPPLEMENTARY)
        yield self._down(now, Part.PRIMARY, least)
        if self.whatever_it_costs and len(now.pairs) > 1:
            for part in (Part.ISOLATION, Part.SUPPLEMENTARY):
                yield self._tried(now, part, self._is_no_goal, _without)

    def _fewer_sets(self, now: PlannedSession) -> Iterator[PlannedSession]:
        """A set less here or there, with all pairs in it."""
        if self.rests:
            for part in _WORK:
                yield from self._tried(now, part, _rests_on, _rests_less)
        long = SHORTER_PRIMARY_LONG.value
        least, fewer = self._least, self._one_less
        yield from self._down(now, Part.PRIMARY, lambda _: int(long))
        yield from self._down(now, Part.PREHAB, least)
        for part in _WORK:
            yield from self._down(now, part, fewer)
        for part in (Part.ISOLATION, Part.SUPPLEMENTARY):
            yield from self._down(now, part, least)

    def larger(self, now: PlannedSession) -> Iterator[PlannedSession]:
        """Sessions with a set given back, where it matters most first; then rests."""
        long = SHORTER_PRIMARY_LONG.value
        for part in (Part.PRIMARY, Part.SUPPLEMENTARY, Part.ISOLATION, Part.PREHAB):
            most = long if part is Part.PRIMARY else self._most_sets

            def has_lost(pair: Pair, most: float = most) -> bool:
                return _sets(pair) < min(most, _sets(self._was(pair)))

            yield from self._tried(now, part, has_lost, self._more)
        yield from self._tried(
            now, Part.PRIMARY, lambda one: _sets(one) < _sets(self._was(one)), self._more
        )
        for part in reversed(_WORK):
            yield from self._tried(
                now, part, lambda one: _rests(one) != _rests(self._was(one)), self._rests_back
            )

    @property
    def _most_sets(self) -> int:
        return max(map(_sets, self.session.pairs), default=0)

    def _was(self, pair: Pair) -> Pair:
        return next(one for one in self.session.pairs if one.letter == pair.letter)

    def _least(self, pair: Pair) -> int:
        """The fewest sets that a pair keeps before it is left out, if it may be."""
        return fewest_sets(pair.part, _sets(self._was(pair)))

    def _one_less(self, pair: Pair) -> int:
        """A set less than it had; long straight sets were brought down before and count from there."""
        had = _sets(self._was(pair))
        if pair.part is Part.PRIMARY:
            had = min(had, int(SHORTER_PRIMARY_LONG.value))
        return max(self._least(pair), had - 1)

    def _down(
        self, now: PlannedSession, part: Part, floor: Callable[[Pair], int]
    ) -> Iterator[PlannedSession]:
        """A set less of each exercise of a pair, where it has more than the floor."""

        def less(session: PlannedSession, pair: Pair) -> PlannedSession:
            lines = (
                replace(one, targets=one.targets[:-1]) if one.sets > floor(pair) else one
                for one in pair.prescriptions
            )
            return _with(session, pair, lines)

        return self._tried(now, part, lambda one: _sets(one) > floor(one), less)

    def _out(self, now: PlannedSession, part: Part) -> Iterator[PlannedSession]:
        return self._tried(now, part, lambda one: self._may_go(now, one), _without, is_spare=True)

    def _is_no_goal(self, pair: Pair) -> bool:
        return self.kept.isdisjoint(one.exercise.key for one in pair.prescriptions)

    def _may_go(self, now: PlannedSession, pair: Pair) -> bool:
        """Whether no goal stands in a pair and all that it trains is trained beside it."""
        if not self._is_no_goal(pair):
            return False
        own = [one.exercise for one in pair.prescriptions]
        beside = [*self.elsewhere, *_work_of(one for one in now.pairs if one is not pair)]
        return all(_is_trained(one, beside) for one in own)

    def _tried(
        self, now: PlannedSession, part: Part, may: _May, step: _Step, *, is_spare: bool = False
    ) -> Iterator[PlannedSession]:
        """A step at each pair of a part from the end; with a second pair where the session would lean."""

        def is_open(pair: Pair) -> bool:
            free = self.whole.isdisjoint(one.key for one in pair.prescriptions)
            return pair.part is part and free and may(pair)

        pairs = [one for one in reversed(now.pairs) if is_open(one)]
        for pair in pairs:
            after = step(now, pair)
            both = (step(after, one) for one in pairs if one is not pair)
            level = (one for one in (after, *both) if _lean(one) <= _lean(now) and one != now)
            found = next(level, None)
            # Of two pairs left out together neither may have been what made the other spare.
            if found is not None and (not is_spare or self._is_whole(now, found)):
                yield found

    def _is_whole(self, now: PlannedSession, after: PlannedSession) -> bool:
        beside = [*self.elsewhere, *_work_of(after.pairs)]
        gone = (one for one in now.pairs if one not in after.pairs)
        return all(_is_trained(line.exercise, beside) for one in gone for line in one.prescriptions)

    def _more(self, session: PlannedSession, pair: Pair) -> PlannedSession:
        """A set given back to each exercise of a pair that has lost as many."""
        was = {one.key: one.targets for one in self._was(pair).prescriptions}
        most = _sets(pair) + 1
        lines = (replace(one, targets=was[one.key][:most]) for one in pair.prescriptions)
        return _with(session, pair, lines)

    def _rests_back(self, session: PlannedSession, pair: Pair) -> PlannedSession:
        was = {one.key: one.rest for one in self._was(pair).prescriptions}
        step = int(SHORTER_REST_STEP.value)
        lines = (
            replace(one, rest=min(was[one.key], one.rest + step)) for one in pair.prescriptions
        )
        return _with(session, pair, lines)


def _is_trained(exercise: Exercise, beside: Collection[Exercise]) -> bool:
    """Whether what is beside an exercise has its pattern and trains its main movers.

    Presses and rows train arms and shoulders too; legs and trunk need an exercise of their own.
    """
    if not any(one.pattern is exercise.pattern for one in beside):
        return False
    helps = exercise.pattern in _SIDES
    trained: set[Muscle] = {
        share.muscle for one in beside for share in one.muscles if helps or share.is_direct
    }
    return trained.issuperset(one.muscle for one in exercise.muscles if one.is_direct)


def _work_of(pairs: Iterable[Pair]) -> Iterator[Exercise]:
    for pair in pairs:
        if pair.part in _WORK:
            yield from (one.exercise for one in pair.prescriptions)


def _lean(session: PlannedSession) -> int:
    """By how many sets a session pushes more than it pulls, or the other way."""
    return lean(side_sets(session.prescriptions))


def _rests_on(pair: Pair) -> bool:
    """Whether a pair rests longer than the shortest usual; straight sets need theirs."""
    shortest = SHORTEST_REST.rows[pair.part.value][0]
    return len(pair.prescriptions) > 1 and any(one.rest > shortest for one in pair.prescriptions)


def _rests_less(session: PlannedSession, pair: Pair) -> PlannedSession:
    shortest = int(SHORTEST_REST.rows[pair.part.value][0])
    step = int(SHORTER_REST_STEP.value)
    lines = (
        replace(one, rest=max(shortest, one.rest - step)) if one.rest > shortest else one
        for one in pair.prescriptions
    )
    return _with(session, pair, lines)


def _with(session: PlannedSession, pair: Pair, lines: Iterable[Prescription]) -> PlannedSession:
    made = replace(pair, prescriptions=tuple(lines))
    pairs = tuple(made if one.letter == pair.letter else one for one in session.pairs)
    return replace(session, pairs=pairs)


def _without(session: PlannedSession, pair: Pair) -> PlannedSession:
    pairs = tuple(one for one in session.pairs if one.letter != pair.letter)
    return replace(session, pairs=pairs)


def _cuts(before: PlannedSession, after: PlannedSession) -> Iterator[Cut]:
    left = {pair.letter: pair for pair in after.pairs}
    for pair in before.pairs:
        now = left.get(pair.letter)
        if now != pair:
            names = tuple(one.exercise.name for one in pair.prescriptions)
            rests = (max(_rests(pair)), max(_rests(now or pair)))
            yield Cut(pair.letter, names, _sets(pair), _sets(now) if now else 0, rests)


def _sets(pair: Pair) -> int:
    return max(one.sets for one in pair.prescriptions)


def _rests(pair: Pair) -> tuple[int, ...]:
    return tuple(one.rest for one in pair.prescriptions)
