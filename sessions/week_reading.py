"""What a week's logs say of each client: findings first, then the next targets.

Reads a fixed number of weeks for any number of clients with a fixed number of
queries, so that the cost grows with the roster and never with the history.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db.models import prefetch_related_objects

from clients.models import Client
from coaching.blocks.needed_equipment import BlockNeeds
from coaching.rules import log
from coaching.rules.ability import Ability
from coaching.rules.findings import Finding
from coaching.rules.numbers import DELOAD_DUE_UNTIL, REVIEW_DAYS
from coaching.rules.review_order import OrderKey, order_key, urgent_of
from coaching.rules.signals import block_ends, deload_due, read_signals
from sessions.ahead_reading import Followed, fed
from sessions.goals_reached import goals_met
from sessions.kept_abilities import followed as followed_before
from sessions.next_targets import NextTargets, Proposal
from sessions.queries import UNKNOWN_BODY_WEIGHT, is_history
from sessions.week_facts import BlockPlace, Calendar, Facts, facts_of
from sessions.word_warnings import warnings_in

WEEKS_READ = 8
REVIEWED = timedelta(days=REVIEW_DAYS.value)
WEEKS_FOLLOWED = 16
"""How far back the model of ability follows a client at least."""
FOLLOWED_ANEW = 16
"""After so many weeks it begins again, so that the weeks between rest on one belief that goes on."""


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
    place: BlockPlace | None
    plans_block: int | None
    """The block that accepted targets go into, none when nothing is to come."""
    lacking: tuple[BlockNeeds, ...] = ()
    """What the sessions to come need and the client lacks, none when the week is history."""
    ability: Ability | None = field(default=None, compare=False, repr=False)
    """The client followed up to today, none when the week is history."""
    asks: NextTargets | None = field(default=None, compare=False, repr=False)
    """What else may be asked next, none when the week is history."""

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
        return next(iter(self.urgent), None)

    @property
    def urgent(self) -> tuple[Finding, ...]:
        """The findings that need the coach, most urgent first."""
        return urgent_of(self.findings)

    @property
    def steps(self) -> tuple[Proposal, ...]:
        """The proposals that would change the plan."""
        return tuple(p for p in self.proposals if p.changes_plan)

    @property
    def has_week(self) -> bool:
        """Whether there is anything to read: something done, due or found."""
        return bool(self.week_sessions or self.week_attendance or self.first)


def ranking_key(reading: WeekReading) -> tuple[OrderKey, str]:
    """Where a client stands in the review: the parts of the order, then the name."""
    return (order_key(reading.urgent), reading.client.name.lower())


def followed_from(week_starts_on: date) -> date:
    """The Monday from which a client is followed for the review of a week."""
    since = (week_starts_on - date.min) // timedelta(weeks=1) % FOLLOWED_ANEW
    return week_starts_on - timedelta(weeks=WEEKS_FOLLOWED - 1 + since)


def read_weeks(clients: Sequence[Client], week_starts_on: date, today: date) -> list[WeekReading]:
    """The readings of those clients for one week, in the order they need the coach.

    18 queries for any number of clients and any length of history.
    """
    start = _read_from(week_starts_on)
    # Nothing where the coach came with the client, one query for all of them otherwise.
    prefetch_related_objects(clients, "coach")
    followed = followed_from(week_starts_on)
    facts = facts_of(clients, (followed, start), week_starts_on, today)
    readings = [_read(client, week_starts_on, today, facts) for client in clients]
    return sorted(readings, key=ranking_key)


def _read_from(week_starts_on: date) -> date:
    return week_starts_on - timedelta(weeks=WEEKS_READ - 1)


def _read(client: Client, week_starts_on: date, today: date, facts: Facts) -> WeekReading:
    """One client's week; what came after it counts for the next targets only."""
    end = week_starts_on + timedelta(days=6)
    start = _read_from(week_starts_on)
    followed = tuple(s for s in facts.sessions.get(client.pk, ()) if s.on <= end)
    sessions = tuple(s for s in followed if s.on >= start)
    attendance = facts.due(client, end, today)
    calendar = facts.calendars.get(client.pk)
    as_of = min(end + timedelta(days=1), today)
    ability = followed_before(client.pk, followed)
    findings = read_signals(
        sessions,
        attendance,
        today=as_of,
        believed=ability.believed,
        false_alarms_a_year=client.coach.false_alarms_a_year,
    )
    is_over = is_history(week_starts_on, today)
    if not is_over:
        fed(ability, facts.sessions.get(client.pk, ())[len(followed) :])
    then = Followed(ability, findings, facts.body_weights.get(client.pk, UNKNOWN_BODY_WEIGHT))
    # A week longer ago is history: its logs no longer say what to ask next.
    asks = NextTargets(client, week_starts_on, today, facts, then)
    ahead = () if is_over else facts.of_what_is_ahead(client)
    warned = warnings_in(facts.words_of(client), as_of - REVIEWED, as_of if is_over else today)
    met = goals_met(facts.open_goals(client, as_of), followed, as_of)
    return WeekReading(
        client=client,
        week_starts_on=week_starts_on,
        sessions=sessions,
        attendance=attendance,
        findings=(*warned, *findings, *ahead, *findings_of_plan(calendar, as_of), *met),
        proposals=() if is_over else asks.proposals(),
        body_weight=facts.body_weights.get(client.pk),
        place=calendar.place if calendar else None,
        plans_block=asks.block_id,
        lacking=() if is_over else facts.lacking.get(client.pk, ()),
        ability=None if is_over else ability,
        asks=None if is_over else asks,
    )


def findings_of_plan(calendar: Calendar | None, as_of: date) -> tuple[Finding, ...]:
    """What the weeks as planned say: a block that ends, a deload that is due and not near."""
    if calendar is None:
        return ()
    ends = block_ends(calendar.ends_on, today=as_of)
    weeks = calendar.weeks_without_deload
    is_due = weeks >= DELOAD_DUE_UNTIL.value and not calendar.deload_is_near
    due = deload_due(weeks) if is_due else None
    return tuple(found for found in (due, ends) if found is not None)
