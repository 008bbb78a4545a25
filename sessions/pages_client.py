"""What the client page shows: how is this person doing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from clients.models import BodyWeight, Client, JointLimit
from clients.queries import joint_limit_rows
from coaching.blocks.charts import SpineVolume
from coaching.blocks.limit_queries import standing_overrides
from coaching.blocks.models import Block, JointLimitOverride, PlannedSession
from coaching.blocks.queries import published_sessions
from coaching.rules import log
from coaching.rules.balance import logged_balance
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.volume import logged_session_totals
from sessions.charts import (
    Series,
    Spark,
    number_spark,
    spark,
    usual_series,
)
from sessions.log_change_words import Told, told_changes
from sessions.models import WeekReview
from sessions.pages_ability import ability_address, followed_keys
from sessions.pages_decisions import DecisionLine, decision_lines
from sessions.pages_goals import GoalsSection, goals_section
from sessions.pages_panel import week_volume
from sessions.pages_review import ReviewWeek
from sessions.queries import week_start
from sessions.queries_log_changes import changes_since
from sessions.review_words import Short, short_words
from sessions.revisions import DAYS_OPEN_TO_CORRECT
from sessions.week_reading import WEEKS_READ, WeekReading, read_weeks

COMING_DAYS = 21
COMING_SHOWN = 5
REVIEWS_SHOWN = 12
CHANGES_SHOWN = 12
WEIGHTS_SHOWN = 40


@dataclass(frozen=True)
class TrainedWeek:
    """One week in one line: what was done of what was due, and how it leaned."""

    starts_on: date
    done: int
    due: int
    sets: int
    push: int
    pull: int
    effort: str
    is_light: bool

    @property
    def is_short(self) -> bool:
        """Whether a session that was due is missing."""
        return self.done < self.due


@dataclass(frozen=True)
class ExerciseLine:
    """One exercise: its course over the weeks, and what is said of it."""

    name: str
    side: str
    spark: Spark
    word: str
    how: str
    sentence: str
    chart: str


@dataclass(frozen=True)
class ReviewLine:
    """One reviewed week: the word to the client, the coach's own, and what was decided."""

    week_starts_on: date
    reviewed: bool
    note_to_client: str
    private_note: str
    decisions: tuple[DecisionLine, ...]


@dataclass(frozen=True)
class ClientPage:
    """Everything about one client."""

    client: Client
    reading: WeekReading
    short: Short
    since: date
    week: ReviewWeek
    full_week: ReviewWeek
    coming: tuple[PlannedSession, ...]
    weeks: tuple[TrainedWeek, ...]
    course: str
    """Where the chart of what all exercises share is."""
    exercises: tuple[ExerciseLine, ...]
    volume: SpineVolume
    limits: tuple[JointLimit, ...]
    overrides: tuple[JointLimitOverride, ...]
    goals: GoalsSection
    weight: Spark | None
    weight_words: str
    reviews: tuple[ReviewLine, ...]
    changes: tuple[Told, ...]
    """What was lately swapped, skipped and corrected, newest first."""
    blocks: tuple[Block, ...]

    @property
    def calls(self) -> bool:
        """Whether the week says more than what equipment is missing, which is told for itself."""
        return any(one.kind is not FindingKind.EQUIPMENT for one in self.reading.urgent)

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]

    @property
    def lede(self) -> str:
        """Level, time for a session, weight, and since when."""
        return (
            f"{self.client.get_level_display()} · {self.client.minutes} min a session · "
            f"{self.weight_words} · with you since {self.since:%B %Y}"
        )


def client_page(client: Client, today: date, goals: GoalsSection | None = None) -> ClientPage:
    """The page of a client; 47 queries at most, whatever the history."""
    week = ReviewWeek(week_start(today - timedelta(days=1)), today)
    full = ReviewWeek(week_start(today) - timedelta(days=7), today)
    reading = read_weeks([client], week.starts_on, today)[0]
    onset = next((f.since for f in reading.urgent if f.kind is FindingKind.OVERREACHING), None)
    series = usual_series(read_exposures(reading.sessions), onset)
    weights = list(BodyWeight.objects.filter(client=client).order_by("-on")[:WEIGHTS_SHOWN])
    return ClientPage(
        client=client,
        reading=reading,
        short=short_words(reading),
        since=_since(client),
        week=week,
        full_week=full,
        coming=_coming(client, today),
        weeks=_weeks(reading, week),
        course=ability_address(client, week.starts_on, since=onset),
        exercises=_exercises(reading, series, week, onset),
        volume=week_volume(reading, full),
        limits=tuple(row for row in joint_limit_rows(client) if not _ended(row, today)),
        overrides=tuple(standing_overrides([client])),
        goals=goals or goals_section(client, today, ability=reading.ability),
        weight=_weight_spark(weights[::-1]),
        weight_words=_weight_words(weights),
        reviews=_reviews(client),
        changes=_changes(client, today),
        blocks=tuple(client.blocks.order_by("-number")[:REVIEWS_SHOWN]),
    )


