"""Reads for the phone pages: the plan around a day, and what was done before."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Min, Prefetch, QuerySet, Subquery

from clients.models import Client
from coaching.blocks.models import BlockVersion, PlannedSession
from coaching.blocks.queries import published_sessions, with_plan
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from sessions.models import Correction, LineChange, LoggedSession, LoggedSet, WeekReview
from sessions.queries import kept_sets
from sessions.shown_session import DAYS_OPEN
from sessions.word_models import Word

DAYS_AHEAD = 60
# How far back “last time” looks, so that the page costs the same after ten years.
DAYS_REMEMBERED = 120


def sessions_around(client: Client, today: date) -> list[PlannedSession]:
    """Published sessions from a week ago to two months ahead, with their logs; 1 query."""
    start, end = today - timedelta(days=DAYS_OPEN), today + timedelta(days=DAYS_AHEAD)
    rows = published_sessions([client], start, end)
    return list(rows.select_related("week__block", "logged_session"))


def plan_of(session: PlannedSession) -> PlannedSession:
    """The same session with its pairs and prescriptions; 3 queries."""
    return with_plan(PlannedSession.objects.filter(pk=session.pk)).get()


def usual_version(session: PlannedSession) -> PlannedSession | None:
    """The session of the same name in the last usual week before; 1 or 3 queries."""
    before = PlannedSession.objects.filter(
        week__block=session.week.block_id, name=session.name, on__lt=session.on
    ).exclude(week__kind=WeekKind.DELOAD.value)
    return with_plan(before.order_by("-on")).first()


def unplanned_sessions(client: Client, today: date) -> list[LoggedSession]:
    """Sessions without a plan of today and yesterday in which something was done; 1 query."""
    rows = LoggedSession.objects.filter(
        client=client,
        planned_session__isnull=True,
        on__range=(today - timedelta(days=1), today),
        sets__in=kept_sets(),
    )
    return list(rows.distinct().order_by("on", "started_at"))


def changes_of(logged: LoggedSession) -> list[LineChange]:
    """What was swapped or skipped in a session, and not taken back; 1 query."""
    return list(LineChange.objects.filter(logged_session=logged, removed_at__isnull=True))


def taken_back(logged: LoggedSession) -> list[dict[str, Any]]:
    """What was said in a session and taken back, by id and revision; 1 query."""
    sets = LoggedSet.objects.filter(logged_session=logged, removed_at__isnull=False)
    lines = LineChange.objects.filter(logged_session=logged, removed_at__isnull=False)
    rows = sets.order_by().values_list("uid", "revision")
    both = rows.union(lines.order_by().values_list("uid", "revision"), all=True)
    return [{"uid": str(uid), "revision": revision} for uid, revision in both]


def exercise_rows(exercise_ids: Iterable[int]) -> dict[int, Exercise]:
    """Exercises by id, those no longer in use too, with shares and ladders; 2 queries."""
    rows = Exercise.objects.filter(pk__in=set(exercise_ids)).select_related("ladder")
    return {row.pk: row for row in rows.prefetch_related("muscle_shares")}


@dataclass(frozen=True)
class LastTime:
    """The sets of one exercise as they were last done."""

    on: date
    amounts: tuple[int, ...]
    loads: tuple[float, ...]


def last_times(
    client: Client, exercises: Iterable[int], before: LoggedSession | None, today: date
) -> dict[int, LastTime]:
    """Each exercise as it was last done, other than in this session; 1 query."""
    rows = (
        kept_sets()
        .filter(
            logged_session__client=client,
            logged_session__on__range=(today - timedelta(days=DAYS_REMEMBERED), today),
            exercise__in=list(exercises),
            warm_up=False,
        )
        .exclude(logged_session=before)
        .order_by("-logged_session__on", "-logged_session_id", "number", "pk")
        .values_list("exercise", "logged_session", "logged_session__on", "amount", "load_kg")
    )
    newest: dict[int, int] = {}
    found: dict[int, LastTime] = {}
    for exercise, session, on, amount, load in rows:
        if newest.setdefault(exercise, session) != session:
            continue
        so_far = found.get(exercise, LastTime(on, (), ()))
        found[exercise] = LastTime(on, (*so_far.amounts, amount), (*so_far.loads, float(load)))
    return found


def latest_note(client: Client) -> WeekReview | None:
    """The newest reviewed week when the coach left a word with it; 1 query."""
    newest = (
        WeekReview.objects.filter(client=client, reviewed_at__isnull=False)
        .select_related("by")
        .order_by("-week_starts_on")
        .first()
    )
    return newest if newest and newest.note_to_client else None


def log_of(client: Client) -> QuerySet[LoggedSession]:
    """A client's sessions with their sets and exercises, newest first; 2 queries a page."""
    sets = kept_sets().select_related("exercise")
    return (
        LoggedSession.objects.filter(client=client)
        .order_by("-on", "-started_at")
        .prefetch_related(Prefetch("sets", queryset=sets))
    )


def missed_sessions(client: Client, start: date, end: date) -> QuerySet[PlannedSession]:
    """Published sessions that were neither begun nor skipped, newest first; 1 query."""
    rows = published_sessions([client], start, end).filter(started_at__isnull=True)
    return rows.filter(logged_session__isnull=True).order_by("-on", "position")


def exercise_results(client: Client, exercise_id: int) -> list[tuple[int, float, date]]:
    """Each amount at each load that was ever done, with the first day of it; 1 query."""
    mine = kept_sets().filter(logged_session__client=client, exercise=exercise_id, warm_up=False)
    kinds = mine.order_by().values("amount", "load_kg").annotate(first=Min("logged_session__on"))
    return [(row["amount"], float(row["load_kg"]), row["first"]) for row in kinds]


def exercise_log(client: Client, exercise_id: int, sessions: int) -> list[LoggedSet]:
    """The sets of one exercise in its newest sessions, oldest first; 2 queries."""
    mine = kept_sets().filter(logged_session__client=client, exercise=exercise_id, warm_up=False)
    newest = (
        LoggedSession.objects.filter(client=client, sets__in=mine)
        .distinct()
        .order_by("-on", "-pk")
        .values_list("pk", flat=True)[:sessions]
    )
    rows = mine.filter(logged_session__in=list(newest))
    rows = rows.select_related("logged_session", "exercise")
    return list(rows.order_by("logged_session__on", "logged_session_id", "number", "pk"))


def mark_of(client: Client) -> dict[str, str]:
    """How far plan and log of a client have come, to see whether pages kept earlier are old; 1 query."""

    def newest(rows: QuerySet[Any]) -> Subquery:
        return Subquery(rows.order_by("-pk").values("pk")[:1])

    sent = WeekReview.objects.filter(client=client, note_sent_at__isnull=False)
    sent = sent.order_by("-note_sent_at")
    version, note, word, one_set, statement, session = Client.objects.values_list(
        newest(BlockVersion.objects.filter(block__client=client)),
        Subquery(sent.values("note_sent_at")[:1]),
        newest(Word.objects.filter(client=client, from_client=False)),
        newest(LoggedSet.objects.filter(logged_session__client=client)),
        newest(Correction.objects.filter(client=client)),
        newest(LoggedSession.objects.filter(client=client)),
    ).get(pk=client.pk)
    return {"plan": f"{version} {note} {word}", "log": f"{one_set} {statement} {session}"}
