"""What the review page shows of one client: findings, proposal, evidence, decisions."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from django.db.models import Max

from clients.models import Client
from coaching.blocks.charts import SpineVolume
from coaching.blocks.forms import KeepForm
from coaching.blocks.models import BlockVersion
from coaching.blocks.pages_limits import LimitedExercise, keep_forms, limited_in_plan
from coaching.blocks.queries import published_sessions, session_values, with_plan
from coaching.rules.balance import logged_balance, planned_week_balance
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import Level, Measure, PlannedWeek, WeekKind
from coaching.rules.volume import logged_volume, planned_week_volume
from coaching.rules.volume_range import judge_volume
from sessions.charts import (
    Series,
    Spark,
    done_balance_words,
    spark,
    usual_series,
    week_volume_chart,
)
from sessions.models import Decision, WeekReview
from sessions.pages_ability import OF_THE_WEEK, ability_address, chart_address
from sessions.pages_review import ReviewWeek, change_line
from sessions.pages_week_done import WeekDone, read_week_done
from sessions.queries import UNKNOWN_BODY_WEIGHT
from sessions.review_words import (
    KIND_WORDS,
    asked_words,
    before_words,
    exercise_names,
    joined_findings,
    light_week_start,
    likely_beside,
    proposal_words,
    short_day,
    source_words,
)
from sessions.set_words import done_words
from sessions.week_reading import WEEKS_READ, Proposal, WeekReading
from sessions.word_lines import PanelWords, panel_words

LIGHT_WEEK = {FindingKind.OVERREACHING, FindingKind.DELOAD_DUE}


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
class TargetRow:
    """The next target of one exercise as the coach can accept or change it."""

    key: str
    name: str
    side: str
    part: str
    asked: str
    done: str
    done_on: date
    is_short: bool
    before: str
    after: str
    changes: bool
    step: str
    sentence: str
    rule: str
    source: str
    rung: str
    unit: str
    targets: str
    load: str
    has_load: bool
    spark: Spark | None
    chosen: bool = True
    error: str = ""


@dataclass(frozen=True)
class DecisionLine:
    """One act of the coach on this week: all decisions that changed the plan together."""

    decision_id: int
    at: Any
    words: tuple[str, ...]
    undone: bool
    can_undo: bool


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
    wants_light_week: bool
    light_from: date
    question: str
    rows: tuple[TargetRow, ...]
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

    @property
    def avoided(self) -> tuple[tuple[LimitedExercise, KeepForm], ...]:
        """Of those, what must be avoided and is not decided."""
        return tuple(pair for pair in self.limited if pair[0].is_avoided)

    @property
    def regressed(self) -> tuple[tuple[LimitedExercise, KeepForm], ...]:
        """Of those, what is to be done on an easier rung."""
        return tuple(pair for pair in self.limited if not pair[0].is_avoided)

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]

    @property
    def is_reviewed(self) -> bool:
        """Whether the coach closed this week."""
        return self.review is not None and self.review.reviewed_at is not None

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
    def ends_block(self) -> bool:
        """Whether the next block is to be written."""
        return any(f.kind is FindingKind.BLOCK_ENDS for f in self.reading.urgent)


def panel_of(reading: WeekReading, week: ReviewWeek) -> Panel:
    """The panel of one client's week; 22 queries whatever the history, 11 more with joint limits."""
    client = reading.client
    review = WeekReview.objects.filter(client=client, week_starts_on=week.starts_on).first()
    decisions = _decisions(review)
    onset = next((f.since for f in reading.urgent if f.kind is FindingKind.OVERREACHING), None)
    series = usual_series(read_exposures(reading.sessions), onset)
    names = exercise_names(reading)
    light_from = light_week_start(week.starts_on, week.today)
    decided = {d.exercise_id for d in decisions if d.undone_at is None}
    limited: tuple[LimitedExercise, ...] = ()
    if not week.is_history:
        limited = limited_in_plan(client, client.coach, week.today, block=None)
    return Panel(
        client=client,
        reading=reading,
        week=week,
        lede=_lede(reading),
        findings=_groups(reading, names),
        trends=tuple(_view(f, names, reading) for f in reading.findings if f not in reading.urgent),
        proposal=proposal_words(reading, light_from),
        wants_light_week=bool(reading.first and reading.first.kind in LIGHT_WEEK),
        light_from=light_from,
        question=" ".join(dict.fromkeys(f.question for f in reading.urgent if f.question)),
        rows=_rows(reading, series, week, onset, decided),
        decided=sum(p.exercise_id in decided for p in reading.proposals),
        done=read_week_done(reading, week.starts_on, week.ends_on),
        course=ability_address(client, week.starts_on) if reading.sessions and not onset else "",
        volume=week_volume(reading, week),
        efforts=_efforts(reading),
        decisions=decision_lines(decisions, newest_versions(decisions)),
        review=review,
        words=panel_words(client, (week.starts_on, week.ends_on), review),
        limited=tuple(keep_forms(limited)),
    )


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


