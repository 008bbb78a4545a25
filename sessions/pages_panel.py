"""What the review page shows of one client: findings, proposal, evidence, decisions."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coaching.blocks.charts import SpineVolume
from coaching.blocks.forms import KeepForm
from coaching.blocks.pages_limits import LimitedExercise, keep_forms, limited_in_plan
from coaching.blocks.queries import published_sessions, session_values, with_plan
from coaching.rules.balance import logged_balance, planned_week_balance
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import Level, PlannedWeek, WeekKind
from coaching.rules.volume import logged_volume, planned_week_volume
from coaching.rules.volume_range import judge_volume
from sessions.charts import (
    done_balance_words,
    usual_series,
    week_volume_chart,
)
from sessions.decided import is_open, kept_of, light_week_of
from sessions.exercise_choices import coming_days
from sessions.models import Decision, WeekReview
from sessions.pages_ability import OF_THE_WEEK, ability_address, chart_address
from sessions.pages_decisions import DecisionLine, decision_lines, open_versions
from sessions.pages_review import ReviewWeek
from sessions.pages_targets import TargetRow, courses_of, target_rows
from sessions.pages_week_done import WeekDone, read_week_done
from sessions.proposal_words import comes_back, light_week_in_words, proposal_words
from sessions.queries import UNKNOWN_BODY_WEIGHT
from sessions.queries_deload import light_days
from sessions.return_view import ReturnView, return_view
from sessions.review_words import (
    KIND_WORDS,
    LIGHT_WEEK,
    exercise_names,
    joined_findings,
    light_week_start,
    likely_beside,
    source_words,
)
from sessions.week_reading import WeekReading
from sessions.week_record import KeptWeek, read_record
from sessions.word_lines import PanelWords, panel_words


@dataclass(frozen=True)
class FindingView:
    """A finding with its exercise, source and how likely it is in words, and where its chart is."""

    word: str
    exercise: str
    finding: Finding
    source: str
    likely: str
    chart: str
    shows_week: bool


@dataclass(frozen=True)
class FindingGroup:
    """All findings of one kind; the first is said in full."""

    word: str
    first: FindingView
    others: tuple[FindingView, ...]


@dataclass(frozen=True)
class Panel:
    """Everything about one client's week."""

    client: Client
    reading: WeekReading
    week: ReviewWeek
    lede: str
    findings: tuple[FindingGroup, ...]
    trends: tuple[FindingView, ...]
    proposal: str
    has_light_week: bool
    """Whether the one that was wanted is in the plan."""
    light_from: date
    question: str
    rows: tuple[TargetRow, ...]
    others: tuple[TargetRow, ...]
    """Exercises to come that were not trained in the week."""
    days: tuple[tuple[date, str], ...]
    """The sessions to come, from any of which on a decision may hold."""
    since: date | None
    """The one that is meant unless the coach says otherwise, none for the next."""
    decided: int
    done: WeekDone
    course: str
    """Where the chart of what all share is; empty without a log, or when a finding opens it."""
    volume: SpineVolume
    efforts: tuple[tuple[date, float], ...]
    decisions: tuple[DecisionLine, ...]
    review: WeekReview | None
    words: PanelWords
    limited: tuple[tuple[LimitedExercise, KeepForm], ...]
    """What is planned and loads a joint limit, with the form that keeps it by name."""
    returned: ReturnView | None
    """Whether strength came back, where a light week is just over."""

    @property
    def avoided(self) -> tuple[tuple[LimitedExercise, KeepForm], ...]:
        """Of those, what must be avoided and is not decided."""
        return tuple(pair for pair in self.limited if pair[0].is_avoided)

    @property
    def regressed(self) -> tuple[tuple[LimitedExercise, KeepForm], ...]:
        """Of those, what is to be done on an easier rung."""
        return tuple(pair for pair in self.limited if not pair[0].is_avoided)

    @property
    def wants_light_week(self) -> bool:
        """Whether a light week is proposed and not put in."""
        return _wants_light_week(self.reading) and not self.has_light_week

    @property
    def comes_back(self) -> bool:
        """Whether the client was away, so that a light week may be the way back."""
        return comes_back(self.reading) and not self.has_light_week

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]

    @property
    def as_closed(self) -> KeptWeek | None:
        """What was found and proposed when a past week was closed, as far as it was kept."""
        past = self.review if self.week.is_history else None
        return read_record(past.proposed) if past else None

    @property
    def is_reviewed(self) -> bool:
        """Whether the coach closed this week."""
        return self.review is not None and self.review.reviewed_at is not None

    @property
    def asks_first(self) -> bool:
        """Whether the client is to be asked before anything else: pain, or words that warn."""
        first = self.reading.first
        return first is not None and first.kind in {FindingKind.PAIN, FindingKind.RED_FLAG}

    @property
    def is_ticked(self) -> bool:
        """Whether anything would be accepted as it stands."""
        return any(row.chosen for row in self.rows)

    @property
    def changing(self) -> tuple[TargetRow, ...]:
        """The next targets that would change the plan."""
        return tuple(row for row in self.rows if row.changes)

    @property
    def kept(self) -> tuple[TargetRow, ...]:
        """Those that would leave it as it is."""
        return tuple(row for row in self.rows if not row.changes)

    @property
    def has_kept_errors(self) -> bool:
        """Whether one of those was sent with numbers that cannot be planned."""
        return any(row.error for row in self.kept)

    @property
    def has_other_errors(self) -> bool:
        """Whether one that was not trained was sent with numbers that cannot be planned."""
        return any(row.error for row in self.others)

    @property
    def leads_kept(self) -> bool:
        """Whether the first exercise at hand is one that would stay."""
        return not self.changing

    @property
    def leads_others(self) -> bool:
        """Whether it is one that was not trained."""
        return not self.rows

    @property
    def ends_block(self) -> bool:
        """Whether the next block is to be written."""
        return any(f.kind is FindingKind.BLOCK_ENDS for f in self.reading.urgent)


