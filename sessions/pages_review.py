"""What the review page shows: the coach's list for a week, and what accepting would change."""

import hashlib
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from clients.models import Client, User
from clients.queries import clients_of
from coaching.rules.review_order import ORDER, TIES, TO_PLAN, TO_PLAN_MEANING, OrderPart, parts_of
from sessions.decided import is_open, kept_of, light_week_of
from sessions.list_words import ListWords, done_words, list_words
from sessions.models import Decision, WeekReview
from sessions.next_targets import Proposal
from sessions.pages_decisions import decision_words
from sessions.queries import is_history, week_start
from sessions.review_words import after_words, before_words, light_week_start, where_words
from sessions.roster_reading import read_roster_weeks
from sessions.week_reading import WeekReading
from sessions.word_queries import unread_answers


@dataclass(frozen=True)
class ReviewWeek:
    """The reviewed week and its neighbours; the week to come is not offered."""

    starts_on: date
    today: date

    @property
    def ends_on(self) -> date:
        """Its Sunday."""
        return self.starts_on + timedelta(days=6)

    @property
    def starts_on_text(self) -> str:
        """Its Monday as a form or an address holds it."""
        return self.starts_on.isoformat()

    @property
    def is_history(self) -> bool:
        """Whether the plan no longer rests on it."""
        return is_history(self.starts_on, self.today)

    @property
    def number(self) -> int:
        """The number of the week in the year, as calendars count it."""
        return self.starts_on.isocalendar().week

    @property
    def previous(self) -> date:
        """The Monday before."""
        return self.starts_on - timedelta(days=7)

    @property
    def following(self) -> date | None:
        """The Monday after, none when that week has not begun."""
        after = self.starts_on + timedelta(days=7)
        return after if after <= self.today else None

    @property
    def is_running(self) -> bool:
        """Whether its last day is still to come."""
        return self.ends_on >= self.today


def review_week(asked: str, today: date) -> ReviewWeek:
    """The week asked for, else the week of yesterday, so that Monday shows the one just over.

    Raises ValueError when the text is no date or the week has not begun.
    """
    if not asked:
        return ReviewWeek(week_start(today - timedelta(days=1)), today)
    monday = week_start(date.fromisoformat(asked))
    if monday > today:
        message = "This week has not begun."
        raise ValueError(message)
    return ReviewWeek(monday, today)


@dataclass(frozen=True)
class WorklistItem:
    """One line of the list."""

    client_id: int
    name: str
    where: str
    done: str
    words: ListWords
    part: OrderPart | None
    """The first part of the order that the client has something in, none when the week went to plan."""
    answers: int = 0
    """Answers of the client that the coach has not seen."""
    by_itself: int = 0
    """How many exercises stepped up by themselves."""

    @property
    def signal(self) -> str:
        """The word that calls the coach."""
        return self.words.signal


@dataclass(frozen=True)
class ListGroup:
    """The clients that stand in one part of the order."""

    part: OrderPart
    items: tuple[WorklistItem, ...]


@dataclass(frozen=True)
class ReviewList:
    """All clients of a coach in the order in which the week needs the coach."""

    week: ReviewWeek
    first: tuple[WorklistItem, ...]
    routine: tuple[WorklistItem, ...]
    reviewed: tuple[WorklistItem, ...]
    idle: tuple[WorklistItem, ...]
    steps: str
    can_accept: bool

    @property
    def groups(self) -> tuple[ListGroup, ...]:
        """Who needs the coach, by the first part of the order that applies."""
        by_part = ((part, tuple(i for i in self.first if i.part is part)) for part in ORDER)
        return tuple(ListGroup(part, items) for part, items in by_part if items)

    @property
    def order(self) -> tuple[tuple[str, str], ...]:
        """The parts of the order with what each means, and how those of one part are ordered."""
        parts = [(part.name, part.meaning) for part in ORDER]
        return (*parts, (TO_PLAN, TO_PLAN_MEANING))

    @property
    def ties(self) -> str:
        """Who comes first among those of one part."""
        return TIES

    @property
    def total(self) -> int:
        """Clients with a week to review."""
        return len(self.first) + len(self.routine) + len(self.reviewed)

    @property
    def in_order(self) -> tuple[WorklistItem, ...]:
        """Everyone who is not reviewed, in the order of the list."""
        return (*self.first, *self.routine)

    def after(self, client_id: int) -> int | None:
        """Who comes next when this client is done; from the top again at the end."""
        ids = [item.client_id for item in self.in_order]
        if client_id not in ids:
            return ids[0] if ids else None
        place = ids.index(client_id)
        left = [*ids[place + 1 :], *ids[:place]]
        return left[0] if left else None


