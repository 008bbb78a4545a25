"""What the page of decisions shows: week by week what was proposed, decided, and what came of it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from clients.models import Client
from coaching.rules.exposures import read_exposures
from sessions.decided import About, about, is_covered
from sessions.hindsight import After, Course, Did, Hindsight, did, last_of, names_of
from sessions.models import Decision, WeekReview
from sessions.pages_decisions import decision_words, exercise_words
from sessions.week_facts import log_since
from sessions.week_record import KeptFinding, KeptProposal, KeptWeek, read_record

WEEKS_SHOWN = 26
WEEKS_BEFORE = timedelta(weeks=8)
"""How long before the earliest week the log is read, for what was shown before a decision."""


@dataclass(frozen=True)
class Row:
    """One exercise of a week: what was proposed, what the coach did, what happened after."""

    exercise: str
    proposed: str
    did: Did
    decided: str
    at: datetime | None
    undone: bool
    after: Hindsight
    is_exercise: bool = True

    @property
    def counts(self) -> bool:
        """Whether what happened after tells something of the decision."""
        return self.is_exercise and not self.undone and self.did is not Did.LIGHT_WEEK


@dataclass(frozen=True)
class DecidedWeek:
    """One reviewed week."""

    starts_on: date
    review: WeekReview
    found: tuple[KeptFinding, ...]
    rows: tuple[Row, ...]
    stays: int
    is_kept: bool

    @property
    def tally(self) -> str:
        """What the next times came to, in a line."""
        after = Counter(row.after.after.value for row in self.rows if row.counts)
        return ", ".join(f"{after[kind.value]} {kind.value}" for kind in After if after[kind.value])

    @property
    def ends_on(self) -> date:
        """Its Sunday."""
        return self.starts_on + timedelta(days=6)


@dataclass(frozen=True)
class CountLine:
    """How often one act was chosen, and what the next time came to."""

    did: Did
    total: int
    made: int
    short: int
    other: int


@dataclass(frozen=True)
class DecisionsPage:
    """All that was proposed and decided for a client, newest week first, with counts."""

    client: Client
    weeks: tuple[DecidedWeek, ...]
    counts: tuple[CountLine, ...]
    earlier: date | None
    """The Monday before which there is more to see."""


def decisions_page(client: Client, today: date, before: date | None = None) -> DecisionsPage:
    """The decisions of half a year up to a Monday; 10 queries whatever the history."""
    reviews = _reviews(client, before)
    shown = reviews[:WEEKS_SHOWN]
    since = min((one.week_starts_on for one in shown), default=today) - WEEKS_BEFORE
    sessions, exposures = log_since(client, since, today) if shown else ((), {})
    course = Course(exposures, read_exposures(sessions))
    weeks = tuple(_week(client, one, course) for one in shown)
    more = len(reviews) > WEEKS_SHOWN
    return DecisionsPage(
        client=client,
        weeks=weeks,
        counts=_counts(weeks),
        earlier=shown[-1].week_starts_on if more else None,
    )


def _reviews(client: Client, before: date | None) -> list[WeekReview]:
    """The reviews with something decided or proposed, newest first; 2 queries."""
    rows = WeekReview.objects.filter(client=client).order_by("-week_starts_on")
    if before is not None:
        rows = rows.filter(week_starts_on__lt=before)
    found = rows.prefetch_related("decisions")
    told = found.exclude(decisions__isnull=True, proposed={}).distinct()
    return list(told[: WEEKS_SHOWN + 1])


def _week(client: Client, review: WeekReview, course: Course) -> DecidedWeek:
    kept = read_record(review.proposed)
    decisions = sorted(review.decisions.all(), key=lambda one: (one.at, one.pk))
    rows = [_row(client, one, course) for one in decisions]
    standing = {about(one) for one in decisions if one.undone_at is None}
    rows += _undecided(client, review, kept, standing, course)
    return DecidedWeek(
        starts_on=review.week_starts_on,
        review=review,
        found=kept.findings if kept else (),
        rows=tuple(rows),
        stays=kept.stays if kept else 0,
        is_kept=kept is not None,
    )


def _row(client: Client, decision: Decision, course: Course) -> Row:
    said = decision.proposal
    on, part = client.local_date(decision.at), said.get("part", "")
    name = exercise_words(said)
    return Row(
        exercise=name,
        proposed=proposed_words(decision),
        did=did(decision),
        decided=decision_words(decision, for_coach=True).removeprefix(f"{name}: "),
        at=decision.at,
        undone=decision.undone_at is not None,
        after=course.after(names_of(said), part, on, last_of(said), said.get("lines", ())),
        is_exercise=bool(part),
    )


def _undecided(
    client: Client,
    review: WeekReview,
    kept: KeptWeek | None,
    decided: set[About | None],
    course: Course,
) -> list[Row]:
    """What was proposed and nobody decided before the week was closed."""
    if kept is None or review.reviewed_at is None:
        return []
    on = client.local_date(review.reviewed_at)
    asked = ((one, About(one.exercise_id, one.part, one.course)) for one in kept.proposals)
    return [_open_row(one, on, course) for one, own in asked if not is_covered(own, decided)]


def _open_row(one: KeptProposal, on: date, course: Course) -> Row:
    return Row(
        exercise=one.name,
        proposed=f"{one.step}, {one.before} → {one.after}",
        did=Did.OPEN,
        decided="",
        at=None,
        undone=False,
        after=course.after((one.exercise,), one.part, on, None, one.lines),
    )


def proposed_words(decision: Decision) -> str:
    """What the tool had proposed, where it differs from what was decided."""
    proposed: Mapping[str, Any] = decision.proposal.get("proposed", {})
    if not proposed or did(decision) in {Did.ACCEPTED, Did.BY_ITSELF}:
        return ""
    load = f" at {proposed['load']:g} kg" if proposed["load"] else ""
    return f"{proposed['step']}, {'-'.join(str(n) for n in proposed['targets'])}{load}"


def _counts(weeks: Sequence[DecidedWeek]) -> tuple[CountLine, ...]:
    rows = [row for week in weeks for row in week.rows if row.counts]
    lines = []
    for kind in Did:
        after = Counter(row.after.after for row in rows if row.did is kind)
        total = after.total()
        made, short = after[After.MADE], after[After.SHORT]
        if total:
            lines.append(CountLine(kind, total, made, short, total - made - short))
    return tuple(lines)
