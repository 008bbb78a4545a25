"""Decisions as a coach reads them: one line an act, and what each one changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from coaching.blocks.models import Week
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


def open_versions(decisions: Sequence[Decision], today: date) -> frozenset[int]:
    """The changes of blocks that are not over, which may be taken back; 1 query."""
    blocks = {d.version.block_id for d in decisions if d.version}
    weeks = Week.objects.filter(block__in=blocks, starts_on__gt=today - timedelta(days=7))
    running = set(weeks.values_list("block_id", flat=True))
    return frozenset(d.version.pk for d in decisions if d.version and d.version.block_id in running)


def decision_lines(
    decisions: Sequence[Decision], open_: frozenset[int]
) -> tuple[DecisionLine, ...]:
    """Decisions by the act they were made in; those in ``open_`` or without a change can be undone.

    Where a later change touches the same, taking it back says so.
    """
    groups: dict[Any, list[Decision]] = {}
    for one in decisions:
        groups.setdefault(one.at, []).append(one)
    return tuple(_decision_line(same, open_) for same in groups.values())


def _decision_line(same: Sequence[Decision], open_: frozenset[int]) -> DecisionLine:
    first = same[0]
    undone = first.undone_at is not None
    return DecisionLine(
        decision_id=first.pk,
        at=first.at,
        words=tuple(decision_words(d, for_coach=True) for d in same),
        undone=undone,
        automatic=first.automatic,
        can_undo=not undone and {d.version_id for d in same} <= {None, *open_},
    )


def decision_words(decision: Decision, *, for_coach: bool) -> str:
    """What was decided, in one line; a client never saw the target that the coach changed."""
    said = decision.proposal
    if decision.kind == "deload":
        starts = date.fromisoformat(said["starts_on"])
        return f"Light week from {short_day(starts)}, {said['share'] * 100:.0f} % of the usual reps"
    if "what" in said:
        return str(said["what"])
    before = "-".join(str(n) for n in said["before"])
    after = "-".join(str(n) for n in said["targets"])
    name = exercise_words(said)
    if decision.version_id is None:
        return f"{name}: {decision.kind} {after}"
    after = f"{said['to']} {after}" if said.get("to") else after
    own = ", as you changed it" if for_coach and said.get("changed_by_coach") else ""
    if said["load"] != said["before_load"]:
        before, after = f"{before} at {said['before_load']:g} kg", f"{after} at {said['load']:g} kg"
    light = f", {told}" if (told := light_weeks_words(said)) else ""
    return f"{name}: {decision.kind}, {before} → {after}{light}{own}"


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