@dataclass(frozen=True)
class Roster:
    """The readings of a coach's roster, with what was already decided about them."""

    week: ReviewWeek
    readings: tuple[WeekReading, ...]
    reviews: Mapping[int, WeekReview]
    decided: Mapping[int, tuple[Decision, ...]]
    """What stands decided, by client."""
    answers: Mapping[int, int] = field(default_factory=dict)
    """How many unseen answers there are of each client that wrote one."""

    def reading(self, client: Client) -> WeekReading | None:
        """One client's reading, none for who is not on the roster any more."""
        return next((one for one in self.readings if one.client == client), None)

    def is_reviewed(self, reading: WeekReading) -> bool:
        """Whether the coach closed this client's week."""
        review = self.reviews.get(reading.client.pk)
        return review is not None and review.reviewed_at is not None

    def open_proposals(self, reading: WeekReading) -> tuple[Proposal, ...]:
        """The proposals that nothing was decided about yet."""
        kept = kept_of(self.decided.get(reading.client.pk, ()))
        return tuple(p for p in reading.proposals if is_open(p, kept))

    def by_itself(self, reading: WeekReading) -> tuple[Decision, ...]:
        """What stepped up by itself and stands."""
        return tuple(d for d in self.decided.get(reading.client.pk, ()) if d.automatic)

    def with_review(self, *reviews: WeekReview) -> "Roster":
        """The same roster with some clients' reviews as they are now."""
        changed = {row.client_id: row for row in reviews}
        return replace(self, reviews={**self.reviews, **changed})

    @property
    def routine(self) -> tuple[WeekReading, ...]:
        """Readings that need no thought and are not reviewed yet; who answered comes first."""
        found = (r for r in self.readings if r.has_week and not r.first and not self.is_reviewed(r))
        return tuple(sorted(found, key=lambda r: r.client.pk not in self.answers))


def read_roster(coach: User, week: ReviewWeek) -> Roster:
    """The roster's readings for a week; 13 to 32 queries for any number of clients."""
    clients = list(clients_of(coach).select_related("coach"))
    reviews = WeekReview.objects.filter(client__in=clients, week_starts_on=week.starts_on)
    decided: dict[int, list[Decision]] = {}
    rows = Decision.objects.filter(
        review__client__in=clients, review__week_starts_on=week.starts_on, undone_at=None
    )
    for row in rows.select_related("review").order_by("at", "pk"):
        decided.setdefault(row.review.client_id, []).append(row)
    return Roster(
        week=week,
        readings=tuple(read_roster_weeks(clients, week.starts_on, week.today)),
        reviews={row.client_id: row for row in reviews},
        decided={client: tuple(found) for client, found in decided.items()},
        answers=unread_answers(clients),
    )


def review_list(roster: Roster) -> ReviewList:
    """The list of a roster's week; no query."""
    with_week = [r for r in roster.readings if r.has_week]
    reviewed = [r for r in with_week if roster.is_reviewed(r)]
    first = [r for r in with_week if r.first and not roster.is_reviewed(r)]
    return ReviewList(
        week=roster.week,
        first=_items(roster, first),
        routine=_items(roster, roster.routine),
        reviewed=_items(roster, reviewed),
        idle=_items(roster, [r for r in roster.readings if not r.has_week]),
        steps=_clients_by_step(roster),
        can_accept=bool(roster.routine),
    )


