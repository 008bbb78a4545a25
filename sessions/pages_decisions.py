"""Decisions as a coach reads them: one line an act, and what each one changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from coaching.blocks.undoing import standing_changes
from coaching.rules.findings import listed
from sessions.models import Decision
from sessions.review_words import short_day


@dataclass(frozen=True)
class DecisionLine:
    """One act of the coach on this week: all decisions that changed the plan together."""

    decision_id: int
    at: Any
    words: tuple[str, ...]
    undone: bool
    can_undo: bool
    automatic: bool


def newest_versions(decisions: Sequence[Decision]) -> frozenset[int]:
    """The last change that stands of each block that these decisions changed; 1 query."""
    standing = standing_changes({d.version.block_id for d in decisions if d.version})
    return frozenset(pk for found in standing.values() for pk in found)


def decision_lines(
    decisions: Sequence[Decision], newest: frozenset[int]
) -> tuple[DecisionLine, ...]:
    """Decisions by the act they were made in; only a block's last change that stands can be undone."""
    groups: dict[Any, list[Decision]] = {}
    for one in decisions:
        groups.setdefault(one.at, []).append(one)
    return tuple(_decision_line(same, newest) for same in groups.values())


def _decision_line(same: Sequence[Decision], newest: frozenset[int]) -> DecisionLine:
    first = same[0]
    undone = first.undone_at is not None
    return DecisionLine(
        decision_id=first.pk,
        at=first.at,
        words=tuple(decision_words(d, for_coach=True) for d in same),
        undone=undone,
        automatic=first.automatic,
        can_undo=not undone and {d.version_id for d in same} <= {None, *newest},
    )


def decision_words(decision: Decision, *, for_coach: bool) -> str:
    """What was decided, in one line; a client never saw the target that the coach changed."""
    said = decision.proposal
    if decision.kind == "deload":
        starts = date.fromisoformat(said["starts_on"])
        return f"Light week from {short_day(starts)}, {said['share']:.0%} of the usual reps"
    if "what" in said:
        return str(said["what"])
    before = "-".join(str(n) for n in said["before"])
    after = "-".join(str(n) for n in said["targets"])
    name = exercise_words(said)
    if decision.version_id is None:
        return f"{name}: {decision.kind} {after}"
    after = f"{said['to']} {after}" if said.get("to") else after
    own = ", as you changed it" if for_coach and said.get("changed_by_coach") else ""
    loads = f" at {said['load']:g} kg" if said["load"] != said["before_load"] else ""
    light = f", {told}" if (told := light_weeks_words(said)) else ""
    return f"{name}: {decision.kind}, {before} → {after}{loads}{light}{own}"


def light_weeks_words(*said: Mapping[str, Any]) -> str:
    """In which light weeks exercises follow; nothing where they follow in none.

    >>> light_weeks_words({"light_weeks": [5]}, {})
    'in light week 5 too'
    """
    weeks = sorted({week for one in said for week in one.get("light_weeks", ())})
    if not weeks:
        return ""
    return f"in light week{'s' if weeks[1:] else ''} {listed([str(week) for week in weeks])} too"


def exercise_words(said: Mapping[str, Any]) -> str:
    """The exercise of a decision, with its sessions where those were decided about alone."""
    name, when = said.get("exercise", ""), said.get("when", "")
    return f"{name} ({when})" if when else str(name)
