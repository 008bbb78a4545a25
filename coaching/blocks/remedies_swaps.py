"""Remedies that change what is done or asked: for a joint, a muscle nothing trains, repetitions."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from coaching.blocks.block_findings import WeekScene
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import SessionFigures
from coaching.blocks.remedies_price import ranges_of
from coaching.blocks.shelf import Shelf, Shelved
from coaching.blocks.trials import Bench, Trial, act
from coaching.rules.findings import Side
from coaching.rules.joint_limits import (
    LimitAction,
    blocked_by,
    burdens_anew,
    is_easier_rung,
    regressed_by,
    sparing,
)
from coaching.rules.plan import (
    Measure,
    Muscle,
    Part,
    Pattern,
    PlannedSession,
    Prescription,
    WeekKind,
)
from coaching.rules.rep_range import range_for, reps_outside
from coaching.rules.stair import start_of

_MOST = 2
_MAY_GO = (Part.ISOLATION, Part.SUPPLEMENTARY)
_SIDES = frozenset({Pattern.PUSH, Pattern.PULL})
_NAMED = 3


def for_joint(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """The best exercise that spares the joint; what is only watched, or decided, stays."""
    scene, shelf = bench.scene, bench.whole.shelf
    overrides = scene.facts.joints.overrides
    lines = _lines_of(placed, scene)
    if shelf is None or not lines:
        return placed
    limits = scene.facts.limits_on(*(figures.session.on for figures, _ in lines))
    asked = lines[0][1].exercise
    if not (blocked_by(asked, limits, overrides) or regressed_by(asked, limits)):
        return placed
    if placed.finding.action == LimitAction.WATCH:
        return placed
    taken = {one.exercise.key for figures, _ in lines for one in figures.session.prescriptions}
    found = [
        one
        for one in shelf.instead_of(asked, limits, overrides)
        if sparing(asked, one.value, limits).spares and not burdens_anew(asked, one.value, limits)
    ]
    later = {one.value.key for one in found if blocked_by(one.value, bench.limits_ahead, overrides)}
    found.sort(key=lambda one: (one.value.key in later, one.value.key in taken))
    # What a later limit forbids cannot come in everywhere: it may for these sessions.
    trials = (
        trial
        for one in found
        for trial in swap_trials(
            placed, lines, one, None if one.value.key in later else shelf.rows.get(asked.key)
        )
    )
    return replace(placed, remedies=tuple(bench.best(placed, trials, most=_MOST)[0]))


def _lines_of(placed: PlacedFinding, scene: WeekScene) -> list[tuple[SessionFigures, Prescription]]:
    """The lines that a finding of an exercise is about and that may change."""
    return [
        (figures, one)
        for figures in scene.week.sessions
        if figures.session.key in placed.keys and scene.facts.may_change(figures.session)
        for one in figures.session.prescriptions
        if one.exercise.key == placed.finding.exercise and scene.facts.is_free(one)
    ]


def swap_trials(
    placed: PlacedFinding,
    lines: Sequence[tuple[SessionFigures, Prescription]],
    to: Shelved,
    row: int | None,
) -> Iterator[Trial]:
    """Another exercise in the place of all those lines by the row of the one that is asked.

    Without the row each line is swapped for itself, and the button says in which session.
    """
    asked = lines[0][1].exercise
    words = f"{to.value.name} instead of {asked.name}"
    if is_easier_rung(asked, to.value):
        words = f"{words}, one rung harder"
    if len(lines) > 1 and row:
        sent = act("replace-exercise", exercise=str(row), to=str(to.pk))
        sessions = tuple(dict.fromkeys(figures for figures, _ in lines))
        yield Trial(f"{words}, everywhere", sent, sessions)
        return
    names = dict(zip(placed.keys, placed.sessions, strict=True))
    for figures, one in lines:
        where = f" in {names[figures.session.key]}" if len(placed.keys) > 1 else ""
        sent = act("swap-line", line=one.key, exercise=str(to.pk))
        yield Trial(f"{words}{where}", sent, (figures,))


def for_repetitions(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """Targets at the end of the range that was left, and which rung comes next."""
    lines = _lines_of(placed, bench.scene)
    if not lines:
        return placed
    ways: list[Remedy] = []
    for figures, one in lines:
        trial = _into_range(figures, one, bench.scene)
        ways += bench.best(placed, [trial])[0]
    by = 1 if placed.finding.side is Side.ABOVE else -1
    return replace(
        placed,
        remedies=tuple(ways[:_MOST]),
        way_out=_next_rung(lines[0][1], bench, by=by),
    )


def _into_range(figures: SessionFigures, one: Prescription, scene: WeekScene) -> Trial:
    span = range_for(one.part, scene.facts.level)
    reps = span.top if max(one.targets) > span.top else span.bottom
    unit = ""
    if one.exercise.measure is Measure.SECONDS:
        reps, unit = start_of(one.part, one.exercise), " s"
    words = f"{one.exercise.name} {one.sets} × {reps}{unit}, {figures.session.name}"
    reach = "week" if _is_well_later(figures.session, one, scene) else "onward"
    sent = act("change-line", line=one.key, targets=str(reps), reach=reach)
    return Trial(words, sent, (figures,))


def _is_well_later(session: PlannedSession, one: Prescription, scene: WeekScene) -> bool:
    """Whether the same exercise asks for repetitions in its range in the week that follows."""
    following = scene.following
    if following is None or following.week.kind is not WeekKind.BUILD:
        return False
    later = [
        line
        for other in following.week.sessions
        if other.name == session.name
        for line in other.prescriptions
        if line.exercise.key == one.exercise.key and line.part is one.part
    ]
    return any(not reps_outside(line, scene.facts.level) for line in later)


def _next_rung(one: Prescription, bench: Bench, *, by: int) -> str:
    asked, shelf = one.exercise, bench.whole.shelf
    if shelf is None or not asked.ladder:
        return ""
    rungs = [
        each.value
        for each in shelf.offered(bench.limits_ahead, bench.scene.facts.joints.overrides)
        if each.value.ladder == asked.ladder and each.value.rung == asked.rung + by
    ]
    if not rungs:
        return ""
    word = "harder" if by > 0 else "easier"
    return f"The next {word} rung is {rungs[0].name}: swap it in and start at the range."


def for_untrained(
    placed: PlacedFinding, muscle: Muscle, bench: Bench, shelf: Shelf
) -> PlacedFinding:
    """An exercise of which a muscle is the main mover; or which ones there are."""
    ahead = bench.limits_ahead
    planned = {o.exercise.key for f in bench.scene.week.sessions for o in f.session.prescriptions}
    movers = [
        one
        for one in shelf.offered((), ())
        if any(_is_let_in(one, figures, bench.scene) for figures in _open_to(bench.scene))
        and one.value.key not in planned
        and any(share.muscle is muscle and share.is_direct for share in one.value.muscles)
    ]
    movers.sort(
        key=lambda one: (
            bool(blocked_by(one.value, ahead, bench.scene.facts.joints.overrides)),
            bool(regressed_by(one.value, ahead)),
            one.value.multi_joint,
            one.value.complexity,
            one.value.name,
        )
    )
    ways, _ = bench.best(placed, _additions(movers[:_NAMED], muscle, bench.scene))
    if not ways:
        ways, _ = bench.best(placed, _in_place_of(movers[:_NAMED], muscle, bench.scene))
    return replace(
        placed, remedies=tuple(ways), way_out="" if ways else _no_addition(muscle, movers)
    )


def _no_addition(muscle: Muscle, movers: Sequence[Shelved]) -> str:
    if not movers:
        return (
            f"No exercise for the {muscle} fits the client’s level, equipment and joints: "
            "sets in which it assists are what there is."
        )
    best = movers[0].value
    beside = {Pattern.PUSH: ", with a pull beside it", Pattern.PULL: ", with a push beside it"}
    return (
        f"Outside prehab no exercise of this week has the {muscle} as its main mover. {best.name} has"
        f"{beside.get(best.pattern, '')}, where there is time for it."
    )


def _additions(movers: Sequence[Shelved], muscle: Muscle, scene: WeekScene) -> Iterator[Trial]:
    def has(figures: SessionFigures) -> float:
        got = figures.volume.get(muscle)
        return got.fractional_sets if got else 0.0

    fewest = sorted(_open_to(scene), key=lambda one: (has(one), one.minutes.total))
    for to in movers:
        allowed = [one for one in fewest if _is_let_in(to, one, scene)]
        for figures in allowed[:_MOST]:
            yield _addition(figures, to)


def _in_place_of(movers: Sequence[Shelved], muscle: Muscle, scene: WeekScene) -> Iterator[Trial]:
    """A mover where something stands that is on no side and whose muscles have sets to spare."""
    room = {one: planned - low for one, planned, low in ranges_of(scene)}

    def spare(one: Prescription) -> float:
        """Sets above the range of what it trains most short of them; what has no range is free."""
        direct = [share.muscle for share in one.exercise.muscles if share.is_direct]
        return min((room[each] for each in direct if each in room), default=inf) - one.sets

    def trains(one: Prescription) -> bool:
        return any(share.muscle is muscle for share in one.exercise.muscles)

    lines = [
        (figures, one)
        for figures in _open_to(scene)
        for one in figures.session.prescriptions
        if one.part in _MAY_GO and one.exercise.pattern not in _SIDES and scene.facts.is_free(one)
    ]
    lines = [each for each in lines if spare(each[1]) >= 0 and not trains(each[1])]
    lines.sort(key=lambda each: (_MAY_GO.index(each[1].part), -spare(each[1])))
    for to in movers:
        if to.value.pattern in _SIDES:
            continue
        for figures, one in lines:
            if _is_let_in(to, figures, scene):
                words = f"{to.value.name} instead of {one.exercise.name} in {figures.session.name}"
                sent = act("swap-line", line=one.key, exercise=str(to.pk))
                yield Trial(words, sent, (figures,))


def _open_to(scene: WeekScene) -> list[SessionFigures]:
    return [one for one in scene.week.sessions if scene.facts.may_change(one.session)]


def _is_let_in(to: Shelved, figures: SessionFigures, scene: WeekScene) -> bool:
    """Whether the client's joints allow an exercise on the day of a session."""
    limits = scene.facts.limits_on(figures.session.on)
    return not blocked_by(to.value, limits, scene.facts.joints.overrides)


def _addition(figures: SessionFigures, to: Shelved) -> Trial:
    part = Part.SUPPLEMENTARY if to.value.multi_joint else Part.ISOLATION
    if to.value.pattern is Pattern.PREHAB:
        part = Part.PREHAB
    session = figures.session
    words = f"Add {to.value.name} to {session.name}"
    sent = act("add-exercise", session=session.key, exercise=str(to.pk), part=part.value)
    return Trial(words, sent, (figures,), tells_minutes=True)
