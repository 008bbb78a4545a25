"""What a week's logs say of each client: findings first, then the next targets.

Reads a fixed number of weeks for any number of clients with a fixed number of
queries, so that the cost grows with the roster and never with the history.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from clients.models import Client, Equipment, JointLimit
from clients.queries import equipment_values
from coaching.blocks.queries import prescription_value, published_sessions, with_plan
from coaching.library.queries import exercise_value, exercise_values, exercises_of
from coaching.rules import log, plan
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.joint_limits import LimitAction
from coaching.rules.loads import EquipmentItem, available_loads, can_do
from coaching.rules.progression import Exposure, NextTarget, next_target
from coaching.rules.signals import read_signals
from sessions.models import LoggedSession
from sessions.queries import (
    UNKNOWN_BODY_WEIGHT,
    attendance_of,
    latest_body_weights,
    logged_values,
    sessions_with_sets,
)

WEEKS_READ = 8
DAYS_AHEAD = 14

Place = tuple[int, str]
"""An exercise row and the part of the session it is done in."""


@dataclass(frozen=True)
class Proposal:
    """The next target of one exercise, beside what the plan asks now."""

    exercise_id: int
    exercise: plan.Exercise
    part: plan.Part
    planned: plan.Prescription
    target: NextTarget
    swap_to: int | None

    @property
    def changes_plan(self) -> bool:
        """Whether accepting it would change what the coming sessions ask."""
        now = (self.planned.targets, self.planned.load, self.planned.exercise.key)
        return now != (self.target.targets, self.target.load, self.target.exercise_key)

    @property
    def key(self) -> str:
        """A word that names this proposal in a form."""
        return f"{self.exercise_id}:{self.part.value}"


@dataclass(frozen=True)
class WeekReading:
    """One client's week as the rules read it."""

    client: Client
    week_starts_on: date
    sessions: tuple[log.LoggedSession, ...]
    attendance: tuple[log.Attendance, ...]
    findings: tuple[Finding, ...]
    proposals: tuple[Proposal, ...]
    body_weight: float | None

    @property
    def week_sessions(self) -> tuple[log.LoggedSession, ...]:
        """The sessions logged in the week itself."""
        return tuple(s for s in self.sessions if s.on >= self.week_starts_on)

    @property
    def week_attendance(self) -> tuple[log.Attendance, ...]:
        """The week's planned sessions that were due."""
        return tuple(a for a in self.attendance if a.on >= self.week_starts_on)

    @property
    def first(self) -> Finding | None:
        """The finding that brings this client before the coach, if one does."""
        return next((f for f in self.findings if f.kind in NEEDS_COACH), None)

    @property
    def steps(self) -> tuple[Proposal, ...]:
        """The proposals that would change the plan."""
        return tuple(p for p in self.proposals if p.changes_plan)


# In the order in which clients are put before the coach.
NEEDS_COACH = (
    FindingKind.PAIN,
    FindingKind.OVERREACHING,
    FindingKind.MISSED,
    FindingKind.STALLED,
    FindingKind.PACING,
    FindingKind.DELOAD_DUE,
    FindingKind.BLOCK_ENDS,
)


def ranking_key(reading: WeekReading) -> tuple[int, int, str]:
    """Where a client stands in the review, in words: urgency, how much, name."""
    urgency = NEEDS_COACH.index(reading.first.kind) if reading.first else len(NEEDS_COACH)
    how_much = sum(1 for finding in reading.findings if finding.kind in NEEDS_COACH)
    return (urgency, -how_much, reading.client.name.lower())


def read_weeks(clients: Sequence[Client], week_starts_on: date, today: date) -> list[WeekReading]:
    """The readings of those clients for one week, in the order they need the coach.

    About 20 queries for any number of clients and any length of history.
    """
    end = min(week_starts_on + timedelta(days=6), today)
    start = week_starts_on - timedelta(weeks=WEEKS_READ - 1)
    facts = _facts(clients, start, end, today)
    readings = [_read(client, week_starts_on, end, facts) for client in clients]
    return sorted(readings, key=ranking_key)


