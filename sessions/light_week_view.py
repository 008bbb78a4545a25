"""A light week beside its usual week, in words and geometry: days, muscles, sides, effort."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.forms import BoundField

from coaching.blocks.charts import (
    CENTRE,
    PULL_SIDE,
    PUSH_SIDE,
    CentreVolume,
    SpineVolume,
    VolumeRow,
    VolumeSide,
    sets_text,
)
from coaching.blocks.words import load_text, pair_rest_text, targets_text
from coaching.rules.deload import DeloadChange, DeloadProposal, MuscleShareLine
from coaching.rules.numbers import DELOAD_MUSCLE_SETS, DELOAD_TOLERANCE
from coaching.rules.plan import Muscle, Pair, Part, PlannedSession, PlannedWeek, Prescription
from coaching.rules.session_clock import session_minutes
from sessions.forms_deload import LightWeekForm
from sessions.pages_session import sides_of

BODY_WEIGHT = "body weight"
_WIDEST = 98.0
"""Where 100 % of the usual stands [% of a side], so that its end stays visible."""


@dataclass(frozen=True)
class Cell:
    """One exercise beside the spine: its usual sets, its light ones, and the coach's own."""

    name: str
    side: str
    usual: str
    light: str
    rest_of_it: str
    effort: str
    why: str
    own: BoundField | None
    how: BoundField | None

    @property
    def is_set(self) -> bool:
        """Whether the coach set this one by hand, rightly or not."""
        fields = [one for one in (self.own, self.how) if one is not None]
        return any(one.value() or one.errors for one in fields)


@dataclass(frozen=True)
class Row:
    """One letter: two exercises facing each other, or one alone."""

    letter: str
    rest: str
    cells: tuple[Cell, ...]

    @property
    def is_centre(self) -> bool:
        """Whether the letter stands on neither side."""
        return self.cells[0].side == "centre"


@dataclass(frozen=True)
class Day:
    """One session of the usual week and what becomes of it."""

    name: str
    usual_on: date
    on: date | None
    usual_minutes: int
    minutes: int
    budget: int
    rows: tuple[Row, ...]
    wish: BoundField


def days_of(
    usual: PlannedWeek, proposal: DeloadProposal, form: LightWeekForm, *, budget: int
) -> tuple[Day, ...]:
    """Every session of the usual week beside its light version."""
    light = {session.key: session for session in proposal.week.sessions}
    why = {change.prescription_key: change for change in proposal.changes}
    words = {spot.prescription.key: spot.word for spot in form.spots}
    return tuple(
        _day(session, light.get(session.key), why, (form, words), form[f"day-{place}"], budget)
        for place, session in enumerate(usual.sessions, start=1)
    )


def _day(
    usual: PlannedSession,
    light: PlannedSession | None,
    why: dict[str, DeloadChange],
    asked: tuple[LightWeekForm, dict[str, str]],
    wish: BoundField,
    budget: int,
) -> Day:
    after = {p.key: p for p in light.prescriptions} if light else {}
    return Day(
        name=usual.name,
        usual_on=usual.on,
        on=light.on if light else None,
        usual_minutes=round(session_minutes(usual).total),
        minutes=round(session_minutes(light).total) if light else 0,
        budget=budget,
        rows=tuple(_row(pair, after, why, asked) for pair in usual.pairs),
        wish=wish,
    )


def _row(
    pair: Pair,
    after: dict[str, Prescription],
    why: dict[str, DeloadChange],
    asked: tuple[LightWeekForm, dict[str, str]],
) -> Row:
    sides = sides_of([p.exercise.pattern.value for p in pair.prescriptions])
    cells = tuple(
        _cell(p, side, after.get(p.key), why.get(p.key), asked)
        for p, side in zip(pair.prescriptions, sides, strict=True)
    )
    return Row(pair.letter, pair_rest_text(pair), cells)


def _cell(
    usual: Prescription,
    side: str,
    light: Prescription | None,
    change: DeloadChange | None,
    asked: tuple[LightWeekForm, dict[str, str]],
) -> Cell:
    form, words = asked
    word = words.get(usual.key)
    exercise = usual.exercise
    kept = (_loads(usual, light), str(usual.tempo))
    return Cell(
        name=exercise.name,
        side=side,
        usual=targets_text(usual.targets, exercise),
        light=_light(usual, light),
        rest_of_it=" · ".join(part for part in kept if part),
        effort=_effort(usual, light),
        why=change.why if change else "",
        own=form[f"own-{word}"] if word else None,
        how=form[f"how-{word}"] if word else None,
    )


def _light(usual: Prescription, light: Prescription | None) -> str:
    """The sets of the light week, with the exercise where it is an easier one."""
    if light is None:
        return "left out"
    sets = targets_text(light.targets, light.exercise)
    is_same = light.exercise.key == usual.exercise.key
    return sets if is_same else f"{light.exercise.name} {sets}"


def _loads(usual: Prescription, light: Prescription | None) -> str:
    """The load, and the lighter one of the light week."""
    before = load_text(usual.load, usual.exercise)
    if light is None or (light.load, light.exercise) == (usual.load, usual.exercise):
        return before
    after = load_text(light.load, light.exercise)
    return f"{before or BODY_WEIGHT} → {after or BODY_WEIGHT}" if before != after else before


def _effort(usual: Prescription, light: Prescription | None) -> str:
    """Repetitions in reserve before and after: RIR 2 → 4."""
    if light is None or light.rir is None:
        return ""
    if usual.rir is None or usual.rir == light.rir:
        return f"RIR {light.rir}"
    return f"RIR {usual.rir} → {light.rir}"


