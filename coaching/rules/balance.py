"""Pushing against pulling: how a session or a week leans.

Conventions:

* An exercise is on a side by its *pattern*. Legs, core and prehab are neutral and
  count on neither side, in a plan and in a log alike.
* Sets decide, because a hold has no repetitions; repetitions are shown beside them.
* Working sets are those of ``coaching.rules.volume``; a set per side is one set.
* Opposed joint actions are those of shoulder, shoulder blade, elbow and wrist. There
  prehab *does* count, since most rotation work is prehab.

One to one is a convention of coaches. No published norm for the balance of sets
exists: ratios in print run from 0.37 to 2.7 depending on what was tested. A
lean is information for the coach and never a diagnosis.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coaching.rules.log import LoggedSession
from coaching.rules.numbers import BALANCE_TOLERANCE
from coaching.rules.plan import JointAction, Pattern, Plane, PlannedSession, PlannedWeek
from coaching.rules.volume import WorkingSet, logged_working_sets, planned_working_sets

OPPOSED_ACTIONS: tuple[tuple[JointAction, JointAction], ...] = (
    (JointAction.SHOULDER_HORIZONTAL_ADDUCTION, JointAction.SHOULDER_HORIZONTAL_ABDUCTION),
    (JointAction.SHOULDER_FLEXION, JointAction.SHOULDER_EXTENSION),
    (JointAction.SHOULDER_ABDUCTION, JointAction.SHOULDER_ADDUCTION),
    (JointAction.SHOULDER_INTERNAL_ROTATION, JointAction.SHOULDER_EXTERNAL_ROTATION),
    (JointAction.SCAPULAR_PROTRACTION, JointAction.SCAPULAR_RETRACTION),
    (JointAction.SCAPULAR_ELEVATION, JointAction.SCAPULAR_DEPRESSION),
    (JointAction.ELBOW_EXTENSION, JointAction.ELBOW_FLEXION),
    (JointAction.WRIST_FLEXION, JointAction.WRIST_EXTENSION),
)
"""Opposed movements of the upper body; the one of each pair that pushes stands first."""


@dataclass(frozen=True, slots=True)
class Tally:
    """Sets and repetitions on the two sides of one comparison.

    ``ratio`` is pushing sets for each pulling set, none when nothing pulls;
    ``lean`` [-1 to 1] is above 0 when pushing has more, 0 when even or empty.
    """

    push_sets: int
    pull_sets: int
    push_reps: int
    pull_reps: int

    @property
    def ratio(self) -> float | None:
        """Pushing sets for each pulling set."""
        return self.push_sets / self.pull_sets if self.pull_sets else None


@dataclass(frozen=True, slots=True)
class PlaneBalance(Tally):
    """Pushing against pulling in one plane."""

    plane: Plane


@dataclass(frozen=True, slots=True)
class ActionBalance(Tally):
    """One joint action against the opposed one; ``push_action`` is the pushing one."""

    push_action: JointAction
    pull_action: JointAction


@dataclass(frozen=True, slots=True)
class Balance(Tally):
    """Pushing against pulling in all, by plane and by opposed joint action.

    Only planes and actions that occur are listed. Single-joint pushes and pulls are
    under ``Plane.NONE``.
    """

    by_plane: tuple[PlaneBalance, ...]
    by_action: tuple[ActionBalance, ...]


def planned_session_balance(session: PlannedSession) -> Balance:
    """How a planned session leans."""
    return balance_of_sets(planned_working_sets(session))


def planned_week_balance(week: PlannedWeek) -> Balance:
    """How a planned week leans."""
    return balance_of_sets(
        one for session in week.sessions for one in planned_working_sets(session)
    )


def logged_balance(sessions: Iterable[LoggedSession]) -> Balance:
    """How one or several sessions leaned as they were done."""
    return balance_of_sets(one for session in sessions for one in logged_working_sets(session))


def add_balances(parts: Iterable[Balance]) -> Balance:
    """How several sessions lean together."""
    kept = tuple(parts)
    planes: dict[Plane, list[PlaneBalance]] = {}
    actions: dict[JointAction, list[ActionBalance]] = {}
    for one in kept:
        for plane in one.by_plane:
            planes.setdefault(plane.plane, []).append(plane)
        for action in one.by_action:
            actions.setdefault(action.push_action, []).append(action)
    return Balance(
        *_added(kept),
        by_plane=tuple(PlaneBalance(*_added(planes[p]), plane=p) for p in Plane if p in planes),
        by_action=tuple(
            ActionBalance(*_added(actions[push]), push_action=push, pull_action=pull)
            for push, pull in OPPOSED_ACTIONS
            if push in actions
        ),
    )


def is_even(tally: Tally) -> bool:
    """Whether pushing and pulling sets differ by no more than the house tolerance.

    The tolerance is a share of the larger side. Without any push or pull there is
    nothing to lean, and the answer is yes.
    """
    larger = max(tally.push_sets, tally.pull_sets)
    return abs(tally.push_sets - tally.pull_sets) <= BALANCE_TOLERANCE.value * larger


def balance_of_sets(sets: Iterable[WorkingSet]) -> Balance:
    """How those sets lean."""
    kept = tuple(sets)
    push = [one for one in kept if one.exercise.pattern is Pattern.PUSH]
    pull = [one for one in kept if one.exercise.pattern is Pattern.PULL]
    return Balance(*_sides(push, pull), by_plane=_by_plane(push, pull), by_action=_by_action(kept))


def _by_plane(push: list[WorkingSet], pull: list[WorkingSet]) -> tuple[PlaneBalance, ...]:
    found = []
    for plane in Plane:
        pushed = [one for one in push if one.exercise.plane is plane]
        pulled = [one for one in pull if one.exercise.plane is plane]
        if pushed or pulled:
            found.append(PlaneBalance(*_sides(pushed, pulled), plane=plane))
    return tuple(found)


def _by_action(sets: tuple[WorkingSet, ...]) -> tuple[ActionBalance, ...]:
    found = []
    for push_action, pull_action in OPPOSED_ACTIONS:
        push = [one for one in sets if push_action in one.exercise.joint_actions]
        pull = [one for one in sets if pull_action in one.exercise.joint_actions]
        if push or pull:
            found.append(
                ActionBalance(*_sides(push, pull), push_action=push_action, pull_action=pull_action)
            )
    return tuple(found)


def _added(tallies: Sequence[Tally]) -> tuple[int, int, int, int]:
    return (
        sum(one.push_sets for one in tallies),
        sum(one.pull_sets for one in tallies),
        sum(one.push_reps for one in tallies),
        sum(one.pull_reps for one in tallies),
    )


def _sides(push: list[WorkingSet], pull: list[WorkingSet]) -> tuple[int, int, int, int]:
    return (
        len(push),
        len(pull),
        sum(one.reps for one in push),
        sum(one.reps for one in pull),
    )