def _rows(
    reading: WeekReading,
    series: Sequence[Series],
    week: ReviewWeek,
    onset: date | None,
    decided: set[int | None],
) -> tuple[TargetRow, ...]:
    """Exercises that would change first, then those that stay."""
    first = week.starts_on - timedelta(weeks=WEEKS_READ - 1)
    last = min(week.ends_on, week.today)
    courses = {one.exercise.key: spark(one, first, last, onset) for one in series}
    open_ = [p for p in reading.proposals if p.exercise_id not in decided]
    ordered = sorted(open_, key=lambda p: not p.changes_plan)
    # Where a light week comes first, the coach ticks what should change all the same.
    waits = reading.first is not None and reading.first.kind in LIGHT_WEEK
    return tuple(
        replace(target_row(p, courses.get(p.exercise.key)), chosen=not waits) for p in ordered
    )


def target_row(proposal: Proposal, course: Spark | None) -> TargetRow:
    """One proposal as a line of the form."""
    exercise, last, target = proposal.exercise, proposal.last, proposal.target
    line = change_line(proposal)
    work = [s for s in last.sets if not s.warm_up]
    goal = proposal.to or exercise
    return TargetRow(
        key=proposal.key,
        name=exercise.name,
        side=line.side,
        part=proposal.part.value,
        asked=asked_words(last.planned or proposal.planned[0]),
        done=done_words(
            [s.amount for s in work], [s.load for s in work], exercise.measure, exercise.load_kind
        ),
        done_on=last.on,
        is_short=any(s.target is not None and s.amount < s.target for s in work),
        before=before_words(proposal),
        after=line.after,
        changes=proposal.changes_plan,
        step=line.step,
        sentence=target.sentence,
        rule=target.rule,
        source=source_words(target.source_key),
        rung=proposal.rung,
        unit="s" if goal.measure is Measure.SECONDS else "reps",
        targets="-".join(str(n) for n in target.targets),
        load=f"{target.load:g}",
        has_load=goal.load_kind.value != "none",
        spark=course,
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


def newest_versions(decisions: Sequence[Decision]) -> frozenset[int]:
    """The newest version of each block that these decisions changed; 1 query."""
    blocks = {d.version.block_id for d in decisions if d.version}
    versions = BlockVersion.objects.filter(block__in=blocks).values("block")
    return frozenset(versions.annotate(top=Max("pk")).values_list("top", flat=True))


def decision_lines(
    decisions: Sequence[Decision], newest: frozenset[int]
) -> tuple[DecisionLine, ...]:
    """Decisions by the act they were made in; only a block's newest version can be undone."""
    groups: dict[Any, list[Decision]] = {}
    for one in decisions:
        groups.setdefault(one.at, []).append(one)
    return tuple(_decision_line(same, newest) for same in groups.values())


def _decision_line(same: Sequence[Decision], newest: frozenset[int]) -> DecisionLine:
    first = same[0]
    undone = first.undone_at is not None
    return DecisionLine(
        decision_id=first.pk,
        at=first.at,
        words=tuple(decision_words(d) for d in same),
        undone=undone,
        can_undo=not undone and {d.version_id for d in same} <= {None, *newest},
    )


def decision_words(decision: Decision) -> str:
    """What was decided, in one line."""
    said = decision.proposal
    if decision.kind == "deload":
        starts = date.fromisoformat(said["starts_on"])
        return f"Light week from {short_day(starts)}, {said['share']:.0%} of the usual reps"
    if "what" in said:
        return str(said["what"])
    before = "-".join(str(n) for n in said["before"])
    after = "-".join(str(n) for n in said["targets"])
    name = said["exercise"]
    if decision.version_id is None:
        return f"{name}: {decision.kind} {after}"
    own = ", as you changed it" if said.get("changed_by_coach") else ""
    loads = f" at {said['load']:g} kg" if said["load"] != said["before_load"] else ""
    return f"{name}: {decision.kind}, {before} → {after}{loads}{own}"
