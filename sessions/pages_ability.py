"""What a finding's chart shows: ability over time beside what was planned and done."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from clients.models import Client
from coaching.rules.ability_course import AbilityCourse, LevelOn, ability_course
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.plan import Exercise, Pattern
from coaching.rules.shown_strength import DaySets, shown_strength
from sessions.ability_words import between, exercise_words, shared_words
from sessions.charts import FEWEST_POINTS
from sessions.charts_ability import exercise_figure, names_in, shared_ability_figure
from sessions.pages_review import ReviewWeek
from sessions.set_words import done_words
from sessions.week_facts import logged_sessions
from sessions.week_reading import WEEKS_FOLLOWED, WeekReading, followed_from

SHARED = "What all exercises share"
# From how long before the week itself a chart shows.
SHOWN = timedelta(weeks=WEEKS_FOLLOWED - 1)
# What is said of an exercise, or of all together, has its course behind it.
CHARTED = frozenset(
    {
        FindingKind.OVERREACHING,
        FindingKind.EXERCISE_DROP,
        FindingKind.STALLED,
        FindingKind.PACING,
        FindingKind.EFFORT,
        FindingKind.DELOAD_DUE,
        FindingKind.HOLDING,
        FindingKind.PROGRESSING,
    }
)
# What stands behind these is seen in the sets of the week.
OF_THE_WEEK = frozenset(
    {FindingKind.RED_FLAG, FindingKind.PAIN, FindingKind.MISSED, FindingKind.LOG_MISTAKE}
)
# Findings that tell since when strength is lower.
FALLS = frozenset({FindingKind.OVERREACHING, FindingKind.EXERCISE_DROP})


@dataclass(frozen=True)
class AbilityRow:
    """One session: its day, what was planned, what was done, and between what ability lay.

    ``then`` is what was known of it on the day, ``now`` what is known with all that came later.
    """

    on: date
    planned: str
    done: str
    then: str
    now: str


@dataclass(frozen=True)
class Asked:
    """Whose chart is asked for, as of which week, and behind which finding.

    ``exercise`` is a key, empty for all exercises together. ``said`` keeps the charts of a page
    apart: two findings may show the same course.
    """

    client: Client
    week: ReviewWeek
    exercise: str = ""
    since: date | None = None
    said: str = ""


@dataclass(frozen=True)
class AbilityPage:
    """The chart of one exercise, or of all together when ``exercise`` is none."""

    asked: Asked
    exercise: Exercise | None
    sentence: str = ""
    figure: dict[str, Any] | None = None
    rows: tuple[AbilityRow, ...] = ()

    @property
    def name(self) -> str:
        """What the chart is about."""
        return self.exercise.name if self.exercise else SHARED

    @property
    def label(self) -> str:
        """The chart in words, for who does not see it."""
        return f"{self.name}, ability in {self.unit}. {self.sentence}"

    @property
    def shown(self) -> frozenset[str]:
        """What there is to see, by name; the legend explains no more."""
        return names_in(self.figure) if self.figure else frozenset()

    @property
    def side(self) -> str:
        """push, pull or nothing, for hue and texture."""
        pattern = self.exercise.pattern.value if self.exercise else ""
        return pattern if pattern in {"push", "pull"} else ""

    @property
    def unit(self) -> str:
        """The unit of the axis."""
        return "kg" if self.exercise else "%"

    @property
    def figure_id(self) -> str:
        """A word that is its own among the charts of a page."""
        about = self.exercise.key if self.exercise else "all"
        return f"{self.asked.said or 'course'}-{about}"


def chart_address(reading: WeekReading, finding: Finding) -> str:
    """Where the chart behind a finding is, or nothing when it has none."""
    if finding.kind not in CHARTED:
        return ""
    if finding.exercise and finding.exercise not in followed_keys(reading.sessions):
        return ""
    since = finding.since if finding.kind in FALLS else None
    week = reading.week_starts_on
    return ability_address(reading.client, week, finding.exercise, since, finding.kind)


def followed_keys(sessions: Iterable[LoggedSession]) -> frozenset[str]:
    """The exercises whose strength is followed: all but prehab."""
    sets = [one for session in sessions for one in session.sets if not one.warm_up]
    return frozenset(one.exercise.key for one in sets if one.exercise.pattern is not Pattern.PREHAB)


def ability_address(
    client: Client,
    week_starts_on: date,
    exercise: str = "",
    since: date | None = None,
    said: FindingKind | None = None,
) -> str:
    """Where the course of one exercise, or of all together, is drawn.

    ``said`` is the finding that it stands behind: two findings may show the same course.
    """
    asked = {
        "week": week_starts_on.isoformat(),
        "exercise": exercise,
        "since": since.isoformat() if since else "",
        "said": said.name.lower() if said else "",
    }
    query = urlencode({name: value for name, value in asked.items() if value})
    return f"{reverse('sessions:ability', args=[client.pk])}?{query}"


def ability_page(asked: Asked) -> AbilityPage | None:
    """The chart as of the end of a week; 8 queries. None when that exercise was not logged."""
    week = asked.week
    followed, shown = followed_from(week.starts_on), week.starts_on - SHOWN
    sessions = logged_sessions(asked.client, followed, week.ends_on, week.today)
    course = ability_course(sessions).since(shown)
    sessions = tuple(one for one in sessions if one.on >= shown)
    days = _as_read(course, shown_strength(sessions))
    if not asked.exercise:
        return _of_all(asked, course, days)
    logged = (one.exercise for s in reversed(sessions) for one in s.sets)
    exercise = next((one for one in logged if one.key == asked.exercise), None)
    if exercise is None:
        return None
    if not days.get(exercise.key):
        return AbilityPage(asked, exercise, exercise.name)
    return _of_one(asked, course.exercises[exercise.key], days[exercise.key])


def _of_all(
    asked: Asked, course: AbilityCourse, days: Mapping[str, Sequence[DaySets]]
) -> AbilityPage:
    rows = _shared_rows(course, days)
    if len(course.shared) < FEWEST_POINTS:
        return AbilityPage(asked, None, rows=rows)
    return AbilityPage(
        asked,
        None,
        shared_words(course.shared, asked.since),
        shared_ability_figure(course, days, onset=asked.since),
        rows,
    )


def _of_one(asked: Asked, levels: Sequence[LevelOn], days: Sequence[DaySets]) -> AbilityPage:
    exercise = days[-1].exercise
    level_on = {one.on: one for one in levels}
    rows = tuple(_row(day, level_on[day.on]) for day in reversed(days))
    if len(levels) < FEWEST_POINTS:
        return AbilityPage(asked, exercise, rows=rows)
    return AbilityPage(
        asked,
        exercise,
        exercise_words(exercise, levels, asked.since),
        exercise_figure(levels, days, onset=asked.since),
        rows,
    )


def _as_read(
    course: AbilityCourse, days: Mapping[str, Sequence[DaySets]]
) -> dict[str, tuple[DaySets, ...]]:
    """Without the days that the model took for mistyped."""
    found = {}
    for key, levels in course.exercises.items():
        read = {one.on for one in levels}
        found[key] = tuple(day for day in days[key] if day.on in read)
    return found


def _row(day: DaySets, level: LevelOn) -> AbilityRow:
    measure, kind = day.exercise.measure, day.exercise.load_kind
    planned = [one for one in day.sets if one.target]
    loads = [one.load if one.target_load is None else one.target_load for one in planned]
    return AbilityRow(
        on=day.on,
        planned=done_words([one.target or 0 for one in planned], loads, measure, kind) or "–",
        done=done_words(
            [one.amount for one in day.sets], [s.load for s in day.sets], measure, kind
        ),
        then=between(level.then, "kg"),
        now=between(level.now, "kg"),
    )


def _shared_rows(
    course: AbilityCourse, days: Mapping[str, Sequence[DaySets]]
) -> tuple[AbilityRow, ...]:
    rows = []
    for one in reversed(course.shared):
        sets = [s for found in days.values() for d in found if d.on == one.on for s in d.sets]
        asked = [s for s in sets if s.target]
        met = sum(s.amount >= (s.target or 0) for s in asked)
        row = AbilityRow(
            on=one.on,
            planned=f"{len(asked)} sets",
            done=f"{met} met, {len(asked) - met} short",
            then=between(one.then, "%"),
            now=between(one.now, "%"),
        )
        rows.append(row)
    return tuple(rows)
