"""The rows that a roster's weeks are read from, fetched with a fixed number of queries.

Sets are read as plain columns and not as model instances: a roster of two hundred clients
has some hundred thousand of them in eight weeks.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from clients.models import Client, Equipment
from clients.queries import equipment_values
from coaching.blocks.limit_queries import avoided_findings, joints_of_clients
from coaching.blocks.models import PlannedSession, Week
from coaching.blocks.needed_equipment import BlockNeeds, needs_findings, running_needs
from coaching.blocks.plan_rows import snapshots_of
from coaching.blocks.queries import prescription_value, published_sessions, with_plan
from coaching.blocks.snapshots import Snapshot
from coaching.library.client_body import FittedExercises, bodies_of, fitted_exercises
from coaching.library.models import Exercise
from coaching.library.queries import known_exercises
from coaching.rules import log, plan
from coaching.rules.body import Body
from coaching.rules.findings import Finding
from coaching.rules.joint_limits import Joints
from coaching.rules.loads import EquipmentItem
from coaching.rules.progression import Exposure
from sessions.coming_courses import Coming, Course, courses_in
from sessions.goals_reached import Goal, goals_by_client
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import UNKNOWN_BODY_WEIGHT, attendance_of, latest_body_weights
from sessions.set_rows import Place, SetRow, asked_lines, exposures_of, rests_of, set_value
from sessions.sets_as_known import set_rows_known_by
from sessions.word_warnings import Said, words_of_clients

DAYS_AHEAD = 14
WEEKS_REMEMBERED = timedelta(weeks=26)


@dataclass(frozen=True)
class BlockPlace:
    """Where in which block a client's week stands."""

    block_id: int
    block: int
    week: int
    weeks: int
    kind: plan.WeekKind


@dataclass(frozen=True)
class Calendar:
    """What the published weeks of a client say about one of them."""

    place: BlockPlace | None
    ends_on: date
    """The last day that is planned."""
    weeks_without_deload: int
    deload_is_near: bool


@dataclass(frozen=True)
class Facts:
    """All that the readings of a roster rest on, by client."""

    sessions: Mapping[int, tuple[log.LoggedSession, ...]]
    exposures: Mapping[int, Mapping[Place, list[Exposure]]]
    attendance: Mapping[int, tuple[log.Attendance, ...]]
    body_weights: Mapping[int, float]
    coming: Mapping[int, Coming]
    calendars: Mapping[int, Calendar]
    equipment: Mapping[int, tuple[EquipmentItem, ...]]
    joints: Mapping[int, Joints]
    """Those of the clients that have a limit."""
    avoided: Mapping[int, tuple[Finding, ...]]
    """What is planned and loads what the client must avoid, undecided."""
    lacking: Mapping[int, tuple[BlockNeeds, ...]]
    """What is planned and needs equipment that is not there."""
    rungs: Mapping[tuple[str, int], tuple[int, plan.Exercise]]
    goals: Mapping[int, tuple[Goal, ...]]
    words: Mapping[int, tuple[Said, ...]]
    """What clients wrote to the coach since the week before the reviewed one."""

    def due(self, client: Client, end: date, today: date) -> tuple[log.Attendance, ...]:
        """What became of the planned sessions up to a day, of those that were due."""
        own = (one for one in self.attendance.get(client.pk, ()) if one.on <= end)
        return tuple(a for a in own if a.done or a.skipped_reason or a.on < today)

    def of_what_is_ahead(self, client: Client) -> tuple[Finding, ...]:
        """What is found in the sessions to come: joints to be spared, equipment that is gone."""
        return (
            *self.avoided.get(client.pk, ()),
            *needs_findings(self.lacking.get(client.pk, ())),
        )

    def words_of(self, client: Client) -> tuple[Said, ...]:
        """What a client wrote to the coach."""
        return self.words.get(client.pk, ())

    def open_goals(self, client: Client, day: date) -> list[Goal]:
        """The goals set by a day that nobody has called reached."""
        goals = self.goals.get(client.pk, ())
        return [one for one in goals if one.reached_on is None and one.is_open(day)]


