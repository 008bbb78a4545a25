"""What the Today page needs: which session, its plan, and what the phone works on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from clients.models import BodyWeight, Client, User
from clients.queries import screening_answers
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, PlannedSession
from coaching.blocks.snapshots import SessionData, WeekData, week_as_value
from coaching.blocks.snapshots import session_data as snapshot_data
from coaching.rules import plan
from coaching.rules.care import NOT_AT_ONCE, SAME_DAY
from coaching.rules.joint_limits import Joints
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import WeekKind
from coaching.rules.screening import breath_caution
from coaching.rules.session_clock import session_minutes
from sessions.asked_lines import added_pairs, kept_pairs, planned_pairs
from sessions.models import LineChange, LoggedSession, LoggedSet
from sessions.pages_session import PairView, light_words, pair_views, session_data
from sessions.pages_swaps import Choice
from sessions.queries import kept_sets
from sessions.queries_phone import (
    changes_of,
    last_times,
    mark_of,
    plan_of,
    sessions_around,
    taken_back,
    unplanned_sessions,
    usual_version,
)
from sessions.return_session import return_line
from sessions.revisions import DAYS_OPEN_TO_CORRECT
from sessions.shown_session import DAYS_OPEN, Shown, logged_of
from sessions.word_queries import CoachWords, coach_words

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
CHANGE_REASONS = ("it hurts", "equipment is taken", "no equipment", "too hard today", "no time")


@dataclass(frozen=True)
class NoLine:
    """Stands for the line of an exercise that the phone will add."""

    uid: str = ""
    side: str = "centre"


@dataclass(frozen=True)
class SessionView:
    """One session on the phone; ``on`` is the day it is planned for, else the day it was done."""

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
    others: tuple[PlannedSession | LoggedSession, ...]
    missed: tuple[PlannedSession, ...]
    coming: PlannedSession | None
    has_plan: bool
    had_plan: bool
    words: CoachWords
    weight: BodyWeight | None
    data: dict[str, Any]
    days: tuple[date, ...] = ()
    """The days on which a session that is not begun may be said to have been done, newest first."""
    no_line: NoLine = NoLine()
    effort: tuple[tuple[int, str], ...] = tuple(enumerate(EFFORT_WORDS))
    pain_places: tuple[str, ...] = PAIN_PLACES
    same_day: str = SAME_DAY
    not_at_once: str = NOT_AT_ONCE
    skip_reasons: tuple[str, ...] = SKIP_REASONS
    change_reasons: tuple[str, ...] = CHANGE_REASONS
    reserve: tuple[tuple[int, str], ...] = ((0, "0"), (1, "1"), (2, "2"), (3, "3"), (4, "4+"))


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
    return [row for row in rows if _day_of(row) == today]


def _day_of(row: PlannedSession) -> date:
    """The day a session was done, else the day it is planned for: what is said ahead moves nothing."""
    logged = logged_of(row)
    is_done = logged is not None and row.started_at is not None and not logged.skipped_reason
    return logged.on if logged and is_done else row.on


def today_page(
    client: Client,
    user: User,
    now: datetime,
    urls: dict[str, str],
    wanted: Shown | None = None,
    day: date | None = None,
) -> TodayPage:
    """Today for a client, or for their coach; 25 queries at most, 29 in a light week.

    ``day`` shows the page as it will be on a day to come, if nothing changes until then.
    """
    today = day or client.local_date(now)
    rows = sessions_around(client, today)
    loose = unplanned_sessions(client, today)
    at = now + (today - client.local_date(now))
    shown = wanted or _chosen(rows, loose, today, at)
    words = coach_words(client, now)
    data = _page_data(client, user, today, urls) | {"word": words.data}
    view = _session_view(client, shown, (today, at, rows), data) if shown else None
    taken = shown.planned.pk if shown and shown.planned else None
    apart = shown.logged.pk if shown and shown.logged else None
    not_begun = [row for row in rows if row.started_at is None and row.pk != taken]
    others = [row for row in _of_today(rows, today) if row.pk != taken]
    return TodayPage(
        client=client,
        for_coach=user.is_coach,
        today=today,
        session=view,
        others=(*others, *(row for row in loose if row.on == today and row.pk != apart)),
        missed=tuple([r for r in not_begun if r.on < today and is_open(r)][-MOST_MISSED:]),
        coming=next((row for row in not_begun if row.on > today), None),
        has_plan=bool(rows),
        had_plan=bool(rows)
        or Block.objects.filter(client=client, published_at__isnull=False).exists(),
        words=words,
        weight=BodyWeight.objects.filter(client=client, on__lte=today).order_by("-on").first(),
        data=data,
        days=days_to_say(shown, today) if shown else (),
    )


def _chosen(
    rows: Sequence[PlannedSession], loose: Sequence[LoggedSession], today: date, now: datetime
) -> Shown | None:
    """The session to show: what runs, planned or not, else what is planned for today."""
    found = choose(rows, today, now)
    logged = logged_of(found) if found else None
    if not (logged and _runs(logged, now)):
        running = [row for row in loose if _runs(row, now)]
        if running:
            return Shown(None, running[-1])
    return Shown(found, logged) if found else None


def _runs(logged: LoggedSession, now: datetime) -> bool:
    is_over = logged.finished_at or logged.skipped_reason
    return not is_over and abs(now - logged.started_at) < STILL_RUNNING


def _is_begun(shown: Shown, today: date) -> bool:
    """Whether a session has its day; not while all that was said of it is a swap, or taken back."""
    planned, logged = shown.planned, shown.logged
    if planned is None or logged is None or planned.started_at is not None:
        return logged is not None
    return (today - logged.on).days > DAYS_OPEN_TO_CORRECT


def _is_past(client: Client, shown: Shown, today: date, now: datetime) -> bool:
    """Whether a session is written down on another day than it was done; not what runs past midnight."""
    logged = shown.logged
    if logged is None or logged.on >= today or not _is_begun(shown, today):
        return False
    was_live = client.local_date(logged.started_at) == logged.on
    return not (was_live and _runs(logged, now))


def days_to_say(shown: Shown, today: date) -> tuple[date, ...]:
    """The days on which a session may be said to have been done, newest first; none once begun."""
    if _is_begun(shown, today):
        return ()
    return tuple(today - timedelta(days=n) for n in range(DAYS_OPEN_TO_CORRECT + 1))


def _page_data(client: Client, user: User, today: date, urls: dict[str, str]) -> dict[str, Any]:
    return {
        **urls,
        "user": user.pk,
        "client": client.pk,
        "today": today.isoformat(),
        "zone": client.time_zone,
        "with_whom": "in the log" if user.is_coach else "with your coach",
        "asks_rir": client.asks_rir,
        "pain_limit": int(PAIN_LIMIT.value),
        "days_ahead": DAYS_OPEN,
        "mark": mark_of(client),
    }


def _session_view(
    client: Client,
    shown: Shown,
    around: tuple[date, datetime, Sequence[PlannedSession]],
    data: dict[str, Any],
) -> SessionView:
    logged, (today, now, rows) = shown.logged, around
    session = plan_of(shown.planned) if shown.planned else None
    sets = list(kept_sets().filter(logged_session=logged)) if logged else []
    changes = changes_of(logged) if logged else []
    joints = joints_of(client)
    said: list[LoggedSet | LineChange] = [*sets, *changes]
    done = {one.exercise_id for one in said if one.exercise_id}
    choice = Choice(client, joints, today, done | _asked_for(session, logged))
    value = _value_of(session, logged, choice)
    asked = planned_pairs(session) if session else kept_pairs(_kept_plan(logged), choice.rows)
    pairs = (*asked, *added_pairs(asked, sets, choice.rows))
    exercises = {line.exercise_id for pair in pairs for line in pair.lines}
    offered = {other for pk in exercises for other in choice.instead_of(pk)}
    choice.last = last_times(client, exercises | offered | done, logged, today)
    minutes = round(session_minutes(value).total) if value else 0
    data.update(session_data(Shown(session, logged), pairs, choice, (sets, changes)))
    data["gone"] = taken_back(logged) if logged else []
    on = logged.on if logged and _is_begun(shown, today) else today
    days = [day.isoformat() for day in days_to_say(shown, today)]
    is_past = _is_past(client, shown, today, now)
    data.update(minutes=minutes, on=on.isoformat(), is_past=is_past, days=days)
    is_over = logged is not None and logged.finished_at is not None
    blocked = {} if is_over or value is None else blocked_in(value, joints)
    return SessionView(
        name=str(data["session_name"]),
        on=session.on if session else on,
        is_today=(session.on if session else on) == today,
        minutes=minutes,
        pairs=pair_views(pairs, choice.last, sets),
        light=_light_words(session, rows),
        care=() if is_over or value is None else care_words(client, value, blocked),
        left_out=frozenset(blocked),
    )


def _asked_for(session: PlannedSession | None, logged: LoggedSession | None) -> set[int]:
    """The exercises that a plan names, as it stands or as it was logged, by row id; no query."""
    kept = [snapshot_data(session)] if session else _kept_plan(logged)
    return {line["exercise"] for one in kept for pair in one["pairs"] for line in pair["lines"]}


def _kept_plan(logged: LoggedSession | None) -> list[SessionData]:
    """What was asked for on the day, as the log keeps it."""
    return list(logged.plan) if logged else []


def _value_of(
    session: PlannedSession | None, logged: LoggedSession | None, choice: Choice
) -> plan.PlannedSession | None:
    """The rules' value of a session, of the plan as it stands or as it was logged; no query."""
    kept = [snapshot_data(session)] if session else _kept_plan(logged)
    exercises = {pk: choice.value(pk) for pk in choice.rows}
    known = [one for one in kept if _is_known(one, choice)]
    week: WeekData = {"starts_on": str(choice.on), "kind": plan.WeekKind.BUILD, "sessions": known}
    return next(iter(week_as_value(week, 1, exercises).sessions), None)


def _is_known(kept: SessionData, choice: Choice) -> bool:
    lines = (line for pair in kept["pairs"] for line in pair["lines"])
    return all(line["exercise"] in choice.rows for line in lines)


def _light_words(session: PlannedSession | None, around: Sequence[PlannedSession]) -> str:
    """What is said of a session of a light week, and of the first one after it."""
    if session is None:
        return ""
    if session.week.kind != WeekKind.DELOAD.value:
        return return_line(session, around)
    return light_words(session, usual_version(session))


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