def _changes(client: Client, today: date) -> tuple[Told, ...]:
    found = changes_since(client, today - timedelta(days=DAYS_OPEN_TO_CORRECT))
    newest_first = sorted(told_changes(client, found), key=lambda one: one.on, reverse=True)
    return tuple(newest_first[:CHANGES_SHOWN])


def _since(client: Client) -> date:
    """The first day of training or of the account, whichever came first; 1 query."""
    first = client.blocks.order_by("starts_on").first()
    created = client.created_at.date()
    return min(created, first.starts_on) if first else created


def _ended(limit: JointLimit, today: date) -> bool:
    return limit.until is not None and limit.until <= today


def _coming(client: Client, today: date) -> tuple[PlannedSession, ...]:
    ahead = published_sessions([client], today, today + timedelta(days=COMING_DAYS))
    rows = ahead.filter(logged_session__finished_at__isnull=True).select_related("week")
    return tuple(rows[:COMING_SHOWN])


def _weeks(reading: WeekReading, week: ReviewWeek) -> tuple[TrainedWeek, ...]:
    """The weeks that were read, newest first."""
    mondays = [week.starts_on - timedelta(weeks=n) for n in range(WEEKS_READ)]
    return tuple(_trained(reading, monday) for monday in mondays)


def _trained(reading: WeekReading, monday: date) -> TrainedWeek:
    sessions: list[log.LoggedSession] = [s for s in reading.sessions if week_start(s.on) == monday]
    due = [a for a in reading.attendance if week_start(a.on) == monday]
    balance = logged_balance(sessions)
    rated = [s.rpe for s in sessions if s.rpe is not None]
    return TrainedWeek(
        starts_on=monday,
        done=len(sessions),
        due=len(due),
        sets=sum(logged_session_totals(s).working_sets for s in sessions),
        push=balance.push_sets,
        pull=balance.pull_sets,
        effort=f"{sum(rated) / len(rated):.1f}" if rated else "–",
        is_light=any(s.kind.value == "deload" for s in sessions),
    )


def _exercises(
    reading: WeekReading, series: Sequence[Series], week: ReviewWeek, onset: date | None
) -> tuple[ExerciseLine, ...]:
    first = week.starts_on - timedelta(weeks=WEEKS_READ - 1)
    said = {
        f.exercise: f
        for f in reversed(reading.findings)
        if f.kind in {FindingKind.HOLDING, FindingKind.PROGRESSING, FindingKind.STALLED}
    }
    followed = followed_keys(reading.sessions)
    lines = []
    for one in series:
        key = one.exercise.key
        finding = said.get(key)
        pattern = one.exercise.pattern.value
        lines.append(
            ExerciseLine(
                name=one.exercise.name,
                side=pattern if pattern in {"push", "pull"} else "",
                spark=spark(one, first, min(week.ends_on, week.today), onset),
                word=finding.kind.value if finding else "not trained lately",
                how=_how(finding),
                sentence=finding.sentence if finding else "",
                chart=ability_address(reading.client, week.starts_on, key, onset)
                if key in followed
                else "",
            )
        )
    return tuple(sorted(lines, key=lambda line: (_ORDER.get(line.word, 9), line.name)))


def _how(finding: Finding | None) -> str:
    """The word of a trend with its number: progressing, +3 % over 6 sessions."""
    if finding is None:
        return "not trained lately"
    said = finding.sentence.partition(": ")[2].rstrip(".")
    if finding.kind is FindingKind.STALLED or not said or said == "no clear change":
        return finding.kind.value
    return f"{finding.kind.value}, {said}"


_ORDER = {"stalled": 0, "progressing": 1, "holding": 2}


def _weight_spark(rows: Sequence[BodyWeight]) -> Spark | None:
    if len(rows) < 2:
        return None
    return number_spark("Body weight in kg", [(row.on, float(row.kg)) for row in rows], "kg")


def _weight_words(newest_first: Sequence[BodyWeight]) -> str:
    if not newest_first:
        return "not weighed yet; loads are reckoned on 75 kg"
    last = newest_first[0]
    return f"{float(last.kg):g} kg on {last.on.day} {last.on:%b}"


def _reviews(client: Client) -> tuple[ReviewLine, ...]:
    """The newest reviews with their decisions; 3 queries."""
    rows = WeekReview.objects.filter(client=client).order_by("-week_starts_on")
    kept = rows.prefetch_related("decisions__exercise", "decisions__version")[:REVIEWS_SHOWN]
    return tuple(
        ReviewLine(
            week_starts_on=row.week_starts_on,
            reviewed=row.reviewed_at is not None,
            note_to_client=row.note_to_client,
            private_note=row.private_note,
            decisions=decision_lines(list(row.decisions.all()), frozenset()),
        )
        for row in kept
    )
