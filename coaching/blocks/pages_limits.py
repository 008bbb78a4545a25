"""What stands in a plan in spite of a joint limit, and the one act that mends it.

The block's page and the review show the same lines: a limit may have been written down after
a block was made.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from clients.models import Client, User
from clients.queries import equipment_of
from coaching.blocks.adaptation import swap_reason, swap_word
from coaching.blocks.forms import KeepForm
from coaching.blocks.from_template import candidates_for, known_of
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, Prescription
from coaching.blocks.snapshots import Snapshot, lines_of, locked_in
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values, exercises_by_key
from coaching.rules import plan
from coaching.rules.joint_limits import (
    JointLimit,
    Joints,
    LimitAction,
    LimitOverride,
    regressed_by,
    sparing,
)
from coaching.rules.stand_in import stand_ins


@dataclass(frozen=True)
class Swap:
    """One exercise that may stand in: regress, progress or swap, with the reason."""

    pk: int
    name: str
    reason: str
    word: str = "swap"


@dataclass(frozen=True)
class LimitedExercise:
    """One exercise to come that loads a joint limit, where it stands, and what to put there."""

    block_id: int
    exercise_id: int
    name: str
    action: LimitAction
    loads: str
    sessions: int
    first_on: date
    last_on: date
    replacement: Swap | None
    locked: int = 0
    """In so many of the sessions it is locked, and stays until it is unlocked."""

    @property
    def is_avoided(self) -> bool:
        """Whether nobody decided yet about something that must be avoided."""
        return self.action is LimitAction.AVOID


class _Row(NamedTuple):
    block_id: int
    session_id: int | str
    on: date
    exercise_id: int
    session_locked: bool
    line_locked: bool


def limited_in_plan(
    client: Client, coach: User, today: date, *, joints: Joints | None = None, block: Block | None
) -> tuple[LimitedExercise, ...]:
    """Exercises to come that the client must avoid or regress, those to avoid first.

    Of one block as it stands in its rows, or of all that the client sees. No query without
    limits, else 3, and 4 more when something is found; 2 besides when the joints are not given.
    """
    known = joints_of(client) if joints is None else joints
    if all(limit.action is LimitAction.WATCH for limit in known.limits):
        return ()
    rows = _rows(client, today, block)
    values = exercise_values({row.exercise_id for row in rows})
    return _limited(client, coach, rows, values, known)


def limited_in_snapshot(
    block: Block,
    coach: User,
    snapshot: Snapshot,
    *,
    today: date,
    begun: frozenset[str],
    joints: Joints,
    values: Mapping[int, plan.Exercise],
) -> tuple[LimitedExercise, ...]:
    """The same of one block as it is edited; no query unless something is found, then 4."""
    if all(limit.action is LimitAction.WATCH for limit in joints.limits):
        return ()
    locked = locked_in(snapshot)
    rows = [
        _Row(
            block.pk,
            session["uid"],
            date.fromisoformat(session["on"]),
            line["exercise"],
            session["uid"] in locked,
            line["uid"] in locked,
        )
        for session, line in lines_of(snapshot, since=today)
        if session["uid"] not in begun
    ]
    return _limited(block.client, coach, rows, values, joints)


def _limited(
    client: Client,
    coach: User,
    rows: Sequence["_Row"],
    values: Mapping[int, plan.Exercise],
    known: Joints,
) -> tuple[LimitedExercise, ...]:
    found = _places(rows, values, known)
    if not found:
        return ()
    library = exercises_by_key(coach)
    choice = _Choice(client, library, known, values)
    lines = [
        choice.line(rows, places, key, limits) for key, (limits, places) in found.items() if limits
    ]
    return tuple(sorted(lines, key=lambda one: (not one.is_avoided, one.first_on, one.name)))


def _rows(client: Client, today: date, block: Block | None) -> list[_Row]:
    """What is to come and not begun; 1 query."""
    rows = Prescription.objects.filter(
        pair__planned_session__on__gte=today, pair__planned_session__started_at__isnull=True
    )
    if block is None:
        rows = rows.filter(
            pair__planned_session__week__block__client=client,
            pair__planned_session__week__block__published_at__isnull=False,
        )
    else:
        rows = rows.filter(pair__planned_session__week__block=block)
    place = "pair__planned_session"
    fields = (f"{place}__week__block_id", f"{place}__pk", f"{place}__on", "exercise_id")
    locks = (f"{place}__locked", "pair__locked")
    found = rows.order_by(f"{place}__on", "pk").values_list(*fields, *locks)
    return [_Row(*row) for row in found]


_Key = tuple[int, int]
_Found = dict[_Key, tuple[list[JointLimit], list[_Row]]]


def _places(rows: Sequence[_Row], values: Mapping[int, plan.Exercise], joints: Joints) -> _Found:
    """The limits that each exercise of a block loads, and the sessions in which it does."""
    found: _Found = defaultdict(lambda: ([], []))
    for row in rows:
        exercise = values[row.exercise_id]
        limits = (
            *joints.blocking(exercise, row.on),
            *regressed_by(exercise, joints.on(row.on)),
        )
        if limits:
            kept, places = found[row.block_id, row.exercise_id]
            kept.extend(limit for limit in limits if limit not in kept)
            places.append(row)
    return found


class _Choice:
    """What one client may do in place of an exercise; 3 queries when it is made."""

    def __init__(
        self,
        client: Client,
        library: Mapping[str, Exercise],
        joints: Joints,
        values: Mapping[int, plan.Exercise],
    ) -> None:
        self.library, self.joints, self.values = library, joints, values
        self.candidates = candidates_for(client, library.values())
        self.known = known_of(client, library.values())
        self.kinds = frozenset(item.kind for item in equipment_of(client))

    def line(
        self, rows: Sequence[_Row], places: Sequence[_Row], key: _Key, limits: Sequence[JointLimit]
    ) -> LimitedExercise:
        """One exercise of a block with the best replacement."""
        block_id, exercise_id = key
        exercise = self.values[exercise_id]
        avoided = any(_is_avoid(limit) for limit in limits)
        sessions = {row.session_id for row in places}
        # It is put in wherever the exercise is planned, also where that loads nothing limited.
        days = {row.on for row in rows if (row.block_id, row.exercise_id) == key}
        beside = {self.values[row.exercise_id].key for row in rows if row.session_id in sessions}
        return LimitedExercise(
            block_id=block_id,
            exercise_id=exercise_id,
            name=exercise.name,
            action=LimitAction.AVOID if avoided else LimitAction.REGRESS,
            loads=", ".join(str(limit) for limit in limits if avoided is _is_avoid(limit)),
            sessions=len(sessions),
            locked=len({row.session_id for row in places if row.session_locked or row.line_locked}),
            first_on=min(row.on for row in places),
            last_on=max(row.on for row in places),
            replacement=self.best(exercise, days, beside, spares=not avoided),
        )

    def best(
        self, asked: plan.Exercise, days: Collection[date], beside: set[str], *, spares: bool
    ) -> Swap | None:
        """The best replacement on some days; what the sessions hold already comes last."""
        limits = tuple(dict.fromkeys(one for on in sorted(days) for one in self.joints.on(on)))
        overrides = self.joints.overrides
        found = stand_ins(asked, self.candidates, limits, self.kinds, overrides, self.known)
        fitting = [one for one in found if not spares or sparing(asked, one, limits).spares]
        ranked = sorted(fitting, key=lambda one: one.key in beside)
        return next((swap_of(asked, one, self.library, limits, overrides) for one in ranked), None)


def _is_avoid(limit: JointLimit) -> bool:
    return limit.action is LimitAction.AVOID


def swap_of(
    asked: plan.Exercise,
    given: plan.Exercise,
    library: Mapping[str, Exercise],
    limits: Collection[JointLimit],
    overrides: Collection[LimitOverride],
) -> Swap:
    """A replacement as it is offered: its row, its word and its reason; no query."""
    return Swap(
        pk=library[given.key].pk,
        name=given.name,
        reason=swap_reason(asked, given, limits, overrides),
        word=swap_word(asked, given),
    )


def avoided_later(
    exercise: plan.Exercise, joints: Joints, on: date, later: Collection[date]
) -> str:
    """What an exercise loads that is avoided on a later day only, in words; else empty."""
    known = joints.blocking(exercise, on)
    for day in sorted(later):
        found = [str(one) for one in joints.blocking(exercise, day) if one not in known]
        if found:
            loads = ", ".join(found)
            return f"for this week only: it loads {loads}, avoided on {day:%a %-d %b}"
    return ""


def keep_forms(
    limited: Sequence[LimitedExercise], refused: KeepForm | None = None
) -> list[tuple[LimitedExercise, KeepForm]]:
    """Each line with the form that keeps its exercise by name; one of them as it was refused."""
    forms = [KeepForm(auto_id=f"keep_{one.block_id}_{one.exercise_id}_%s") for one in limited]
    return [
        (one, refused if refused is not None and refused.auto_id == form.auto_id else form)
        for one, form in zip(limited, forms, strict=True)
    ]
