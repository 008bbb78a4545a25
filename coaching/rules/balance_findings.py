"""Where a week leans: pushing against pulling in all, by plane and by opposed joint action.

All of it is common practice: as many pulling sets as pushing ones, horizontal beside
horizontal, vertical beside vertical, rotation out beside rotation in. A week is judged softly:
the whole by the house tolerance, planes and joint actions only where one side has more than
twice the other. Prehab makes up for a lack and never counts as a surplus, as it is there to
make up. Movements of the shoulder blade and of the wrist are told and not judged: most
exercises move them along, in one direction only.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from coaching.rules.balance import OPPOSED_ACTIONS, Balance, Tally, is_even
from coaching.rules.block_numbers import OPPOSED_SETS, OPPOSED_TIMES
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.numbers import BALANCE_TOLERANCE
from coaching.rules.plan import JointAction, Part, Plane, PlannedSession, PlannedWeek
from coaching.rules.set_counts import counted

WEEK_RULE = (
    "A week has as many pushing sets as pulling sets; a difference of "
    f"{BALANCE_TOLERANCE.value:.0%} of the larger side is still called even, a choice of this tool."
)
PLANE_RULE = "Push and pull are kept one to one by plane where possible."
ACTION_RULE = (
    "Opposed joint actions are kept in proportion; prehab makes up for a lack and is never a "
    f"surplus. Told beyond {OPPOSED_TIMES.value:g} times the other side, from "
    f"{OPPOSED_SETS.value:g} sets a week on: a choice of this tool."
)
NOT_KNOWN = "What is right for this client: no published norm for the balance of sets exists."
_NOT_JUDGED = ("scapular", "wrist")
JUDGED_ACTIONS = tuple(
    pair for pair in OPPOSED_ACTIONS if not pair[0].value.startswith(_NOT_JUDGED)
)
"""The opposed joint actions that are judged: those of shoulder and elbow."""


@dataclass(frozen=True, slots=True)
class ActionSets:
    """Sets a week of each joint action: all of them, and those outside prehab."""

    all: Mapping[JointAction, int] = field(default_factory=dict)
    without_prehab: Mapping[JointAction, int] = field(default_factory=dict)

    def __add__(self, other: "ActionSets") -> "ActionSets":
        """The sets of both."""
        return ActionSets(
            _added(self.all, other.all), _added(self.without_prehab, other.without_prehab)
        )


def session_action_sets(session: PlannedSession) -> ActionSets:
    """Working sets of each joint action in a session."""
    every: dict[JointAction, int] = {}
    hard: dict[JointAction, int] = {}
    for one in session.prescriptions:
        if one.part is Part.WARM_UP:
            continue
        sets = counted(one)
        for action in one.exercise.joint_actions:
            every[action] = every.get(action, 0) + sets
            if one.part is not Part.PREHAB:
                hard[action] = hard.get(action, 0) + sets
    return ActionSets(every, hard)


def findings_for(week: PlannedWeek, balance: Balance) -> tuple[Finding, ...]:
    """Where a planned week leans too far; ``balance`` is that of the same week."""
    sets = sum((session_action_sets(one) for one in week.sessions), ActionSets())
    return balance_findings(balance, sets)


def balance_findings(balance: Balance, sets: ActionSets) -> tuple[Finding, ...]:
    """Where a week leans too far: in all, then by plane, then by joint action."""
    return (*_in_all(balance), *_by_plane(balance), *_by_action(sets))


def _in_all(balance: Balance) -> Iterator[Finding]:
    if not is_even(balance):
        more, fewer = _sides(balance)
        yield _finding(
            f"The week has more {more} than {fewer}: {balance.push_sets} push sets, "
            f"{balance.pull_sets} pull sets.",
            WEEK_RULE,
            more,
            abs(balance.push_sets - balance.pull_sets),
            Evidence("Pushing", f"{balance.push_sets} sets, {balance.push_reps} reps"),
            Evidence("Pulling", f"{balance.pull_sets} sets, {balance.pull_reps} reps"),
        )


def _by_plane(balance: Balance) -> Iterator[Finding]:
    for one in balance.by_plane:
        if one.plane is Plane.NONE or not _out(one.push_sets, one.pull_sets):
            continue
        more, _ = _sides(one)
        yield _finding(
            f"{one.plane.value.capitalize()} work is mostly {more}: {one.push_sets} push sets, "
            f"{one.pull_sets} pull sets.",
            PLANE_RULE,
            f"{one.plane} {more}",
            abs(one.push_sets - one.pull_sets),
            Evidence(f"{one.plane.value.capitalize()} pushing", f"{one.push_sets} sets"),
            Evidence(f"{one.plane.value.capitalize()} pulling", f"{one.pull_sets} sets"),
        )


def _by_action(sets: ActionSets) -> Iterator[Finding]:
    for pair in JUDGED_ACTIONS:
        for more, fewer in (pair, pair[::-1]):
            large, small = sets.without_prehab.get(more, 0), sets.all.get(fewer, 0)
            if large > small and _out(large, small):
                yield _finding(
                    f"{more.value.capitalize()} has {large} sets, {fewer.value} {small or 'none'}.",
                    ACTION_RULE,
                    f"{more} over {fewer}",
                    large - small,
                    Evidence(f"{more.value.capitalize()}, without prehab", f"{large} sets"),
                    Evidence(f"{fewer.value.capitalize()}, with prehab", f"{small} sets"),
                )


def _out(one: int, other: int) -> bool:
    large, small = max(one, other), min(one, other)
    return large >= OPPOSED_SETS.value and large > OPPOSED_TIMES.value * small


def _sides(tally: Tally) -> tuple[str, str]:
    words = ("pushing", "pulling")
    return words if tally.push_sets > tally.pull_sets else words[::-1]


def _added(
    one: Mapping[JointAction, int], other: Mapping[JointAction, int]
) -> dict[JointAction, int]:
    return {a: one.get(a, 0) + other.get(a, 0) for a in (*one, *(b for b in other if b not in one))}


def _finding(sentence: str, rule: str, about: str, size: float, *evidence: Evidence) -> Finding:
    return Finding(
        kind=FindingKind.BALANCE,
        sentence=sentence,
        evidence=evidence,
        rule=rule,
        # Told is by a threshold, and none is published.
        source_key="house",
        could_not_know=NOT_KNOWN,
        size=size,
        about=about,
    )
