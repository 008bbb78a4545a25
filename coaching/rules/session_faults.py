"""What is found in the order and pairing of one session, each kind told once. Common practice, no source.

One act puts a session in order, however many places are out of it: so they are one finding.
"""

from collections.abc import Iterable, Iterator, Sequence

from coaching.rules.findings import Evidence, Finding, FindingKind, listed
from coaching.rules.plan import Pair, Part
from coaching.rules.session_order import (
    CHAIN_RULE,
    COMPOUND_RULE,
    COORDINATION_RULE,
    PAIR_RULE,
    PARTS_RULE,
    early_pairs,
)

IN_ORDER = frozenset({PARTS_RULE, COMPOUND_RULE, CHAIN_RULE, COORDINATION_RULE})
"""What putting a session in order settles."""


def same_fault(finding: Finding) -> frozenset[str]:
    """The rules that one act puts right together with those of a finding."""
    rules = frozenset(finding.rules or (finding.rule,))
    return IN_ORDER if rules & IN_ORDER else rules


def told_once(found: Sequence[Finding], pairs: Sequence[Pair]) -> Iterator[Finding]:
    """The findings of one session: all of its order as one, all of its pairing as one.

    Args:
        found: What is found of its order.
        pairs: The pairs of the session.
    """
    for rules in (IN_ORDER, frozenset({PAIR_RULE})):
        these = [one for one in found if one.rule in rules]
        if len(these) > 1:
            yield _in_one(these, pairs)
        else:
            yield from these
    yield from (one for one in found if one.rule not in {*IN_ORDER, PAIR_RULE})


def _in_one(found: Sequence[Finding], pairs: Sequence[Pair]) -> Finding:
    rules = tuple(dict.fromkeys(one.rule for one in found))
    early = _parts_in_short(pairs) if PARTS_RULE in rules else ()
    first, *others = dict.fromkeys((*early, *_others(found)))
    more = f" And {len(others)} more." if len(others) > 1 else "".join(f" {one}" for one in others)
    return Finding(
        kind=FindingKind.SESSION_ORDER,
        sentence=f"{first}{more}",
        evidence=tuple(Evidence("Out of order", one.sentence) for one in found),
        # The first rule is that of the first sentence: parts come before all else.
        rule=" ".join(rules),
        rules=rules,
        source_key="common-practice",
        size=len(found),
    )


def _others(found: Iterable[Finding]) -> Iterator[str]:
    return (one.sentence for one in found if one.rule != PARTS_RULE)


def _parts_in_short(pairs: Sequence[Pair]) -> Iterator[str]:
    """Pairs before their part by their letters: A, B and C stand before D: primary work is done first."""
    early: dict[tuple[str, Part], list[str]] = {}
    for pair, first in early_pairs(pairs):
        early.setdefault((first.letter, first.part), []).append(pair.letter)
    for (letter, part), letters in early.items():
        stand = "stand" if len(letters) > 1 else "stands"
        yield f"{listed(letters)} {stand} before {letter}: {part} work is done first."
