"""Brings a log from a file into a practice: all of it, or nothing."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from uuid import uuid4
from zoneinfo import ZoneInfo

from django.db import transaction

from clients.models import BodyWeight, Client, User
from clients.queries import usual_time_zone
from clients.row_counts import count_rows_anew
from clients.services import create_client
from coaching.library.errors import OwnExerciseError
from coaching.library.models import Exercise
from coaching.library.own_exercise_services import add_own_exercise
from coaching.rules.plan import Pattern, WeekKind
from sessions.errors import LogFileError, LogImportError, RowFault
from sessions.log_new_exercises import new_exercise
from sessions.log_rows import Day, Log, LogRow, Said, doubled_sets, said_of_sessions
from sessions.models import LoggedSession, LoggedSet
from sessions.queries_log_import import (
    Known,
    differing_sessions,
    differing_sets,
    known_of,
    shared_by_pattern,
)

SESSION_NAME = "Imported session"
NOON = time(12)
"""A log tells no time of day: sets are put a minute apart from noon on, in the file's order."""
SET_APART = timedelta(minutes=1)

SaidOfDays = Mapping[Day, Mapping[str, Said]]
Sessions = dict[Day, LoggedSession]


@dataclass(frozen=True)
class Imported:
    """What an import brought, for its summary."""

    rows: int
    clients: int
    new_clients: tuple[Client, ...]
    exercises: int
    new_exercises: tuple[Exercise, ...]
    sessions: int
    new_sessions: int
    new_sets: int

    @property
    def known_sets(self) -> int:
        """Rows whose set the practice held already."""
        return self.rows - self.new_sets


@transaction.atomic
def import_log(*, coach: User, log: Log) -> Imported:
    """Bring the rows of a log into a coach's practice; a set that is there is left alone.

    Raises:
        LogImportError: Some rows have to be mended; every fault is named, nothing is written.
        LogFileError: The practice has no shared library yet.
    """
    # Two imports of one coach go one after the other, so that nothing is doubled.
    User.objects.select_for_update().get(pk=coach.pk)
    known = known_of(coach, log.rows)
    _refuse_without_library(known)
    said, faults = said_of_sessions(log.rows)
    faults += [*log.faults, *_two_of_a_name(log.rows, known)]
    same = {name: row.pk for name, row in known.exercises.items()}
    faults += [*doubled_sets(log.rows, same), *differing_sets(log.rows, known)]
    faults += [*differing_sessions(said, known)]
    strangers = _strangers(log.rows, known)
    patterns = _patterns(strangers, faults)
    if faults:
        raise LogImportError(faults)
    exercises = _add_exercises(coach, strangers, patterns)
    clients = _add_clients(coach, log.rows, known)
    everyone = {name: found[0] for name, found in known.clients.items()} | clients
    _add_weights(said, everyone, known)
    fresh = [row for row in log.rows if known.place_of(row) not in known.sets]
    sessions, begun = _add_sessions(fresh, said, everyone, known)
    _add_sets(fresh, sessions, {**known.exercises, **exercises})
    count_rows_anew(Client, BodyWeight, LoggedSession, LoggedSet)
    return Imported(
        rows=len(log.rows),
        clients=len({row.client_key for row in log.rows}),
        new_clients=tuple(clients.values()),
        exercises=len({same.get(row.exercise_key, row.exercise_key) for row in log.rows}),
        new_exercises=tuple(exercises.values()),
        sessions=len({row.day for row in log.rows}),
        new_sessions=begun,
        new_sets=len(fresh),
    )


def _refuse_without_library(known: Known) -> None:
    if all(row.coach_id is not None for row in known.exercises.values()):
        message = (
            "The practice has no shared exercises yet, and the log's are looked for among them; run "
            "“python3 manage.py start” once, stop it with Ctrl-C, and import again."
        )
        raise LogFileError(message)


def _two_of_a_name(rows: Sequence[LogRow], known: Known) -> Iterator[RowFault]:
    told: set[str] = set()
    for row in rows:
        if len(known.clients.get(row.client_key, ())) > 1 and row.client_key not in told:
            told.add(row.client_key)
            message = (
                f"Two of your clients are called {row.client}. Give one of them another name in "
                "the app, and write that of the right one here."
            )
            yield RowFault(row.line, "client", message)


def _strangers(rows: Sequence[LogRow], known: Known) -> dict[str, list[LogRow]]:
    """The rows of each exercise that the library does not hold."""
    found: dict[str, list[LogRow]] = defaultdict(list)
    for row in rows:
        if row.names("exercise") and row.exercise_key not in known.exercises:
            found[row.exercise_key].append(row)
    return found


def _patterns(
    strangers: Mapping[str, Sequence[LogRow]], faults: list[RowFault]
) -> dict[str, Pattern]:
    """The pattern of each new exercise; one that is missing or unclear joins the faults."""
    found: dict[str, Pattern] = {}
    for name, rows in strangers.items():
        for row in rows:
            if row.pattern is None:
                continue
            first = found.setdefault(name, row.pattern)
            if first is not row.pattern:
                message = (
                    f"“{row.exercise}” is {row.pattern} here and {first} in an earlier row. "
                    "Write the same in both, or leave one empty."
                )
                faults.append(RowFault(row.line, "pattern", message))
        if name not in found and all(row.names("pattern") for row in rows):
            message = (
                f"“{rows[0].exercise}” is not in the library. To make it your own exercise write "
                f"its pattern ({', '.join(Pattern)}) in one of its rows; or correct its name."
            )
            faults.append(RowFault(rows[0].line, "pattern", message))
    return found


