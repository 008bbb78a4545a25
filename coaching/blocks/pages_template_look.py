"""The weeks of a template as one client would get them, before a block is made of it."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coaching.blocks.block_findings import (
    ClientFacts,
    block_findings,
    judged,
    scene_of,
    volume_findings,
)
from coaching.blocks.charts import has_range, is_outside, sets_text
from coaching.blocks.effects import PlacedFinding
from coaching.blocks.logged_loads import logged_loads
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.pages_spine import SpineRow, spine_rows
from coaching.blocks.plan_figures import WeekFigures, week_figures
from coaching.blocks.planned_loads import KnownLoads
from coaching.blocks.trained_elsewhere import trained_elsewhere
from coaching.blocks.words import week_kind_text
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import Joints
from coaching.rules.load_to_choose import lines_to_choose
from coaching.rules.loads import EquipmentItem, loads_made
from coaching.rules.plan import Level, PlannedWeek, WeekKind
from coaching.rules.session_clock import fits, session_minutes


@dataclass(frozen=True)
class WeekLook:
    """One week: what kind it is of, its sets and repetitions, its longest session [min]."""

    number: int
    kind: str
    starts_on: date
    sessions: int
    working_sets: int
    reps: int
    minutes: int
    fits: bool


@dataclass(frozen=True)
class SessionLook:
    """One session of the first week as a client would get it."""

    name: str
    on: date
    minutes: int
    fits: bool
    rows: tuple[SpineRow, ...]


@dataclass(frozen=True)
class FoundInPlan:
    """What our rules find in a plan: joints and time at once, the rest to unfold."""

    must_see: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    muscles: tuple[str, ...] = ()
    """The muscles outside their range in the first usual week, each with its sets."""

    @property
    def summary(self) -> str:
        """What is folded away, in numbers."""
        count, muscles = len(self.others), len(self.muscles)
        parts = []
        if count:
            parts.append(f"{count} more to look at" if self.must_see else f"{count} to look at")
        if muscles:
            parts.append(f"{muscles} muscle{'' if muscles == 1 else 's'} outside the usual sets")
        return ", ".join(parts)

    def __bool__(self) -> bool:
        return bool(self.must_see or self.others or self.muscles)


def week_looks(weeks: Sequence[WeekFigures], budget: int) -> tuple[WeekLook, ...]:
    """Every week, to see the course of a block; no query."""
    return tuple(_look(one, budget) for one in weeks)


def names_to_choose(weeks: Iterable[PlannedWeek]) -> tuple[str, ...]:
    """The exercises whose load is still to be chosen with the client, each once."""
    sessions = [session for week in weeks for session in week.sessions]
    lines = [line for session in sessions for line in lines_to_choose(session)]
    return tuple(dict.fromkeys(line.exercise.name for line in lines))


def _look(figures: WeekFigures, budget: int) -> WeekLook:
    clocks = [one.minutes for one in figures.sessions]
    return WeekLook(
        number=figures.week.number,
        kind=week_kind_text(figures.week.kind.value),
        starts_on=figures.week.starts_on,
        sessions=len(figures.sessions),
        working_sets=figures.working_sets,
        reps=figures.reps,
        minutes=max((round(clock.total) for clock in clocks), default=0),
        fits=all(fits(clock, budget) for clock in clocks),
    )


_MUST_SEE = frozenset(
    {
        *(FindingKind.JOINT_LIMIT, FindingKind.PAIN, FindingKind.SESSION_MINUTES),
        *(FindingKind.EQUIPMENT, FindingKind.PLANNED_LOAD),
    }
)


def found_in_plan(
    figures: Sequence[WeekFigures],
    client: Client,
    joints: Joints,
    equipment: Collection[EquipmentItem],
    last: LastBlock | None = None,
) -> FoundInPlan:
    """What our rules find in any week, as the page of the draft will tell it; 1 query.

    Each once with its weeks; loads to choose are told apart. Muscles without a set that another
    week trains, or the ``last`` block did, are among them.
    """
    if not figures:
        return FoundInPlan()
    facts = _facts(figures, client, joints, equipment, last)
    weeks: dict[tuple[bool, str, str], list[int]] = {}
    for number, found in enumerate(block_findings(figures, facts), start=1):
        told = [one for one in found if one.finding.kind is not FindingKind.LOAD_TO_CHOOSE]
        for one in dict.fromkeys(_known_by(one) for one in told):
            weeks.setdefault(one, []).append(number)
    words = {
        (must_see, where, said): f"{_in_weeks(numbers)}{f', {where}' if where else ''}: {said}"
        for (must_see, where, said), numbers in weeks.items()
    }
    usual = next((one for one in figures if one.week.kind is WeekKind.BUILD), figures[0])
    missing = trained_elsewhere(figures, usual, None, last)
    volume = volume_findings(scene_of(figures, usual, facts, missing))
    return FoundInPlan(
        must_see=tuple(told for (must_see, *_), told in words.items() if must_see),
        others=tuple(told for (must_see, *_), told in words.items() if not must_see),
        muscles=tuple(one.finding.sentence for one in volume),
    )


def _facts(
    figures: Sequence[WeekFigures],
    client: Client,
    joints: Joints,
    equipment: Collection[EquipmentItem],
    last: LastBlock | None,
) -> ClientFacts:
    kinds = frozenset(item.kind for item in equipment)
    lines = (
        one for week in figures for each in week.sessions for one in each.session.prescriptions
    )
    made = frozenset(
        (one.key, loads_made(one, equipment)) for one in {line.exercise for line in lines}
    )
    before, name = (last.loads, last.name) if last else (frozenset(), "")
    return ClientFacts(
        Level(client.level),
        client.minutes,
        joints,
        figures[0].week.starts_on,
        loads=KnownLoads(before, name, made, logged_loads(client)),
        equipment=kinds,
    )


def sessions_note(figures: Iterable[WeekFigures], name: str, last: LastBlock | None) -> str:
    """How often a week a client would train whose last block planned it otherwise; empty without."""
    built = [one for one in figures if one.week.kind is WeekKind.BUILD]
    asked = max((len(one.sessions) for one in built), default=0)
    if last is None or not last.sessions or not asked or asked == last.sessions:
        return ""
    sessions = f"{asked} session{'' if asked == 1 else 's'} a week"
    return f"{sessions}; {last.name} of {name} planned {last.sessions}"


def lost_to_fit(
    written: Sequence[PlannedWeek], figures: Sequence[WeekFigures], level: Level
) -> str:
    """What the first usual week loses of the one that is written, and what leaves its range.

    Sets, then each muscle that was within its range: -24 sets a week; quadriceps 12 to 8.
    """
    kinds = WeekKind.BUILD
    asked = next((week_figures(one) for one in written if one.kind is kinds), None)
    made = next((one for one in figures if one.week.kind is kinds), None)
    if asked is None or made is None:
        return ""
    lost = asked.working_sets - made.working_sets
    was = {one.muscle: one for one in judged(asked, level) if not is_outside(one)}
    now = {one.muscle: one for one in judged(made, level, frozenset(was))}
    left = [
        f"{muscle.value} {sets_text(before.planned)} to {sets_text(now[muscle].planned)}"
        for muscle, before in was.items()
        if has_range(before) and muscle in now and is_outside(now[muscle])
    ]
    sets = f"{'−' if lost > 0 else '+'}{abs(lost)} set{'' if abs(lost) == 1 else 's'} a week"
    return "; ".join(
        [*([sets] if lost else []), *([f"out of range: {', '.join(left)}"] if left else [])]
    )


def _known_by(one: PlacedFinding) -> tuple[bool, str, str]:
    """Whether it must be seen, the sessions it is in, and what it says."""
    return one.finding.kind in _MUST_SEE, one.where, one.finding.sentence


def _in_weeks(numbers: Sequence[int]) -> str:
    """Weeks in words: Week 2; Weeks 1 to 4; Weeks 1, 3.

    >>> _in_weeks([1, 2, 3]), _in_weeks([2]), _in_weeks([1, 3])
    ('Weeks 1 to 3', 'Week 2', 'Weeks 1, 3')
    """
    first, *more = numbers
    if not more:
        return f"Week {first}"
    if more[-1] - first == len(more):
        return f"Weeks {first} to {more[-1]}"
    return f"Weeks {', '.join(map(str, numbers))}"


def session_looks(
    week: PlannedWeek | None, client: Client, joints: Joints
) -> tuple[SessionLook, ...]:
    """The sessions of a week, none without one, each beside the client's time."""
    clocks = [(one, session_minutes(one)) for one in (week.sessions if week else ())]
    return tuple(
        SessionLook(
            one.name,
            one.on,
            round(clock.total),
            fits(clock, client.minutes),
            spine_rows(one, joints),
        )
        for one, clock in clocks
    )