@dataclass(frozen=True)
class MuscleRow:
    """One muscle of the table: usual and light work, and whether its share holds."""

    name: str
    usual_sets: str
    light_sets: str
    usual_reps: str
    light_reps: str
    share: str
    holds: str
    is_off: bool


@dataclass(frozen=True)
class Effect:
    """What the light week does, counted."""

    usual_reps: int
    reps: int
    usual_sets: int
    sets: int
    share: str
    usual_minutes: int
    minutes: int
    usual_effort: str
    effort: str
    lighter: int
    chart: SpineVolume
    muscles: tuple[MuscleRow, ...]


def effect_of(usual: PlannedWeek, proposal: DeloadProposal) -> Effect:
    """The light week against the usual one: reps, sets, minutes, sides, muscles."""
    before, after = _work(usual), _work(proposal.week)
    return Effect(
        usual_reps=sum(p.reps for p in before),
        reps=sum(p.reps for p in after),
        usual_sets=sum(p.sets for p in before),
        sets=sum(p.sets for p in after),
        share=percent(proposal.share),
        usual_minutes=_minutes(usual),
        minutes=_minutes(proposal.week),
        usual_effort=_reserve(before),
        effort=_reserve(after),
        lighter=_lighter(before, after),
        chart=_chart(proposal),
        muscles=tuple(_muscle_row(line) for line in proposal.muscles),
    )


def _lighter(before: list[Prescription], after: list[Prescription]) -> int:
    """How many lines have another load, or an easier exercise."""
    usual = {p.key: (p.load, p.exercise.key) for p in before}
    return sum(usual.get(p.key) != (p.load, p.exercise.key) for p in after)


def _work(week: PlannedWeek) -> list[Prescription]:
    return [p for s in week.sessions for p in s.prescriptions if p.part is not Part.WARM_UP]


def _minutes(week: PlannedWeek) -> int:
    return sum(round(session_minutes(session).total) for session in week.sessions)


def _reserve(lines: list[Prescription]) -> str:
    """What is left in reserve, from the least to the most: 1–3."""
    said = [p.rir for p in lines if p.rir is not None]
    ends = sorted({min(said), max(said)}) if said else []
    return "–".join(str(one) for one in ends) or "not said"


def _balance(proposal: DeloadProposal) -> str:
    ratio = f" · {proposal.push_sets / proposal.pull_sets:.2f}" if proposal.pull_sets else ""
    return f"push {proposal.push_sets} sets · pull {proposal.pull_sets} sets{ratio}"


def percent(share: float) -> str:
    """A share in whole per cent: 40 %."""
    return f"{100 * share:.0f} %"


def _muscle_row(line: MuscleShareLine) -> MuscleRow:
    asked = "yes" if line.holds else "no"
    return MuscleRow(
        name=line.muscle.value,
        usual_sets=sets_text(line.usual_sets),
        light_sets=sets_text(line.light_sets),
        usual_reps=sets_text(line.usual_reps),
        light_reps=sets_text(line.light_reps),
        share=percent(line.share),
        holds=asked if line.must_hold else "not asked",
        is_off=line.must_hold and not line.holds,
    )


def _chart(proposal: DeloadProposal) -> SpineVolume:
    """Each muscle's share of its usual reps around the spine, the asked share bracketed."""
    lines = {line.muscle: line for line in proposal.muscles}
    low, high = (100 * (proposal.wanted + way * DELOAD_TOLERANCE.value) for way in (-1, 1))
    return SpineVolume(
        id="light-week-volume",
        title="What each muscle keeps",
        rows=tuple(_chart_rows(lines, proposal.wanted)),
        centre=tuple(_centre(lines[one]) for one in CENTRE if one in lines),
        balance=_balance(proposal),
        note=(
            f"Share of the usual reps, and sets. Brackets: {low:.0f}–{high:.0f} %, asked of "
            f"muscles with {DELOAD_MUSCLE_SETS.value:g} or more usual sets."
        ),
    )


def _chart_rows(lines: dict[Muscle, MuscleShareLine], wanted: float) -> Iterable[VolumeRow]:
    for place in range(max(len(PUSH_SIDE), len(PULL_SIDE))):
        left, right = (
            _side(lines.get(side[place]), wanted) if place < len(side) else None
            for side in (PUSH_SIDE, PULL_SIDE)
        )
        if left or right:
            yield VolumeRow(left, right)


def _side(line: MuscleShareLine | None, wanted: float) -> VolumeSide | None:
    if line is None:
        return None
    ends = [_length(wanted + way * DELOAD_TOLERANCE.value) for way in (-1, 1)]
    return VolumeSide(
        label=line.muscle.value,
        value_text=percent(line.share),
        bar=_length(line.share),
        low_x=ends[0] if line.must_hold else None,
        high_x=ends[1] if line.must_hold else None,
        outside=line.must_hold and not line.holds,
        usual=f"{sets_text(line.usual_sets)} → {sets_text(line.light_sets)} sets",
    )


def _length(share: float) -> float:
    return round(min(share, 1.0) * _WIDEST, 2)


def _centre(line: MuscleShareLine) -> CentreVolume:
    return CentreVolume(
        label=line.muscle.value,
        value_text=percent(line.share),
        outside=line.must_hold and not line.holds,
        usual=f"{sets_text(line.usual_sets)} sets",
    )
