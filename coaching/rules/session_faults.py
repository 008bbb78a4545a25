"""What is found in the order and pairing of one session, each kind told once. Common practice, no source.

One act puts a session in order, however many places are out of it: so they are one finding.
"""

from collections.abc import Iterable, Iterator, Sequence

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.session_order import (
    CHAIN_RULE,
    COMPOUND_RULE,
    COORDINATION_RULE,
    PAIR_RULE,
    PARTS_RULE,
)

IN_ORDER = frozenset({PARTS_RULE, COMPOUND_RULE, CHAIN_RULE, COORDINATION_RULE})
"""What putting a session in order settles."""


def same_fault(rule: str) -> frozenset[str]:
    """The rules that one act puts right together with this one; ``rule`` may be several in a row."""
    return IN_ORDER if rule.startswith(tuple(IN_ORDER)) else frozenset({rule})


def told_once(found: Sequence[Finding]) -> Iterator[Finding]:
    """The findings of one session: all of its order as one, all of its pairing as one."""
    for rules in (IN_ORDER, frozenset({PAIR_RULE})):
        these = [one for one in found if one.rule in rules]
        if len(these) > 1:
            yield _in_one(these)
        else:
            yield from these
    yield from (one for one in found if one.rule not in {*IN_ORDER, PAIR_RULE})


def _in_one(found: Sequence[Finding]) -> Finding:
    rules = dict.fromkeys(one.rule for one in found)
    first, *others = dict.fromkeys((*_parts_in_short(found), *_others(found)))
    more = f" And {len(others)} more." if len(others) > 1 else "".join(f" {one}" for one in others)
    return Finding(
        kind=FindingKind.SESSION_ORDER,
        sentence=f"{first}{more}",
        evidence=tuple(Evidence("Out of order", one.sentence) for one in found),
        # The first rule is that of the first sentence: parts come before all else.
        rule=" ".join(rules),
        source_key="common-practice",
        size=len(found),
    )


def _others(found: Iterable[Finding]) -> Iterator[str]:
    return (one.sentence for one in found if one.rule != PARTS_RULE)


def _parts_in_short(found: Iterable[Finding]) -> Iterator[str]:
    """Pairs before their part by their letters: A, B and C stand before D: primary work is done first."""
    early: dict[tuple[str, str], list[str]] = {}
    for one in found:
        if one.rule == PARTS_RULE:
            pair, first, *_ = (fact.value for fact in one.evidence)
            *_, part = first.rpartition(", ")
            early.setdefault((_letter(first), part), []).append(_letter(pair))
    for (letter, part), letters in early.items():
        *most, last = letters
        pairs = f"{', '.join(most)} and {last} stand" if most else f"{last} stands"
        yield f"{pairs} before {letter}: {part} work is done first."


def _letter(pair: str) -> str:
    return pair.partition(":")[0]