def facts_of(
    clients: Sequence[Client], since: tuple[date, date], week_starts_on: date, today: date
) -> Facts:
    """What was done up to today, and what is planned; 18 queries for any roster.

    Sessions are read from the first day of ``since``, targets and attendance from the second.
    4 more when a client of it must avoid something.
    """
    end = max(today, week_starts_on + timedelta(days=6))
    weights = latest_body_weights(clients)
    joints = joints_of_clients(clients)
    equipment = _equipment(clients)
    kinds = {pk: {item.kind for item in items} for pk, items in equipment.items()}
    bodies = bodies_of(clients, weights, today)
    followed, start = since
    sessions, exposures = _logs(clients, (followed, start, end), weights, bodies)
    return Facts(
        sessions=sessions,
        exposures=exposures,
        attendance=attendance_of(clients, start, end),
        body_weights=weights,
        coming=_coming(clients, today, bodies),
        calendars=_calendars(clients, week_starts_on),
        equipment=equipment,
        joints=joints,
        avoided=avoided_findings(joints, today),
        lacking=running_needs([client.pk for client in clients], kinds, today),
        rungs=_rungs(clients),
        goals=goals_by_client(clients),
        words=words_of_clients(clients, week_starts_on - timedelta(days=7)),
    )


def logged_sessions(
    client: Client, start: date, end: date, today: date
) -> tuple[log.LoggedSession, ...]:
    """One client's sessions from start to end as the rules read them; 7 queries."""
    weights = latest_body_weights([client])
    bodies = bodies_of([client], weights, today)
    return sessions_between([client], (start, end), weights, bodies).get(client.pk, ())


def log_since(
    client: Client, start: date, today: date
) -> tuple[tuple[log.LoggedSession, ...], Mapping[Place, list[Exposure]]]:
    """One client's sessions from a day on, and what each exercise was in them; 7 queries."""
    weights = latest_body_weights([client])
    bodies = bodies_of([client], weights, today)
    sessions, exposures = _logs([client], (start, start, today), weights, bodies)
    return sessions.get(client.pk, ()), exposures.get(client.pk, {})


def sessions_between(
    clients: Sequence[Client],
    days: tuple[date, date],
    weights: Mapping[int, float],
    bodies: Mapping[int, Body],
    known_by: datetime | None = None,
) -> dict[int, tuple[log.LoggedSession, ...]]:
    """The sessions of those clients from the first to the second day; 3 queries, or 4.

    Args:
        clients: Whose.
        days: The first and the last, both included.
        weights: Body weight [kg] by client, for sessions that name none.
        bodies: Those that are known, by client.
        known_by: With a moment, sets are read as they stood then.
    """
    start, end = days
    none_of_them = end + timedelta(days=1)
    return _logs(clients, (start, none_of_them, end), weights, bodies, known_by)[0]


Sessions = dict[int, tuple[log.LoggedSession, ...]]
Exposures = dict[int, dict[Place, list[Exposure]]]