@dataclass(frozen=True)
class _Facts:
    """All rows that the readings of a roster rest on, by client."""

    sessions: Mapping[int, tuple[log.LoggedSession, ...]]
    attendance: Mapping[int, tuple[log.Attendance, ...]]
    body_weights: Mapping[int, float]
    exposures: Mapping[int, Mapping[Place, list[Exposure]]]
    coming: Mapping[int, Mapping[Place, plan.Prescription]]
    equipment: Mapping[int, tuple[EquipmentItem, ...]]
    avoided: Mapping[int, frozenset[str]]
    rungs: Mapping[tuple[str, int], tuple[int, plan.Exercise]]


def _facts(clients: Sequence[Client], start: date, end: date, today: date) -> _Facts:
    rows = list(sessions_with_sets(clients, start, end))
    weights = latest_body_weights(clients)
    return _Facts(
        sessions=logged_values(rows, weights),
        attendance=attendance_of(clients, start, end),
        body_weights=weights,
        exposures=_exposures(rows),
        coming=_coming(clients, today),
        equipment=_equipment(clients),
        avoided=_avoided(clients, today),
        rungs=_rungs(clients),
    )


def _exposures(rows: Sequence[LoggedSession]) -> dict[int, dict[Place, list[Exposure]]]:
    """Every time an exercise was done, with what was planned that day; 2 queries."""
    exercises = exercise_values({s.exercise_id for row in rows for s in row.sets.all()})
    found: dict[int, dict[Place, list[Exposure]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        planned = {
            line["uid"]: (pair["part"], line)
            for session in row.plan
            for pair in session["pairs"]
            for line in pair["lines"]
        }
        done: dict[tuple[int, str], list[log.LoggedSet]] = defaultdict(list)
        for one in row.sets.all():
            done[one.exercise_id, str(one.prescription_uid or "")].append(
                log.LoggedSet(
                    exercise=exercises[one.exercise_id],
                    number=one.number,
                    amount=one.amount,
                    load=float(one.load_kg),
                    target=one.target,
                    rir=one.rir,
                    pain=one.pain,
                    warm_up=one.warm_up,
                )
            )
        for (exercise_id, uid), sets in done.items():
            part, line = planned.get(uid, (plan.Part.SUPPLEMENTARY.value, None))
            asked = None
            if line is not None and line["exercise"] == exercise_id:
                asked = plan.Prescription(
                    key=uid,
                    exercise=exercises[exercise_id],
                    targets=tuple(line["targets"]),
                    load=float(line["load_kg"]),
                    tempo=plan.Tempo.parse(line["tempo"]),
                    rest=line["rest_s"],
                    part=plan.Part(part),
                    rir=line["rir"],
                )
            found[row.client_id][exercise_id, part].append(
                Exposure(on=row.on, sets=tuple(sets), planned=asked, kind=plan.WeekKind(row.kind))
            )
    return found


def _coming(clients: Sequence[Client], today: date) -> dict[int, dict[Place, plan.Prescription]]:
    """What the next sessions ask of each exercise, the first time it comes; 5 queries."""
    rows = list(
        with_plan(
            published_sessions(clients, today, today + timedelta(days=DAYS_AHEAD)).filter(
                started_at__isnull=True, week__kind=plan.WeekKind.BUILD.value
            )
        )
    )
    used = {p.exercise_id for r in rows for pair in r.pairs.all() for p in pair.prescriptions.all()}
    exercises = exercise_values(used)
    found: dict[int, dict[Place, plan.Prescription]] = defaultdict(dict)
    for row in rows:
        for pair in row.pairs.all():
            for p in pair.prescriptions.all():
                place = (p.exercise_id, pair.part)
                value = prescription_value(p, pair.part, exercises[p.exercise_id])
                found[row.week.block.client_id].setdefault(place, value)
    return found


def _equipment(clients: Sequence[Client]) -> dict[int, tuple[EquipmentItem, ...]]:
    rows: dict[int, list[Equipment]] = defaultdict(list)
    for row in Equipment.objects.filter(client__in=clients):
        rows[row.client_id].append(row)
    return {client: equipment_values(items) for client, items in rows.items()}


def _avoided(clients: Sequence[Client], on: date) -> dict[int, frozenset[str]]:
    found: dict[int, set[str]] = defaultdict(set)
    limits = JointLimit.objects.filter(
        client__in=clients, since__lte=on, action=LimitAction.AVOID.value
    )
    for limit in limits:
        if limit.until is None or limit.until > on:
            found[limit.client_id].add(limit.stress)
    return {client: frozenset(stresses) for client, stresses in found.items()}


def _rungs(
    clients: Sequence[Client],
) -> dict[tuple[str, int], tuple[int, plan.Exercise]]:
    """The exercise on each rung of each ladder; 2 queries."""
    if not clients:
        return {}
    rows = exercises_of(clients[0].coach).filter(coach__isnull=True, ladder__isnull=False)
    return {
        (row.ladder.key, row.rung): (row.pk, exercise_value(row))
        for row in rows
        if row.ladder and row.rung
    }


def _read(client: Client, week_starts_on: date, end: date, facts: _Facts) -> WeekReading:
    sessions = facts.sessions.get(client.pk, ())
    attendance = facts.attendance.get(client.pk, ())
    return WeekReading(
        client=client,
        week_starts_on=week_starts_on,
        sessions=sessions,
        attendance=attendance,
        findings=read_signals(sessions, attendance, today=end),
        proposals=_proposals(client, week_starts_on, facts),
        body_weight=facts.body_weights.get(client.pk),
    )


def _proposals(client: Client, week_starts_on: date, facts: _Facts) -> tuple[Proposal, ...]:
    """One proposal for each exercise trained this week that is still to come."""
    done = facts.exposures.get(client.pk, {})
    return tuple(
        _proposal(client, place, planned, done[place], facts)
        for place, planned in facts.coming.get(client.pk, {}).items()
        if place in done and done[place][-1].on >= week_starts_on
    )


def _proposal(
    client: Client,
    place: Place,
    planned: plan.Prescription,
    exposures: list[Exposure],
    facts: _Facts,
) -> Proposal:
    exercise_id, part = place
    equipment = facts.equipment.get(client.pk, ())
    asked = _asked(exposures[-1].planned or planned, exposures[-1])
    ladder, rung = asked.exercise.ladder, asked.exercise.rung
    harder = _allowed(client, (ladder, rung + 1), facts)
    easier = _allowed(client, (ladder, rung - 1), facts)
    neighbours = [value for _, value in (n for n in (harder, easier) if n)]
    target = next_target(
        asked,
        exposures,
        loads=available_loads(asked.exercise, equipment),
        harder=harder[1] if harder else None,
        easier=easier[1] if easier else None,
        body_weight=facts.body_weights.get(client.pk, UNKNOWN_BODY_WEIGHT),
        rung_loads={value.key: available_loads(value, equipment) for value in neighbours},
    )
    swap = next(
        (pk for pk, v in (n for n in (harder, easier) if n) if v.key == target.exercise_key), None
    )
    return Proposal(exercise_id, asked.exercise, plan.Part(part), planned, target, swap)


def _asked(planned: plan.Prescription, last: Exposure) -> plan.Prescription:
    """What was asked, with the load the client chose where the plan named none."""
    loads = [one.load for one in last.sets if not one.warm_up]
    if planned.load == 0 and loads and planned.exercise.load_kind is not plan.LoadKind.NONE:
        return replace(planned, load=loads[0])
    return planned


def _allowed(
    client: Client, place: tuple[str, int], facts: _Facts
) -> tuple[int, plan.Exercise] | None:
    """The exercise on a rung when the client's joints and equipment allow it."""
    found = facts.rungs.get(place)
    if not place[0] or found is None:
        return None
    kinds = {item.kind for item in facts.equipment.get(client.pk, ())}
    stresses = facts.avoided.get(client.pk, frozenset())
    value = found[1]
    if not can_do(value, kinds) or any(s.value in stresses for s in value.joint_stresses):
        return None
    return found


def proposals_by_key(reading: WeekReading) -> dict[str, Proposal]:
    """The proposals of a reading by the word that names them in a form."""
    return {proposal.key: proposal for proposal in reading.proposals}