def panel_of(reading: WeekReading, week: ReviewWeek) -> Panel:
    """The panel of one client's week; 30 queries whatever the history, 11 more with joint limits."""
    client = reading.client
    review = WeekReview.objects.filter(client=client, week_starts_on=week.starts_on).first()
    decisions = _decisions(review)
    onset = next((f.since for f in reading.urgent if f.kind is FindingKind.OVERREACHING), None)
    series = usual_series(read_exposures(reading.sessions), onset)
    names = exercise_names(reading)
    light_from = light_week_start(week.starts_on, week.today)
    kept = kept_of(decisions)
    light_week = _light_week(reading, decisions)
    courses = courses_of(series, week, onset)
    rows, others = target_rows(reading, courses, kept, has_light_week=light_week is not None)
    days = coming_days(reading, week.today) if rows or others else ()
    return Panel(
        client=client,
        reading=reading,
        week=week,
        lede=_lede(reading),
        findings=_groups(reading, names),
        trends=tuple(_view(f, names, reading) for f in reading.findings if f not in reading.urgent),
        proposal=_in_plan(light_week, rows) or proposal_words(reading, light_from),
        has_light_week=light_week is not None,
        light_from=light_from,
        question=" ".join(dict.fromkeys(f.question for f in reading.urgent if f.question)),
        rows=rows,
        others=others,
        days=days,
        since=_day_after(light_week, days),
        decided=sum(not is_open(p, kept) for p in reading.proposals),
        done=read_week_done(reading, week.starts_on, week.ends_on),
        course=ability_address(client, week.starts_on) if reading.sessions and not onset else "",
        volume=week_volume(reading, week),
        efforts=_efforts(reading),
        decisions=decision_lines(decisions, open_versions(decisions, week.today)),
        review=review,
        words=panel_words(client, (week.starts_on, week.ends_on), review),
        limited=_limited(client, week),
        returned=return_view(reading, week.today),
    )


