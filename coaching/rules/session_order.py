"""Is a session built the way the trade builds it? All of it is common practice, no source.

Primary first, compound before single-joint, closed chain before open, hardest to
coordinate first, prehab last, pushing and pulling paired one to one. A coach may have
good reasons to do otherwise; these findings inform, they never block.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.plan import (
    Chain,
    Exercise,
    Pair,
    Part,
    Pattern,
    Plane,
    PlannedSession,
)
from coaching.rules.set_counts import pushes_and_pulls, side_sets

PARTS = tuple(Part)
PARTS_RULE = (
    "Warm-up, primary, supplementary, isolation, prehab: the exercises the client most wants to "
    "improve come first while fresh, and small shoulder muscles are tired out last."
)
COMPOUND_RULE = "Compound exercises come before single-joint ones that tire the same limbs."
CHAIN_RULE = (
    "Inside a part, closed chain (hands or feet fixed, the body moves) comes before open chain."
)
COORDINATION_RULE = "Inside a part, what is hardest to coordinate comes first."
PAIR_RULE = (
    "Push and pull are paired one to one: horizontal with horizontal, vertical with vertical."
)
EMPTY_RULE = "A session that is planned asks for something: the client opens it on that day."
BALANCE_RULE = "Every session has as many pushing sets as pulling sets."

_LIMBS = frozenset({Pattern.PUSH, Pattern.PULL, Pattern.LEGS})


def findings_for(session: PlannedSession) -> tuple[Finding, ...]:
    """Where a session is built unlike the trade builds it, in the order of the session.

    Empty for a session that keeps all of the order. Only order and pairing are looked
    at; volume, minutes and joints are judged elsewhere.
    """
    if not session.pairs:
        return (_empty(session),)
    return (
        *_parts_out_of_order(session.pairs),
        *_single_joint_too_early(session.pairs),
        *_inside_a_part(session.pairs),
        *_badly_paired(session.pairs),
        *_lopsided(session),
    )


def _empty(session: PlannedSession) -> Finding:
    return Finding(
        kind=FindingKind.SESSION_ORDER,
        sentence=f"{session.name} holds no exercise: add some, or take the session out.",
        evidence=(Evidence("Exercises", "0"),),
        rule=EMPTY_RULE,
        source_key="common-practice",
        sessions=(session.name,),
    )


def early_pairs(pairs: Sequence[Pair]) -> Iterator[tuple[Pair, Pair]]:
    """Each pair that stands before its part, with the first of those that should precede it."""
    for index, pair in enumerate(pairs):
        later = [one for one in pairs[index + 1 :] if _place(one) < _place(pair)]
        if later:
            # Once for a misplaced pair is enough.
            yield pair, min(later, key=_place)


def _parts_out_of_order(pairs: Sequence[Pair]) -> Iterator[Finding]:
    for pair, first in early_pairs(pairs):
        comes = "comes" if len(pair.prescriptions) == 1 else "come"
        yield _finding(
            f"{_name(pair)} ({pair.part}) {comes} before {_name(first)} ({first.part}): "
            f"{first.part} work is done first.",
            PARTS_RULE,
            (pair, first),
        )


def _single_joint_too_early(pairs: Sequence[Pair]) -> Iterator[Finding]:
    for before, after in combinations(pairs, 2):
        if _place(before) > _place(after):
            continue  # told by the order of parts already
        early = [one for one in _limb_work(before) if not one.multi_joint]
        late = [one for one in _limb_work(after) if one.multi_joint]
        for single in early:
            same = [one for one in late if one.pattern is single.pattern]
            if same:
                yield _finding(
                    f"{single.name} is single-joint and comes before the compound {same[0].name}.",
                    COMPOUND_RULE,
                    (before, after),
                    single,
                )


def _inside_a_part(pairs: Sequence[Pair]) -> Iterator[Finding]:
    for before, after in combinations(pairs, 2):
        if before.part is not after.part or before.part in {Part.WARM_UP, Part.PREHAB}:
            continue
        yield from _open_before_closed(before, after)
        yield from _easy_before_hard(before, after)


def _open_before_closed(before: Pair, after: Pair) -> Iterator[Finding]:
    for early in _limb_work(before):
        for late in _limb_work(after):
            same = early.pattern is late.pattern and early.multi_joint and late.multi_joint
            if same and early.chain is Chain.OPEN and late.chain is Chain.CLOSED:
                yield _finding(
                    f"{early.name} (open chain) comes before {late.name} (closed chain).",
                    CHAIN_RULE,
                    (before, after),
                    early,
                )


def _easy_before_hard(before: Pair, after: Pair) -> Iterator[Finding]:
    early, late = _hardest(before), _hardest(after)
    if early.complexity < late.complexity:
        yield _finding(
            f"{late.name} is harder to coordinate than {early.name} and comes after it.",
            COORDINATION_RULE,
            (before, after),
            late,
            Evidence("Coordination", f"{early.complexity} of 5 before {late.complexity} of 5"),
        )


def _badly_paired(pairs: Sequence[Pair]) -> Iterator[Finding]:
    for pair in pairs:
        if len(pair.prescriptions) != 2 or pair.part is Part.WARM_UP:
            continue
        one, other = (prescription.exercise for prescription in pair.prescriptions)
        patterns = {one.pattern, other.pattern}
        if one.pattern is other.pattern and one.pattern in {Pattern.PUSH, Pattern.PULL}:
            yield _finding(
                f"{one.name} and {other.name} both {one.pattern}: pair a push with a pull.",
                PAIR_RULE,
                (pair,),
            )
        elif patterns == {Pattern.PUSH, Pattern.PULL} and _crossed(one, other):
            yield _finding(
                f"{one.name} is {one.plane} and {other.name} is {other.plane}: "
                "pair the same plane where possible.",
                PAIR_RULE,
                (pair,),
            )


def _crossed(one: Exercise, other: Exercise) -> bool:
    return Plane.NONE not in {one.plane, other.plane} and one.plane is not other.plane


def _lopsided(session: PlannedSession) -> Iterator[Finding]:
    pushes, pulls = pushes_and_pulls(side_sets(session.prescriptions))
    if pushes == pulls:
        return
    more, fewer = ("pushing", "pulling") if pushes > pulls else ("pulling", "pushing")
    yield Finding(
        kind=FindingKind.SESSION_ORDER,
        sentence=f"The session has more {more} than {fewer}: {pushes} push sets, {pulls} pull sets.",
        evidence=(
            Evidence("Pushing", f"{pushes} sets"),
            Evidence("Pulling", f"{pulls} sets"),
        ),
        rule=BALANCE_RULE,
        source_key="common-practice",
        size=abs(pushes - pulls),
        about=more,
    )


def _place(pair: Pair) -> int:
    return PARTS.index(pair.part)


def _name(pair: Pair) -> str:
    names = " and ".join(prescription.exercise.name for prescription in pair.prescriptions)
    return f"{pair.letter}: {names}"


def _limb_work(pair: Pair) -> list[Exercise]:
    if pair.part in {Part.WARM_UP, Part.PREHAB}:
        return []
    exercises = (prescription.exercise for prescription in pair.prescriptions)
    return [one for one in exercises if one.pattern in _LIMBS]


def _hardest(pair: Pair) -> Exercise:
    return max((one.exercise for one in pair.prescriptions), key=lambda one: one.complexity)


def _finding(
    sentence: str,
    rule: str,
    pairs: Sequence[Pair],
    exercise: Exercise | None = None,
    *more: Evidence,
) -> Finding:
    return Finding(
        kind=FindingKind.SESSION_ORDER,
        sentence=sentence,
        evidence=(*(Evidence("Pair", f"{_name(pair)}, {pair.part}") for pair in pairs), *more),
        rule=rule,
        source_key="common-practice",
        exercise=exercise.key if exercise else "",
    )
