"""What a practice already holds of a log that comes in, and where the two differ."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db.models import F

from clients.models import BodyWeight, Client, User
from coaching.library.models import Exercise
from coaching.library.own_exercise_checks import folded_name
from coaching.rules.plan import Pattern, WeekKind
from sessions.errors import RowFault
from sessions.log_rows import Day, LogRow, Said, shown
from sessions.models import LoggedSession, LoggedSet

SetPlace = tuple[int, date, int, int]
"""A client's row id, a day, an exercise's row id and the number of the set."""

_COMPARED = {
    "reps": "amount",
    "load_kg": "load_kg",
    "target_reps": "target",
    "rir": "rir",
    "pain": "pain",
    "note": "note",
}
"""What is compared of a set: column and field. An empty cell claims nothing."""


class KnownSet(NamedTuple):
    """What was logged in a set that is already there, and in which session."""

    session_id: int
    amount: int
    load_kg: Decimal
    rir: int | None
    pain: int | None
    note: str
    target: int | None


@dataclass(frozen=True)
class Known:
    """What the practice holds of the clients, exercises and days that a log names.

    Clients and exercises are by folded name; sets that were taken back are among the sets,
    so that a second import does not bring them back.
    """

    clients: Mapping[str, list[Client]]
    exercises: Mapping[str, Exercise]
    sessions: Mapping[tuple[int, date], list[LoggedSession]]
    sets: Mapping[SetPlace, list[KnownSet]]
    weights: Mapping[tuple[int, date], Decimal]

    def place_of(self, row: LogRow) -> SetPlace | None:
        """Where a row's set stands if it is known; none for a new client or exercise."""
        found, exercise = self.clients.get(row.client_key), self.exercises.get(row.exercise_key)
        if not found or exercise is None:
            return None
        return found[0].pk, row.on, exercise.pk, row.number


def known_of(coach: User, rows: Iterable[LogRow]) -> Known:
    """What a coach's practice holds of the rows of a log; 5 queries."""
    rows = list(rows)
    names = {row.client_key for row in rows}
    clients: dict[str, list[Client]] = defaultdict(list)
    for client in Client.objects.filter(coach=coach).order_by("pk"):
        if folded_name(client.name) in names:
            clients[folded_name(client.name)].append(client)
    ids = [client.pk for found in clients.values() for client in found]
    days = [row.on for row in rows if row.names("date")] or [date.min]
    return Known(
        clients=dict(clients),
        exercises=_exercises(coach),
        sessions=_sessions(ids, min(days), max(days)),
        sets=_sets(ids, min(days), max(days)),
        weights={
            (client, on): kg
            for client, on, kg in BodyWeight.objects.filter(client__in=ids).values_list(
                "client_id", "on", "kg"
            )
        },
    )


def shared_by_pattern() -> dict[Pattern, list[Exercise]]:
    """The shared exercises in use of each pattern, with their muscle shares; 2 queries."""
    found: dict[Pattern, list[Exercise]] = defaultdict(list)
    rows = Exercise.objects.in_use().filter(coach__isnull=True).order_by("key")
    for row in rows.prefetch_related("muscle_shares"):
        found[Pattern(row.pattern)].append(row)
    return found


def _exercises(coach: User) -> dict[str, Exercise]:
    """By folded name and by key: a name before a key, one in use before a retired, own before shared."""
    rows = sorted(
        Exercise.objects.of_coach(coach).order_by("pk"),
        key=lambda row: (row.retired_at is None, row.coach_id is not None),
    )
    by_key = {folded_name(row.key): row for row in rows}
    by_name = {folded_name(row.name): row for row in rows}
    return by_key | by_name


def _sessions(
    clients: Iterable[int], start: date, end: date
) -> dict[tuple[int, date], list[LoggedSession]]:
    found: dict[tuple[int, date], list[LoggedSession]] = defaultdict(list)
    rows = LoggedSession.objects.filter(
        client__in=list(clients), on__range=(start, end), skipped_reason=""
    ).order_by("started_at", "pk")
    for row in rows.defer("plan"):
        found[row.client_id, row.on].append(row)
    return dict(found)


def _sets(clients: Iterable[int], start: date, end: date) -> dict[SetPlace, list[KnownSet]]:
    found: dict[SetPlace, list[KnownSet]] = defaultdict(list)
    rows = LoggedSet.objects.filter(
        logged_session__client__in=list(clients), logged_session__on__range=(start, end)
    ).annotate(client=F("logged_session__client_id"), day=F("logged_session__on"))
    fields = (
        *("client", "day", "exercise_id", "number"),
        *("logged_session_id", "amount", "load_kg", "rir", "pain", "note", "target"),
    )
    for client, on, exercise, number, *rest in rows.values_list(*fields):
        found[client, on, exercise, number].append(KnownSet(*rest))
    return dict(found)


def differing_sets(rows: Iterable[LogRow], known: Known) -> Iterator[RowFault]:
    """Rows whose set is in the practice, but not as the row says."""
    for row in rows:
        place = known.place_of(row) if row.names("client", "date", "exercise", "set") else None
        there = known.sets.get(place, []) if place else []
        if not there or any(not _differing(row, one) for one in there):
            continue
        for column, value in _differing(row, there[0]).items():
            message = (
                f"The practice holds {_or_nothing(value)} for set {row.number} of “{row.exercise}” by "
                f"{row.client} on {row.on}, and here stands {shown(getattr(row, column))}. "
                "Write what it holds, or take this row away and correct the set in the app."
            )
            yield RowFault(row.line, column, message)


def _differing(row: LogRow, there: KnownSet) -> dict[str, object]:
    return {
        column: getattr(there, field)
        for column, field in _COMPARED.items()
        if row.names(column) and getattr(row, column) not in {None, "", getattr(there, field)}
    }


def differing_sessions(said: Mapping[Day, Mapping[str, Said]], known: Known) -> Iterator[RowFault]:
    """Words on a whole session that the practice holds otherwise."""
    for (name, on), words in said.items():
        client = next(iter(known.clients.get(name, [])), None)
        if client is None:
            continue
        session = next(iter(known.sessions.get((client.pk, on), [])), None)
        weight = known.weights.get((client.pk, on))
        there: dict[str, object] = {}
        if session is not None:
            there["session_rpe"] = session.rpe
            there["planned_deload"] = session.kind == WeekKind.DELOAD.value
        if weight is not None:
            there["body_weight_kg"] = weight
        for column, one in words.items():
            if column in there and there[column] != one.value:
                message = (
                    f"The practice holds {_or_nothing(there[column])} for {client.name}'s session on "
                    f"{on}, and here stands {shown(one.value)}. Write what it holds, or leave it empty."
                )
                yield RowFault(one.line, column, message)


def _or_nothing(value: object) -> str:
    return "nothing" if value is None or not str(value) else shown(value)