def _limited(client: Client, week: ReviewWeek) -> tuple[tuple[LimitedExercise, KeepForm], ...]:
    """What is planned and loads a joint limit; nothing of a week that is history."""
    if week.is_history:
        return ()
    return tuple(keep_forms(limited_in_plan(client, client.coach, week.today, block=None)))


def _light_week(reading: WeekReading, decisions: Sequence[Decision]) -> Decision | None:
    """The light week that was decided on, where one is wanted."""
    asks_for_one = _wants_light_week(reading) or comes_back(reading)
    return light_week_of(decisions) if asks_for_one else None


def _wants_light_week(reading: WeekReading) -> bool:
    return reading.first is not None and reading.first.kind in LIGHT_WEEK


def _in_plan(light_week: Decision | None, rows: Sequence[TargetRow]) -> str:
    """That the light week is in; empty while there is none."""
    if light_week is None:
        return ""
    return light_week_in_words(*light_days(light_week), sum(row.chosen for row in rows))


def _day_after(light_week: Decision | None, days: Sequence[tuple[date, str]]) -> date | None:
    """The first session after the light week: targets of usual weeks hold from there on."""
    last = light_days(light_week)[1] if light_week is not None else None
    return next((day for day, _name in days if last is not None and day > last), None)


def _lede(reading: WeekReading) -> str:
    """Block and week, how often the client trains, and since when."""
    parts = []
    if reading.place is not None:
        at = reading.place
        light = ", light week" if at.kind is WeekKind.DELOAD else ""
        parts.append(f"block {at.block}, week {at.week} of {at.weeks}{light}")
    due = len(reading.week_attendance)
    if due:
        parts.append(f"{len(reading.week_sessions)} of {due} sessions done")
    if reading.body_weight:
        parts.append(f"{reading.body_weight:g} kg")
    return " · ".join(parts) or "no block this week"


def _groups(reading: WeekReading, names: dict[str, str]) -> tuple[FindingGroup, ...]:
    found = []
    for kind, same in joined_findings(reading.urgent).items():
        views = [_view(f, names, reading) for f in same]
        found.append(FindingGroup(KIND_WORDS[kind], views[0], tuple(views[1:])))
    return tuple(found)


def _view(finding: Finding, names: dict[str, str], reading: WeekReading) -> FindingView:
    return FindingView(
        word=KIND_WORDS.get(finding.kind, finding.kind.value.capitalize()),
        exercise=names.get(finding.exercise, ""),
        finding=finding,
        source=source_words(finding.source_key),
        likely=likely_beside(finding),
        chart=chart_address(reading, finding),
        shows_week=finding.kind in OF_THE_WEEK,
    )


def week_volume(reading: WeekReading, week: ReviewWeek) -> SpineVolume:
    """Volume and balance as done beside as planned; a running week is judged by its plan; 6 queries."""
    rows = list(with_plan(published_sessions([reading.client], week.starts_on, week.ends_on)))
    kind = reading.place.kind if reading.place else WeekKind.BUILD
    planned = PlannedWeek(1, kind, week.starts_on, tuple(session_values(rows).values()))
    weight = reading.body_weight or UNKNOWN_BODY_WEIGHT
    done = [s for s in reading.sessions if week.starts_on <= s.on <= week.ends_on]
    got = logged_volume(done)
    lines = judge_volume(
        planned_week_volume(planned, body_weight=weight),
        None if week.is_running else got,
        level=Level(reading.client.level),
        kind=kind,
    )
    balance = done_balance_words(logged_balance(done), planned_week_balance(planned))
    return week_volume_chart(lines, got, balance, is_running=week.is_running)


def _efforts(reading: WeekReading) -> tuple[tuple[date, float], ...]:
    """Session effort of the last twelve sessions, oldest first."""
    rated = [(s.on, s.rpe) for s in reading.sessions if s.rpe is not None]
    return tuple(rated[-12:])


def _decisions(review: WeekReview | None) -> list[Decision]:
    if review is None:
        return []
    return list(review.decisions.select_related("exercise", "version").order_by("at", "pk"))