def _items(roster: Roster, readings: Sequence[WeekReading]) -> tuple[WorklistItem, ...]:
    light_from = light_week_start(roster.week.starts_on, roster.week.today)
    return tuple(
        WorklistItem(
            client_id=reading.client.pk,
            name=reading.client.name,
            where=where_words(reading),
            done=done_words(reading),
            words=list_words(
                reading, light_from, light_week_of(roster.decided.get(reading.client.pk, ()))
            ),
            part=next(iter(parts_of(reading.urgent)), None),
            answers=roster.answers.get(reading.client.pk, 0),
            by_itself=len(roster.by_itself(reading)),
        )
        for reading in readings
    )


def _clients_by_step(roster: Roster) -> str:
    """How many clients step up somewhere, only hold, or have nothing to come."""
    count = Counter(_step_of(roster.open_proposals(r)) for r in roster.routine)
    return ", ".join(f"{count[word]} {word}" for word in _CLIENT_STEPS if count[word])


_CLIENT_STEPS = ("step up", "step back", "hold", "as planned")


def _step_of(proposals: Sequence[Proposal]) -> str:
    steps = {p.target.step.value for p in proposals}
    return next((word for word in _CLIENT_STEPS if word in steps), "as planned")


@dataclass(frozen=True)
class ChangeLine:
    """One exercise before and after; an unchanged one says so."""

    name: str
    side: str
    before: str
    after: str
    step: str
    rung: str
    changes: bool


@dataclass(frozen=True)
class ClientChanges:
    """What accepting would change for one client; ``seal`` names exactly these changes."""

    client_id: int
    name: str
    where: str
    lines: tuple[ChangeLine, ...]
    by_itself: tuple[str, ...]
    """What stepped up by itself already, in words."""
    seal: str
    answers: int = 0
    """Answers of the client that the coach has not seen; then nothing is ticked."""

    @property
    def changing(self) -> tuple[ChangeLine, ...]:
        """The exercises that would change."""
        return tuple(line for line in self.lines if line.changes)

    @property
    def kept(self) -> int:
        """How many exercises would stay as they are."""
        return len(self.lines) - len(self.changing)

    @property
    def kept_names(self) -> str:
        """Which exercises those are."""
        return ", ".join(line.name for line in self.lines if not line.changes)

    @property
    def span(self) -> int:
        """Rows of the table that belong to the client."""
        return len(self.changing) + bool(self.kept) + bool(self.by_itself)


def changes_of_roster(roster: Roster) -> tuple[ClientChanges, ...]:
    """What accepting the routine next targets would change, client by client; no query."""
    found = []
    for reading in sorted(roster.routine, key=lambda r: r.client.name.lower()):
        proposals = roster.open_proposals(reading)
        found.append(
            ClientChanges(
                client_id=reading.client.pk,
                name=reading.client.name,
                where=where_words(reading),
                lines=tuple(change_line(p) for p in proposals),
                by_itself=tuple(
                    decision_words(d, for_coach=True) for d in roster.by_itself(reading)
                ),
                seal=seal_of(proposals),
                answers=roster.answers.get(reading.client.pk, 0),
            )
        )
    return tuple(found)


def change_line(proposal: Proposal) -> ChangeLine:
    """One proposal as before and after."""
    pattern = proposal.exercise.pattern.value
    return ChangeLine(
        name=proposal.name,
        side=pattern if pattern in {"push", "pull"} else "",
        before=before_words(proposal),
        after=after_words(proposal),
        step=proposal.target.step.value,
        rung=proposal.rung,
        changes=proposal.changes_plan,
    )


def seal_of(proposals: Sequence[Proposal]) -> str:
    """A short word for exactly these proposals, so that nothing unseen is accepted."""
    said = [
        (p.key, [(q.targets, q.load) for q in p.planned], p.target.targets, p.target.load, p.rung)
        for p in proposals
    ]
    return hashlib.sha256(repr(said).encode()).hexdigest()[:16]