def _logs(
    clients: Sequence[Client],
    days: tuple[date, date, date],
    weights: Mapping[int, float],
    bodies: Mapping[int, Body],
    known_by: datetime | None = None,
) -> tuple[Sessions, Exposures]:
    """Logged sessions from the first day as values; from the second on what each exercise was.

    3 queries.
    """
    followed, start, end = days
    heads = list(
        LoggedSession.objects.filter(
            client__in=clients, on__range=(followed, end), skipped_reason=""
        ).order_by("on", "started_at")
    )
    rows = (
        _set_rows(clients, (followed, end))
        if known_by is None
        else set_rows_known_by(clients, (followed, end), known_by)
    )
    exercises = fitted_exercises({row.exercise_id for row in rows}, bodies)
    owner = {head.pk: head.client_id for head in heads}
    asked = {head.pk: asked_lines(head.plan) for head in heads}
    rests = {head.pk: rests_of(head.plan) for head in heads}
    by_session: dict[int, list[tuple[SetRow, log.LoggedSet]]] = defaultdict(list)
    for row in rows:
        exercise = exercises.of(owner[row.logged_session_id], row.exercise_id)
        pk = row.logged_session_id
        by_session[pk].append((row, set_value(row, exercise, asked[pk], rests[pk])))
    sessions: dict[int, list[log.LoggedSession]] = defaultdict(list)
    exposures: Exposures = defaultdict(lambda: defaultdict(list))
    for head in heads:
        done = by_session[head.pk]
        weight = float(head.body_weight_kg or weights.get(head.client_id) or UNKNOWN_BODY_WEIGHT)
        sessions[head.client_id].append(_session_value(head, weight, [one for _, one in done]))
        found = exposures_of(head, done, asked[head.pk], exercises) if head.on >= start else ()
        for place, exposure in found:
            exposures[head.client_id][place].append(exposure)
    return {client: tuple(found) for client, found in sessions.items()}, exposures


def _set_rows(clients: Sequence[Client], days: tuple[date, date]) -> list[SetRow]:
    """The sets of those days that stand, in the order in which they were done; 1 query."""
    rows = LoggedSet.objects.filter(
        logged_session__client__in=clients,
        logged_session__on__range=days,
        logged_session__skipped_reason="",
        removed_at__isnull=True,
    )
    rows = rows.order_by("done_at", "pk")
    return [SetRow(*row) for row in rows.values_list(*SetRow._fields)]


def _session_value(
    head: LoggedSession, body_weight: float, sets: Iterable[log.LoggedSet]
) -> log.LoggedSession:
    return log.LoggedSession(
        on=head.on,
        sets=tuple(sets),
        body_weight=body_weight,
        kind=plan.WeekKind(head.kind),
        rpe=None if head.rpe is None else float(head.rpe),
        note=head.note,
        name=head.name,
        finished=head.finished_at is not None,
    )


def _coming(
    clients: Sequence[Client], today: date, bodies: Mapping[int, Body]
) -> dict[int, Coming]:
    """What the sessions to come ask in each course, in the next block to train; 5 queries."""
    ahead = published_sessions(clients, today, today + timedelta(days=DAYS_AHEAD))
    rows = list(
        with_plan(ahead.filter(started_at__isnull=True, week__kind=plan.WeekKind.BUILD.value))
    )
    used = {p.exercise_id for r in rows for pair in r.pairs.all() for p in pair.prescriptions.all()}
    exercises = fitted_exercises(used, bodies)
    blocks: dict[int, int] = {}
    ahead_of: dict[int, list[tuple[Place, date, plan.Prescription]]] = defaultdict(list)
    for row in rows:
        client = row.week.block.client_id
        if blocks.setdefault(client, row.week.block_id) == row.week.block_id:
            found = ((place, row.on, value) for place, value in _asked_in(row, exercises))
            ahead_of[client].extend(found)
    plans = snapshots_of(blocks.values())
    return {
        client: _course_by_course(block, plans[block], ahead_of[client], today)
        for client, block in blocks.items()
    }


def _course_by_course(
    block: int,
    snapshot: Snapshot,
    ahead_of: Sequence[tuple[Place, date, plan.Prescription]],
    today: date,
) -> Coming:
    measures = {place: value.exercise.measure for place, _, value in ahead_of}
    courses = courses_in(snapshot, measures, today)
    asked: dict[Course, list[plan.Prescription]] = defaultdict(list)
    days: dict[Course, date] = {}
    for place, on, value in ahead_of:
        course = courses.of_line(place, value.key)
        asked[course].append(value)
        days.setdefault(course, on)
    since = date.fromisoformat(snapshot["weeks"][0]["starts_on"])
    # A heavy and a light day of one exercise stand one below the other.
    order = {place: n for n, place in enumerate(measures)}
    one_by_one = sorted(asked, key=lambda one: order[one.exercise_id, one.part])
    ways = {one: _distinct(asked[one]) for one in one_by_one}
    return Coming(block, ways, days, courses, since)