def _add_exercises(
    coach: User, strangers: Mapping[str, Sequence[LogRow]], patterns: Mapping[str, Pattern]
) -> dict[str, Exercise]:
    shared = shared_by_pattern() if strangers else {}
    made: dict[str, Exercise] = {}
    faults: list[RowFault] = []
    for name, rows in strangers.items():
        pattern = patterns[name]
        try:
            values = new_exercise(rows, pattern, shared[pattern])
            made[name] = add_own_exercise(coach=coach, values=values)
        except OwnExerciseError as error:
            faults += [RowFault(rows[0].line, "exercise", one.message) for one in error.faults]
    if faults:
        raise LogImportError(faults)
    return made


def _add_clients(coach: User, rows: Sequence[LogRow], known: Known) -> dict[str, Client]:
    names = {row.client_key: row.client for row in reversed(rows)}
    zone = usual_time_zone(coach) or "UTC"
    return {
        key: create_client(coach=coach, name=name, time_zone=zone)
        for key, name in sorted(names.items())
        if key not in known.clients
    }


def _add_weights(said: SaidOfDays, clients: Mapping[str, Client], known: Known) -> None:
    """Keep the body weights of days that have none, with the sessions that are there."""
    new = {
        (clients[name].pk, on): words["body_weight_kg"].value
        for (name, on), words in said.items()
        if "body_weight_kg" in words and (clients[name].pk, on) not in known.weights
    }
    BodyWeight.objects.bulk_create(
        (BodyWeight(client_id=client, on=on, kg=kg) for (client, on), kg in new.items()),
        batch_size=1000,
    )
    there = [row for day in new for row in known.sessions.get(day, [])]
    for row in there:
        row.body_weight_kg = new[row.client_id, row.on]
    LoggedSession.objects.bulk_update(there, ["body_weight_kg"], batch_size=500)


class _Weights:
    """The newest body weight of each client on or before a day [kg]."""

    def __init__(self, clients: Sequence[Client]) -> None:
        self._of: dict[int, tuple[list[date], list[Decimal]]] = defaultdict(lambda: ([], []))
        rows = BodyWeight.objects.filter(client__in=clients).order_by("client_id", "on")
        for client, on, kg in rows.values_list("client_id", "on", "kg"):
            self._of[client][0].append(on)
            self._of[client][1].append(kg)

    def on(self, client: Client, day: date) -> Decimal | None:
        """None when nothing was weighed until then."""
        days, kilograms = self._of[client.pk]
        place = bisect_right(days, day)
        return kilograms[place - 1] if place else None


def _add_sessions(
    rows: Sequence[LogRow], said: SaidOfDays, clients: Mapping[str, Client], known: Known
) -> tuple[Sessions, int]:
    """The session of each day that gets sets, and how many of them are new."""
    weights = _Weights(list(clients.values()))
    counts: dict[Day, int] = defaultdict(int)
    for row in rows:
        counts[row.day] += 1
    sessions: Sessions = {}
    new: list[LoggedSession] = []
    for (name, on), sets in counts.items():
        client, words = clients[name], said[name, on]
        there = known.sessions.get((client.pk, on))
        if there:
            sessions[name, on] = there[0]
            continue
        started = _noon(client, on)
        rpe, deload = words.get("session_rpe"), words.get("planned_deload")
        kind = WeekKind.DELOAD if deload and deload.value else WeekKind.BUILD
        sessions[name, on] = LoggedSession(
            client=client,
            on=on,
            name=SESSION_NAME,
            kind=kind.value,
            started_at=started,
            finished_at=started + (sets - 1) * SET_APART,
            rpe=rpe.value if rpe else None,
            body_weight_kg=weights.on(client, on),
            revision=1,
        )
        new.append(sessions[name, on])
    LoggedSession.objects.bulk_create(new, batch_size=500)
    return sessions, len(new)


def _noon(client: Client, on: date) -> datetime:
    return datetime.combine(on, NOON, tzinfo=ZoneInfo(client.time_zone))


def _add_sets(
    rows: Sequence[LogRow], sessions: Sessions, exercises: Mapping[str, Exercise]
) -> None:
    done: dict[Day, int] = defaultdict(int)
    made: list[LoggedSet] = []
    for row in rows:
        session = sessions[row.day]
        made.append(
            LoggedSet(
                uid=uuid4(),
                logged_session=session,
                exercise=exercises[row.exercise_key],
                number=row.number,
                amount=row.reps,
                load_kg=row.load_kg,
                target=row.target_reps,
                rir=row.rir,
                pain=row.pain,
                note=row.note,
                done_at=session.started_at + done[row.day] * SET_APART,
                revision=1,
            )
        )
        done[row.day] += 1
    LoggedSet.objects.bulk_create(made, batch_size=1000)
