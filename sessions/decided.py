"""What stands decided about a client's exercises in the review of a week."""

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from functools import reduce
from typing import NamedTuple

from clients.models import Client
from sessions.models import Decision, DecisionKind
from sessions.next_targets import Proposal


class About(NamedTuple):
    """What a decision is about: an exercise, in which part of the session, in which course.

    Part and course are empty where it holds for all of them.
    """

    exercise_id: int
    part: str = ""
    course: str = ""

    def covers(self, other: "About") -> bool:
        """Whether it holds for what another is about, too.

        Where days that had a course each have become one, it holds for that.
        """
        pairs = ((self.part, other.part), (self.course, other.course))
        is_one = all(a == b or not a or not b for a, b in pairs)
        return is_one and self.exercise_id == other.exercise_id


Kept = Mapping[About, str]
"""The day of the training that was decided on; empty when for the whole week."""


def about(decision: Decision) -> About | None:
    """What a decision is about; none where it is about the whole week."""
    if decision.exercise_id is None:
        return None
    return About(decision.exercise_id, decision.proposal.get("part", ""), decision.course)


def proposed_for(proposal: Proposal) -> About:
    """What a proposal is about."""
    return About(proposal.exercise_id, proposal.part.value, proposal.course)


def is_covered(one: About, decided: Collection[About | None]) -> bool:
    """Whether one of those is about the same."""
    return any(other is not None and other.covers(one) for other in decided)


def kept_of(decisions: Iterable[Decision]) -> Kept:
    """What stands; a step that the tool took by itself holds until the exercise is trained again."""
    kept: dict[About, str] = {}
    for one in decisions:
        own = about(one)
        if one.undone_at is not None or own is None:
            continue
        until = one.proposal.get("last_on", "") if one.automatic else ""
        kept[own] = _later(kept.get(own, until), until)
    return kept


def _later(one: str, other: str) -> str:
    """The later of two days; what holds for the whole week holds longer."""
    return max(one, other) if one and other else ""


def is_open(proposal: Proposal, kept: Kept) -> bool:
    """Whether nothing stands decided about what was trained last."""
    own = proposed_for(proposal)
    found = [until for one, until in kept.items() if one.covers(own)]
    if not found:
        return True
    until = reduce(_later, found)
    return bool(until) and proposal.last is not None and proposal.last.on.isoformat() > until


def light_week_of(decisions: Iterable[Decision]) -> Decision | None:
    """The light week that was put in and stands, the newest; none when there is none."""
    deload = DecisionKind.DELOAD.value
    found = [one for one in decisions if one.kind == deload and one.undone_at is None]
    return max(found, key=lambda one: (one.at, one.pk), default=None)


def decisions_of(client: Client, week_starts_on: date) -> list[Decision]:
    """What was decided about a client's week, taken back or not; 1 query."""
    rows = Decision.objects.filter(review__client=client, review__week_starts_on=week_starts_on)
    return list(rows)
