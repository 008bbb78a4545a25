"""What the Today page needs: which session, its plan, and what the phone works on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from clients.models import BodyWeight, Client, User
from clients.queries import equipment_of, screening_answers
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, PlannedSession
from coaching.blocks.queries import session_values
from coaching.rules import plan
from coaching.rules.care import SAME_DAY
from coaching.rules.joint_limits import Joints
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import WeekKind
from coaching.rules.screening import breath_caution
from coaching.rules.session_clock import session_minutes
from sessions.models import LoggedSession
from sessions.pages_session import PairView, light_words, pair_views, session_data
from sessions.queries import kept_sets
from sessions.queries_phone import (
    last_times,
    latest_note,
    plan_of,
    sessions_around,
    usual_version,
)

STILL_RUNNING = timedelta(hours=12)
MOST_MISSED = 2

EFFORT_WORDS = (
    "rest",
    "very, very easy",
    "easy",
    "moderate",
    "somewhat hard",
    "hard",
    "",
    "very hard",
    "",
    "",
    "maximal",
)
"""Session RPE 0-10, Foster's modification of Borg's CR-10 as printed in J Sports Sci Med
2006;5, table 1; 6, 8 and 9 have no word there."""

PAIN_PLACES = ("shoulder", "elbow", "wrist", "neck", "back", "hip", "knee", "ankle")
SKIP_REASONS = ("no time", "ill", "tired", "travelling", "pain")


@dataclass(frozen=True)
class SessionView:
    """One session on the phone."""

    name: str
    on: date
    is_today: bool
    minutes: int
    pairs: tuple[PairView, ...]
    light: str
    care: tuple[str, ...]
    """What to leave out, or to mind, before the session is begun."""
    left_out: frozenset[str]
    """The prescriptions that wait for the coach to decide about a joint limit."""


@dataclass(frozen=True)
class TodayPage:
    """Everything that Today shows; ``data`` is for its scripts."""

    client: Client
    for_coach: bool
    today: date
    session: SessionView | None
    others: tuple[PlannedSession, ...]
    missed: tuple[PlannedSession, ...]
    coming: PlannedSession | None
    has_plan: bool
    had_plan: bool
    note: str
    note_by: str
    weight: BodyWeight | None
    data: dict[str, Any]
    effort: tuple[tuple[int, str], ...] = tuple(enumerate(EFFORT_WORDS))
    pain_places: tuple[str, ...] = PAIN_PLACES
    same_day: str = SAME_DAY
    skip_reasons: tuple[str, ...] = SKIP_REASONS
    reserve: tuple[tuple[int, str], ...] = ((0, "0"), (1, "1"), (2, "2"), (3, "3"), (4, "4+"))


def logged_of(row: PlannedSession) -> LoggedSession | None:
    """What was logged of a planned session, without asking the database again."""
    return getattr(row, "logged_session", None)


def is_open(row: PlannedSession) -> bool:
    """Whether a session is still to be done or to be finished."""
    logged = logged_of(row)
    return logged is None or not (logged.finished_at or logged.skipped_reason)


def choose(rows: Sequence[PlannedSession], today: date, now: datetime) -> PlannedSession | None:
    """The session to show: one that runs, else today's open one, else today's last.

    A session that was begun late in the evening runs on past midnight.
    """
    running = [
        row
        for row in rows
        if is_open(row)
        and (logged := logged_of(row)) is not None
        and abs(now - logged.started_at) < STILL_RUNNING
    ]
    if running:
        return running[-1]
    of_today = _of_today(rows, today)
    still_open = [row for row in of_today if is_open(row)]
    return next(iter(still_open or of_today[::-1]), None)


def _of_today(rows: Sequence[PlannedSession], today: date) -> list[PlannedSession]:
    found = []
    for row in rows:
        logged = logged_of(row)
        if (logged.on if logged else row.on) == today:
            found.append(row)
    return found


def today_page(
    client: Client, user: User, now: datetime, urls: dict[str, str], wanted: PlannedSession | None
) -> TodayPage:
    """Today for a client, or for their coach; 16 queries at most, 20 in a light week."""
    today = client.local_date(now)
    rows = sessions_around(client, today)
    chosen = wanted or choose(rows, today, now)
    note = latest_note(client)
    data = _page_data(client, user, today, urls)
    view = _session_view(client, chosen, today, data) if chosen else None
    taken = chosen.pk if chosen else None
    not_begun = [row for row in rows if row.started_at is None and row.pk != taken]
    return TodayPage(
        client=client,
        for_coach=user.is_coach,
        today=today,
        session=view,
        others=tuple(row for row in _of_today(rows, today) if row.pk != taken),
        missed=tuple([r for r in not_begun if r.on < today and is_open(r)][-MOST_MISSED:]),
        coming=next((row for row in not_begun if row.on > today), None),
        has_plan=bool(rows),
        had_plan=bool(rows)
        or Block.objects.filter(client=client, published_at__isnull=False).exists(),
        note=note.note_to_client if note else "",
        note_by=note.by.name if note and note.by else "",
        weight=BodyWeight.objects.filter(client=client, on__lte=today).order_by("-on").first(),
        data=data,
    )


def _page_data(client: Client, user: User, today: date, urls: dict[str, str]) -> dict[str, Any]:
    return {
        **urls,
        "user": user.pk,
        "client": client.pk,
        "today": today.isoformat(),
        "with_whom": "in the log" if user.is_coach else "with your coach",
        "asks_rir": client.asks_rir,
        "pain_limit": int(PAIN_LIMIT.value),
    }


def _session_view(
    client: Client, chosen: PlannedSession, today: date, data: dict[str, Any]
) -> SessionView:
    logged = logged_of(chosen)
    session = plan_of(chosen)
    value = session_values([session])[session.pk]
    sets = list(kept_sets().filter(logged_session=logged)) if logged else []
    exercises = [p.exercise_id for pair in session.pairs.all() for p in pair.prescriptions.all()]
    last = last_times(client, exercises, logged, today)
    minutes = round(session_minutes(value).total)
    data.update(session_data(session, value, equipment_of(client), logged, sets))
    data["minutes"] = minutes
    joints = joints_of(client)
    is_over = logged is not None and logged.finished_at is not None
    blocked = {} if is_over else blocked_in(value, joints)
    is_light = session.week.kind == WeekKind.DELOAD.value
    return SessionView(
        name=session.name,
        on=session.on,
        is_today=session.on == today,
        minutes=minutes,
        pairs=pair_views(session, last, sets),
        light=light_words(session, usual_version(session)) if is_light else "",
        care=() if is_over else care_words(client, value, blocked),
        left_out=frozenset(blocked),
    )


def blocked_in(session: plan.PlannedSession, joints: Joints) -> dict[str, str]:
    """What a session holds that the client must avoid, in words by prescription; no query.

    A joint limit may have been written down after the session was planned: what loads it is
    left out until the coach has decided.
    """
    found = {one.key: joints.blocking(one.exercise, session.on) for one in session.prescriptions}
    return {
        one.key: f"{one.exercise.name} ({', '.join(str(limit) for limit in found[one.key])})"
        for one in session.prescriptions
        if found[one.key]
    }


def care_words(
    client: Client, session: plan.PlannedSession, blocked: dict[str, str]
) -> tuple[str, ...]:
    """What a client is told to leave out or to mind in a session; no query."""
    told = []
    if blocked:
        names = ", ".join(dict.fromkeys(blocked.values()))
        told.append(
            f"Leave out for now, until your coach has decided: {names}. You and your coach wrote "
            "down that you avoid this."
        )
    breath = breath_caution([session], screening_answers(client))
    if breath is not None:
        told.append(
            f"Do not hold your breath on {', '.join(breath.exercises)}: breathe out on the way up, "
            "and end the set before you have to. Keep to what your practitioner told you."
        )
    return tuple(told)