def _asked_in(
    row: PlannedSession, exercises: FittedExercises
) -> Iterable[tuple[Place, plan.Prescription]]:
    client = row.week.block.client_id
    for pair in row.pairs.all():
        for p in pair.prescriptions.all():
            value = prescription_value(p, pair.part, exercises.of(client, p.exercise_id))
            yield (p.exercise_id, pair.part), value


def _distinct(found: Sequence[plan.Prescription]) -> tuple[plan.Prescription, ...]:
    """One prescription for each way in which an exercise is asked for, the next one first."""
    ways = {(one.targets, one.load): one for one in reversed(found)}
    return tuple(reversed(ways.values()))


def _calendars(clients: Sequence[Client], week_starts_on: date) -> dict[int, Calendar]:
    """What the published weeks of the last half year and on say of each client; 1 query."""
    rows = Week.objects.filter(
        block__client__in=clients,
        block__published_at__isnull=False,
        starts_on__gte=week_starts_on - WEEKS_REMEMBERED,
    ).order_by("starts_on")
    weeks: dict[int, list[Week]] = defaultdict(list)
    for row in rows.select_related("block"):
        weeks[row.block.client_id].append(row)
    return {client: calendar_of(mine, week_starts_on) for client, mine in weeks.items()}


def calendar_of(weeks: Sequence[Week], week_starts_on: date) -> Calendar:
    """What a client's published weeks, oldest first, say about one of them; no query."""
    end = week_starts_on + timedelta(days=6)
    begun = [w for w in weeks if w.starts_on <= end]
    is_deload = plan.WeekKind.DELOAD.value
    since = next((n for n, w in enumerate(reversed(begun)) if w.kind == is_deload), len(begun))
    return Calendar(
        place=_place(weeks, begun, week_starts_on),
        ends_on=weeks[-1].starts_on + timedelta(days=6),
        weeks_without_deload=since,
        deload_is_near=any(
            w.kind == is_deload and end < w.starts_on <= end + timedelta(days=14) for w in weeks
        ),
    )


def _place(weeks: Sequence[Week], begun: Sequence[Week], week_starts_on: date) -> BlockPlace | None:
    """The last week that began before the reviewed one ended, unless it ended before."""
    if not begun or begun[-1].starts_on <= week_starts_on - timedelta(days=7):
        return None
    now = begun[-1]
    return BlockPlace(
        block_id=now.block_id,
        block=now.block.number,
        week=now.number,
        weeks=max(w.number for w in weeks if w.block_id == now.block_id),
        kind=plan.WeekKind(now.kind),
    )


def _equipment(clients: Sequence[Client]) -> dict[int, tuple[EquipmentItem, ...]]:
    rows: dict[int, list[Equipment]] = defaultdict(list)
    for row in Equipment.objects.filter(client__in=clients):
        rows[row.client_id].append(row)
    return {client: equipment_values(items) for client, items in rows.items()}


def _rungs(clients: Sequence[Client]) -> dict[tuple[str, int], tuple[int, plan.Exercise]]:
    """The exercise on each rung of each ladder; 1 query."""
    if not clients:
        return {}
    rows = Exercise.objects.in_use().filter(coach__isnull=True, ladder__isnull=False)
    values = {pk: known.value for pk, known in known_exercises(rows).items()}
    return {(one.ladder, one.rung): (pk, one) for pk, one in values.items()}


def with_chosen_load(planned: plan.Prescription, last: Exposure) -> plan.Prescription:
    """What was asked, with the load the client chose where the plan named none."""
    loads = [one.load for one in last.sets if not one.warm_up]
    if planned.load == 0 and loads and planned.exercise.load_kind is not plan.LoadKind.NONE:
        return replace(planned, load=loads[0])
    return planned
