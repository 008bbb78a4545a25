"""A session made to end on time: what goes first, and what stays. Common practice, no source.

What is done last and matters least gives way first, a set of both exercises of a pair at a
time, so that pushing stays equal to pulling:

1. isolation, from the end of the session, down to two sets and then left out;
2. supplementary work, from the end, down to two sets;
3. prehab down to half of its sets, never below;
4. primary work down to five sets where it has more, as beginners have in straight sets;
5. supplementary pairs left out, the last one first, unless a movement goal stands in them;
6. primary work down to three sets, never left out.

Tempo, rest and repetitions stay: less work, done as well.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from math import ceil

from coaching.rules.block_numbers import (
    SHORTER_FEWEST_SETS,
    SHORTER_PREHAB_SHARE,
    SHORTER_PRIMARY_SETS,
    SHORTER_PRIMARY_USUAL,
)
from coaching.rules.plan import Pair, Part, PlannedSession, Prescription
from coaching.rules.session_clock import fits, session_minutes

RULE = (
    "A session that is too long loses isolation first, then sets of supplementary work, prehab "
    "down to half, then primary work above five sets, then supplementary pairs from the end; "
    "primary work keeps three sets."
)


@dataclass(frozen=True, slots=True)
class Cut:
    """What one letter lost: sets of its longer exercise before and after, 0 when left out."""

    letter: str
    names: tuple[str, ...]
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class ShorterSession:
    """A session that ends on time or as near as the rule lets it, and what that took.

    ``minutes`` are those before and after [min], rounded as they are told.
    """

    session: PlannedSession
    cuts: tuple[Cut, ...]
    minutes: tuple[int, int]
    fits: bool


def shorter_session(
    session: PlannedSession,
    budget: float,
    *,
    kept: Collection[str] = (),
    whole: Collection[str] = (),
) -> ShorterSession:
    """The session with as little left out as makes it end within the budget [min].

    Args:
        session: The planned session, with a key of its own on every prescription.
        budget: Minutes that the client has [min].
        kept: Keys of exercises that are never left out: those of movement goals.
        whole: Keys of prescriptions whose pairs keep all of their sets.
    """
    least = {pair.letter: _least(pair) for pair in session.pairs}
    fixed = {
        pair.letter
        for pair in session.pairs
        if not frozenset(whole).isdisjoint(one.key for one in pair.prescriptions)
    }
    now = session
    while not fits(session_minutes(now), budget):
        smaller = next(_smaller(now, least, frozenset(kept), fixed), None)
        if smaller is None:
            break
        now = smaller
    clock = session_minutes(now)
    minutes = (round(session_minutes(session).total), round(clock.total))
    return ShorterSession(now, tuple(_cuts(session, now)), minutes, fits(clock, budget))


def _least(pair: Pair) -> int:
    """The fewest sets that a pair keeps before it is left out, if it may be."""
    if pair.part is Part.PREHAB:
        return ceil(SHORTER_PREHAB_SHARE.value * _sets(pair))
    least = SHORTER_PRIMARY_SETS if pair.part is Part.PRIMARY else SHORTER_FEWEST_SETS
    return int(least.value)


def _smaller(
    session: PlannedSession, least: dict[str, int], kept: frozenset[str], fixed: Collection[str]
) -> Iterator[PlannedSession]:
    """Sessions one step shorter, the best step first."""

    def has_more(pair: Pair) -> bool:
        return _sets(pair) > least[pair.letter]

    def may_go(pair: Pair) -> bool:
        return kept.isdisjoint(one.exercise.key for one in pair.prescriptions)

    def is_long(pair: Pair) -> bool:
        return _sets(pair) > SHORTER_PRIMARY_USUAL.value

    for part, step, may in (
        (Part.ISOLATION, _less_or_without, lambda one: has_more(one) or may_go(one)),
        (Part.SUPPLEMENTARY, _less, has_more),
        (Part.PREHAB, _less, has_more),
        (Part.PRIMARY, _less, is_long),
        (Part.SUPPLEMENTARY, _without, may_go),
        (Part.PRIMARY, _less, has_more),
    ):
        for pair in reversed(session.pairs):
            if pair.part is part and pair.letter not in fixed and may(pair):
                yield step(session, pair, least)


def _less_or_without(session: PlannedSession, pair: Pair, least: dict[str, int]) -> PlannedSession:
    step = _less if _sets(pair) > least[pair.letter] else _without
    return step(session, pair, least)


def _less(session: PlannedSession, pair: Pair, least: dict[str, int]) -> PlannedSession:
    """One set less of each exercise of a pair, where it has more than the fewest."""

    def line(one: Prescription) -> Prescription:
        shorter = one.sets > least[pair.letter]
        return replace(one, targets=one.targets[:-1]) if shorter else one

    fewer = replace(pair, prescriptions=tuple(line(one) for one in pair.prescriptions))
    pairs = tuple(fewer if one is pair else one for one in session.pairs)
    return replace(session, pairs=pairs)


def _without(session: PlannedSession, pair: Pair, _least: dict[str, int]) -> PlannedSession:
    return replace(session, pairs=tuple(one for one in session.pairs if one is not pair))


def _cuts(before: PlannedSession, after: PlannedSession) -> Iterator[Cut]:
    left = {pair.letter: _sets(pair) for pair in after.pairs}
    for pair in before.pairs:
        if left.get(pair.letter, 0) != _sets(pair):
            names = tuple(one.exercise.name for one in pair.prescriptions)
            yield Cut(pair.letter, names, _sets(pair), left.get(pair.letter, 0))


def _sets(pair: Pair) -> int:
    return max(one.sets for one in pair.prescriptions)
