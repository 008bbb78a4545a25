"""Past weeks of a roster as the review would have read them, by what was known at their end."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from django.db.models import prefetch_related_objects
from django.utils.timezone import make_aware

from clients.models import Client
from coaching.library.client_body import bodies_of
from coaching.rules.plan import Exercise
from sessions.goals_reached import goals_met
from sessions.queries import is_history
from sessions.replay_facts import ClientHistory, RosterHistory, histories_of
from sessions.replay_findings import ClientLog, Findings, KnownWeek, as_known, findings_of_clients
from sessions.week_facts import calendar_of
from sessions.week_reading import (
    REVIEWED,
    WEEKS_READ,
    WeekReading,
    findings_of_plan,
    followed_from,
    ranking_key,
    read_weeks,
)
from sessions.word_warnings import warnings_in


@dataclass(frozen=True)
class PastWeek:
    """A week with its readings in the order in which they needed the coach; no proposals."""

    starts_on: date
    readings: tuple[WeekReading, ...]
    exercise_names: Mapping[str, str]
    """Names by key of exercises that a joint limit was held against."""


@dataclass(frozen=True)
class _Week:
    """A week to be read, and the last day of it that was known."""

    starts_on: date
    today: date

    @property
    def ends_on(self) -> date:
        return self.starts_on + timedelta(days=6)

    @property
    def last_day(self) -> date:
        return min(self.ends_on, self.today)

    @property
    def as_of(self) -> date:
        """The day of the review: the Monday after, or today while the week runs."""
        return min(self.ends_on + timedelta(days=1), self.today)

    @property
    def reviewed_by(self) -> datetime:
        """The end of the day of the review, where the practice is."""
        return make_aware(datetime.combine(self.as_of + timedelta(days=1), time()))

    @property
    def read_from(self) -> date:
        return self.starts_on - timedelta(weeks=WEEKS_READ - 1)

    @property
    def followed_from(self) -> date:
        return followed_from(self.starts_on)


def read_reviewed_week(
    clients: Sequence[Client], week_starts_on: date, today: date
) -> list[WeekReading]:
    """A week as the review shows it, in the order in which the clients need the coach.

    The newest two weeks are read by all that is known, with what to ask next; one longer ago by what
    was known when it was over, so that it reads as it did then.
    """
    if not is_history(week_starts_on, today):
        return read_weeks(clients, week_starts_on, today)
    (past,) = read_past_weeks(clients, [week_starts_on], today, as_it_stood=True)
    return list(past.readings)


def read_past_weeks(
    clients: Sequence[Client], mondays: Sequence[date], today: date, *, as_it_stood: bool = False
) -> list[PastWeek]:
    """Weeks that have begun, the oldest first; at most 15 queries for any number of them.

    ``as_it_stood`` is for one week that is looked at: sets that came in or were corrected after its
    review are read as they stood, and sessions hold what the client weighed then.

    Nothing of a later day is read: no session, attendance, body weight, joint limit, override or
    published block. What was overwritten since is read as it stands now.
    """
    weeks = [_Week(monday, today) for monday in sorted(mondays)]
    if not weeks:
        return []
    prefetch_related_objects(clients, "coach")
    first, last = weeks[0], weeks[-1]
    known_by = last.reviewed_by if as_it_stood else None
    roster = histories_of(clients, first.followed_from, first.read_from, last.ends_on, known_by)
    logs = [_log(roster.clients[client.pk], weeks) for client in clients]
    found = {
        client.pk: list(zip(one.weeks, findings, strict=True))
        for client, one, findings in zip(clients, logs, findings_of_clients(logs), strict=True)
    }
    names = {one.key: one.name for one in roster.exercises.values()}
    past = [
        PastWeek(week.starts_on, _readings(clients, roster, (number, week), found), names)
        for number, week in enumerate(weeks)
    ]
    return [_weighed(one, roster, today) for one in past] if as_it_stood else past


def _weighed(past: PastWeek, roster: RosterHistory, today: date) -> PastWeek:
    week = _Week(past.starts_on, today)
    readings = tuple(
        replace(
            one,
            sessions=as_known(one.sessions, _known(roster.clients[one.client.pk], week)),
        )
        for one in past.readings
    )
    return replace(past, readings=readings)


def _log(history: ClientHistory, weeks: Sequence[_Week]) -> ClientLog:
    return ClientLog(
        sessions=history.sessions,
        weeks=tuple(_known(history, week) for week in weeks),
        false_alarms_a_year=history.client.coach.false_alarms_a_year,
    )


def _known(history: ClientHistory, week: _Week) -> KnownWeek:
    client, weight = history.client, history.weight(week.last_day)
    weights = {client.pk: weight} if weight else {}
    days = (week.read_from, week.ends_on)
    return KnownWeek(
        followed_from=week.followed_from,
        read_from=week.read_from,
        last_day=week.last_day,
        as_of=week.as_of,
        attendance=history.attendance(days, week.last_day, week.as_of),
        weight=weight,
        body=bodies_of([client], weights, week.last_day).get(client.pk),
    )


def _readings(
    clients: Sequence[Client],
    roster: RosterHistory,
    week: tuple[int, _Week],
    found: dict[int, list[tuple[KnownWeek, Findings]]],
) -> tuple[WeekReading, ...]:
    number, one = week
    readings = [
        _reading(roster.clients[client.pk], one, found[client.pk][number], roster.exercises)
        for client in clients
    ]
    return tuple(sorted(readings, key=ranking_key))


def _reading(
    history: ClientHistory,
    week: _Week,
    read: tuple[KnownWeek, Findings],
    exercises: Mapping[int, Exercise],
) -> WeekReading:
    facts, found = read
    known = history.known_weeks(week.starts_on, week.last_day)
    calendar = calendar_of(known, week.starts_on) if known else None
    avoided = history.avoided(week.last_day, week.as_of, exercises)
    days = (week.read_from, week.ends_on)
    goals = [one for one in history.goals if one.is_open(week.last_day)]
    known_days = [s for s in history.sessions if week.followed_from <= s.on <= week.last_day]
    warned = warnings_in(history.words, week.as_of - REVIEWED, week.as_of)
    met = goals_met(goals, known_days, week.as_of)
    return WeekReading(
        client=history.client,
        week_starts_on=week.starts_on,
        sessions=tuple(s for s in history.sessions if days[0] <= s.on <= week.last_day),
        attendance=facts.attendance,
        findings=(*warned, *found, *avoided, *findings_of_plan(calendar, week.as_of), *met),
        proposals=(),
        body_weight=facts.weight,
        place=calendar.place if calendar else None,
        plans_block=None,
    )
