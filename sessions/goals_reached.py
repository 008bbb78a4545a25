"""Movement goals that the log has met, for the reading of a week."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coaching.library.models import MovementGoal
from coaching.rules.findings import Finding
from coaching.rules.goal_reached import goal_reached
from coaching.rules.log import LoggedSession


@dataclass(frozen=True, slots=True)
class Goal:
    """A goal as a reading needs it: its exercise by key, how many, and when it was open."""

    exercise: str
    amount: int
    set_on: date
    reached_on: date | None

    def is_open(self, day: date) -> bool:
        """Whether it was set by a day and not called reached on it."""
        return self.set_on <= day and (self.reached_on is None or self.reached_on > day)


def goals_by_client(
    clients: Collection[Client] | Collection[int],
) -> Mapping[int, tuple[Goal, ...]]:
    """All goals of those clients, oldest first; 1 query."""
    rows = MovementGoal.objects.filter(client__in=clients).order_by("set_on", "pk")
    found: dict[int, list[Goal]] = defaultdict(list)
    fields = ("client", "exercise__key", "reps", "set_on", "reached_on")
    for client, key, amount, set_on, reached_on in rows.values_list(*fields):
        found[client].append(Goal(key, amount, set_on, reached_on))
    return {client: tuple(goals) for client, goals in found.items()}


def goals_met(
    goals: Iterable[Goal], sessions: Sequence[LoggedSession], as_of: date
) -> tuple[Finding, ...]:
    """A finding for each of these goals that those sessions have met."""
    wanted = {goal.exercise: goal for goal in goals}
    if not wanted:
        return ()
    done = {one.exercise.key: one.exercise for s in sessions for one in s.sets}
    found = (
        goal_reached(done[key], goal.amount, sessions, today=as_of)
        for key, goal in wanted.items()
        if key in done
    )
    return tuple(one for one in found if one is not None)
