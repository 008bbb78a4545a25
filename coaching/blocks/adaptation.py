"""A template made to fit one client: exercises, loads and minutes.

What equipment or joints forbid is swapped, or left out; loads become those that the client
has and knows; a session that is too long is made shorter. Pure: a plan and the library go in,
the fitting plan and every change with its reason come out.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coaching.blocks.adaptation_course import AskedLine, with_course
from coaching.blocks.adaptation_light import light_as_before
from coaching.blocks.adaptation_likeness import in_level, is_above
from coaching.blocks.adaptation_loads import LoadsFor, kept_unknown
from coaching.blocks.adaptation_minutes import plan_on_time
from coaching.blocks.adaptation_pain import below_what_hurts
from coaching.blocks.adaptation_rungs import Rungs
from coaching.blocks.adaptation_standing import starts_of, told_pains, with_loads, with_own_targets
from coaching.blocks.adaptation_start import low_start_of, with_low_start
from coaching.blocks.adaptation_values import (
    Adaptation,
    ChangeKind,
    ClientMeans,
    Concern,
    LineChange,
    names_in_words,
    weeks_in_words,
)
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    each_line,
    lines_of,
)
from coaching.rules.block_numbers import SWAP_FEWEST_REPS
from coaching.rules.joint_limits import (
    JointLimit,
    LimitAction,
    LimitOverride,
    Sparing,
    blocked_by,
    is_easier_rung,
    offered,
    override_for,
    regressed_by,
    sparing,
)
from coaching.rules.loads import missing_equipment
from coaching.rules.plan import EquipmentKind, Exercise, Level, Measure, Muscle, Part
from coaching.rules.stand_in import Known, is_limited, stand_ins
from coaching.rules.standing import most_of
from coaching.rules.swapped_targets import converted_targets

_Place = tuple[str, Part, str]
"""Where an exercise stands, the same in every week: session, part, exercise."""


def adapted(plan: TemplatePlan, library: Mapping[str, Exercise], means: ClientMeans) -> Adaptation:
    """The plan as one client can do it, with every change and its reason.

    An exercise that loads what the client must avoid, or needs equipment that is not
    there, gives way to the best replacement that trains the same main mover. One that loads
    what must be regressed gives way to the nearest easier rung that spares it, else to a swap
    that does, and stays when there is neither. Without a replacement a line that cannot be
    done is left out, and a pair or session that is left with nothing too. Where a load cannot
    go up as the plan has it, the repetitions do not fall for it. What is new to a client begins low
    where the plan is made for a higher level. Then sessions are
    made to end within the client's minutes. Where weeks differ each is decided once for a
    place and holds in all of them.

    Args:
        plan: Weeks and sessions of a template.
        library: Exercises by key; every key of the plan must be in it.
        means: What the client can do, own and spare.
    """
    fit = _Fit(library, means)
    changes: list[LineChange] = []
    reached, asked = _in_reach(plan, fit, changes)
    starts = starts_of(reached, library, means)
    loads = with_loads(reached, starts, LoadsFor(library, means), changes)
    held = with_course(loads, asked, library, changes)
    low = low_start_of(held, library, means)
    begun = with_low_start(with_own_targets(held, starts), low)
    begun = light_as_before(begun, held, library)
    made = plan_on_time(begun, library, means, changes)
    wanted, left = _exercises(plan), _exercises(made)
    changes += low.told(left, library)
    changes += kept_unknown(made, library, means)
    changes += told_pains([key for _, key in sorted(left)], library, means)
    changes += [*_lost_muscles(plan, made, library), *_too_hard(left, library, means)]
    return Adaptation(made, tuple(changes), len(wanted - left) > len(wanted & left))


def _lost_muscles(
    plan: TemplatePlan, made: TemplatePlan, library: Mapping[str, Exercise]
) -> Iterator[LineChange]:
    """The muscles that something of the plan trains first of all, and nothing any more."""
    before = [library[key].muscles for _, key in _exercises(plan)]
    asked = {one.muscle for muscles in before for one in muscles if one.is_direct}
    left = {one.muscle for _, key in _exercises(made) for one in library[key].muscles}
    names = [muscle.value for muscle in Muscle if muscle in asked - left]
    if names and left:
        what = f"Nothing is left that trains {names_in_words(names)}"
        why = "the plan as it is written does"
        yield LineChange("", "", what, what, why, what, ChangeKind.LEFT_OUT, "", Concern.LOST)


def _too_hard(
    left: Collection[tuple[str, str]], library: Mapping[str, Exercise], means: ClientMeans
) -> Iterator[LineChange]:
    """What stays though it is above the client's level, as nothing easier stands in for it."""
    keys = {key for _, key in left if is_above(library[key], means)}
    if keys:
        names = sorted(library[key].name for key in keys)
        what = f"{names_in_words(names)} {'stay' if names[1:] else 'stays'}"
        why = "above this client's level, and no easier rung is there: test it first, or swap it"
        yield LineChange("", "", what, what, why, what, ChangeKind.OTHER, "", Concern.LEVEL)


def _exercises(plan: TemplatePlan) -> set[tuple[str, str]]:
    """Every exercise of each session, in any week."""
    return {(session.name, line.exercise_key) for session, _, line in lines_of(plan)}


def _weeks_of(plan: TemplatePlan) -> dict[_Place, str]:
    """In which weeks each place stands, in words; empty where it is all of its session's."""
    places: dict[_Place, set[int]] = defaultdict(set)
    sessions: dict[str, set[int]] = defaultdict(set)
    for number, week in enumerate(plan.written, start=1):
        for session in week.sessions:
            sessions[session.name].add(number)
            for pair in session.pairs:
                for line in pair.lines:
                    places[session.name, pair.part, line.exercise_key].add(number)
    return {
        place: "" if weeks == sessions[place[0]] else f" in {weeks_in_words(list(weeks))}"
        for place, weeks in places.items()
    }


def _days_of(plan: TemplatePlan, starts_on: date | None) -> Mapping[_Place, frozenset[date]]:
    """On which days each place stands in a block from a day on; none where the day is not known."""
    days: dict[_Place, frozenset[date]] = defaultdict(frozenset)
    if starts_on is None:
        return days
    for week in plan.weeks:
        for session in week.sessions:
            on = starts_on + timedelta(days=week.after + session.day)
            for pair in session.pairs:
                for line in pair.lines:
                    days[session.name, pair.part, line.exercise_key] |= {on}
    return days


def _in_reach(
    plan: TemplatePlan, fit: "_Fit", changes: list[LineChange]
) -> tuple[TemplatePlan, list[AskedLine]]:
    """The plan with what the client can do, decided once for each place; what each line was."""
    taken: dict[str, set[str]] = defaultdict(set)
    for session, _, line in lines_of(plan):
        taken[session.name].add(line.exercise_key)
    decided: dict[_Place, Exercise | None] = {}
    where, days = _weeks_of(plan), _days_of(plan, fit.means.starts_on)
    for session, pair, line in lines_of(plan):
        place = (session.name, pair.part, line.exercise_key)
        if place not in decided:
            asked = fit.library[line.exercise_key]
            given, why, concern = fit.exercise(asked, taken[session.name], days[place], pair.part)
            decided[place] = given
            if given:
                taken[session.name].add(given.key)
            if given is not asked:
                name = given.name if given else ""
                change = LineChange(session.name, pair.letter, asked.name, name, why)
                changes.append(replace(change, where=where.get(place, ""), concern=concern))

    def swapped(session: TemplateSession, pair: TemplatePair, line: TemplateLine) -> _Kept:
        given = decided[session.name, pair.part, line.exercise_key]
        return fit.swapped(line, given, pair.part) if given else None

    asked_lines = [
        (place, line)
        for session, pair, line in lines_of(plan)
        if decided[place := (session.name, pair.part, line.exercise_key)]
    ]
    return each_line(plan, swapped), asked_lines


_Kept = TemplateLine | None


@dataclass(frozen=True)
class _Fit:
    """One client's means, asked line by line."""

    library: Mapping[str, Exercise]
    means: ClientMeans

    def swapped(self, line: TemplateLine, given: Exercise, part: Part) -> TemplateLine:
        """The line with what is done: its targets converted, the load of another left open."""
        asked = self.library[line.exercise_key]
        if given is asked:
            return line
        swap = replace(line, exercise_key=given.key, load=0.0)
        if given.load_kind is not asked.load_kind:
            # Kilograms of help, or on a belt, say nothing of a dumbbell.
            swap = replace(swap, load_share=1.0, load_step=0.0)
        if given.measure is asked.measure:
            return swap
        targets = converted_targets(line.targets, asked.measure, given.measure)
        if given.measure is Measure.REPS:
            # Seconds of a hard hold would be two or three repetitions of something easier.
            fewest = int(SWAP_FEWEST_REPS.value(part, "fewest"))
            most = most_of(part, given.measure, list(Level)[self.means.level])
            targets = tuple(min(max(most, fewest), max(fewest, one)) for one in targets)
        return replace(swap, targets=targets, tempo=self.means.tempos.get(given.key, line.tempo))

    def exercise(
        self, asked: Exercise, taken: Collection[str], days: Collection[date], part: Part
    ) -> tuple[Exercise | None, str, Concern]:
        """The exercise itself, or what is done instead and why; none when nothing fits.

        It stands on all of those days: what is avoided on one of them cannot be done. Where it
        loads what hurt lately alike, a rung below what hurt comes in.
        """
        found = self._able(asked, taken, days, part)
        limits = self.means.limits_on(days)
        given = found[0] and below_what_hurts(
            found[0],
            part,
            self.means,
            lambda one: one.key not in taken and self._is_allowed(one, limits),
        )
        return (*given, Concern.JOINTS) if given else found

    def _able(
        self, asked: Exercise, taken: Collection[str], days: Collection[date], part: Part
    ) -> tuple[Exercise | None, str, Concern]:
        limits = self.means.limits_on(days)
        why = why_not(asked, limits, self.means.kinds, self.means.overrides, days)
        if why:
            is_joint = bool(blocked_by(asked, limits, self.means.overrides))
            given = next(iter(self.stand_ins(asked, taken, limits, part)), None)
            concern = Concern.JOINTS if is_joint else Concern.NONE if given else Concern.LOST
            return given, why, concern
        regressed = [f"{limit}{limit.when(days)}" for limit in regressed_by(asked, limits)]
        if regressed:
            spared = self.stand_ins(asked, taken, limits, part)
            easier = next((one for one in spared if sparing(asked, one, limits).spares), None)
            if easier:
                still = [str(limit) for limit in regressed_by(easier, limits)]
                less = f"; it still loads {', '.join(still)}, though less" if still else ""
                return easier, f"regresses {', '.join(regressed)}{less}", Concern.JOINTS
        if is_above(asked, self.means):
            found = self.stand_ins(asked, taken, limits, part)
            near = [one for one in found if not self.rungs.too_far(one, part)]
            lower = in_level(asked, near or found, self.means, taken)
            if lower:
                return lower, "it is above this client's level", Concern.LEVEL
        return self._on_own_rung(asked, taken, limits, part)

    def _on_own_rung(
        self,
        asked: Exercise,
        taken: Collection[str],
        limits: Collection[JointLimit],
        part: Part,
    ) -> tuple[Exercise, str, Concern]:
        """The exercise itself, or the rung on which the client stands where it is another one."""
        rungs = self.rungs
        higher = rungs.goes_on(asked, part)
        if higher and higher.key not in taken and self._is_allowed(higher, limits):
            return higher, rungs.words(higher), Concern.LEVEL
        why = rungs.too_far(asked, part)
        if not why:
            return asked, "", Concern.NONE
        found = [
            one
            for one in self.stand_ins(asked, taken, limits, part)
            if one.key not in taken and not rungs.too_far(one, part)
        ]
        found = [one for one in found if not rungs.hurts(one)] or found
        easier = [one for one in found if is_easier_rung(one, asked)]
        given = max(easier, key=lambda one: one.rung) if easier else next(iter(found), asked)
        return given, why, Concern.LEVEL

    @property
    def rungs(self) -> Rungs:
        """What the log says of the rungs of ladders."""
        return Rungs(self.library, self.means)

    def _is_allowed(self, one: Exercise, limits: Collection[JointLimit]) -> bool:
        allowed = offered([one], limits, self.means.kinds, self.means.overrides)
        return bool(allowed) and one in self.means.candidates

    def stand_ins(
        self,
        asked: Exercise,
        taken: Collection[str],
        limits: Collection[JointLimit],
        part: Part = Part.PRIMARY,
    ) -> list[Exercise]:
        """What may stand in, best first: the client's own rung of the ladder before the rest.

        What is a step too far comes late, what the session has already last.
        """
        means = self.means
        known = Known(means.planned, means.levels, means.level)
        found = stand_ins(asked, means.candidates, limits, means.kinds, means.overrides, known)
        rungs = self.rungs
        own = rungs.own(asked)
        is_open = own in found or not is_limited(asked, limits)
        if own and own.key != asked.key and is_open and self._is_allowed(own, limits):
            found = tuple(dict.fromkeys([own, *found]))

        def order(one: Exercise) -> tuple[bool, ...]:
            return (one.key in taken, bool(rungs.too_far(one, part)), rungs.hurts(one))

        return sorted(found, key=order)


def why_not(
    exercise: Exercise,
    limits: Collection[JointLimit],
    kinds: Collection[EquipmentKind],
    overrides: Collection[LimitOverride] = (),
    days: Collection[date] = (),
) -> str:
    """Why a client cannot do an exercise, in words; empty when it is possible.

    With the days on which it would stand it says from when or until when a limit holds.
    """
    missing = [kind.value for kind in missing_equipment(exercise, kinds)]
    blocked: dict[str, list[str]] = defaultdict(list)
    for limit in blocked_by(exercise, limits, overrides):
        blocked[limit.when(days)].append(str(limit))
    reasons = [f"loads {', '.join(one)}, which is avoided{when}" for when, one in blocked.items()]
    if missing:
        reasons.append(f"needs {', '.join(missing)}")
    return "; ".join(reasons)


def swap_word(asked: Exercise, given: Exercise) -> str:
    """What a replacement is called: regress (a rung down), progress (a rung up) or swap."""
    if is_easier_rung(given, asked):
        return "regress"
    return "progress" if is_easier_rung(asked, given) else "swap"


def swap_reason(
    asked: Exercise,
    given: Exercise,
    limits: Collection[JointLimit],
    overrides: Collection[LimitOverride] = (),
) -> str:
    """Why an exercise is a good replacement and what it does to the joints, in a coach's words."""
    apart = given.rung - asked.rung
    if swap_word(asked, given) != "swap":
        way = "up" if apart > 0 else "down"
        reason = f"{_RUNGS.get(abs(apart), f'{abs(apart)} rungs')} {way} on the same ladder"
    else:
        plane = "" if given.plane == "none" else f"{given.plane} "
        movers = ", ".join(s.muscle.value for s in given.muscles if s.is_direct)
        reason = f"{plane}{given.pattern}, trains {movers}"
    return "; ".join([reason, *_joint_words(asked, given, limits, overrides)])


_RUNGS = {1: "one rung"}


def _joint_words(
    asked: Exercise,
    given: Exercise,
    limits: Collection[JointLimit],
    overrides: Collection[LimitOverride],
) -> Iterator[str]:
    """What a replacement spares and what it loads, limit by limit."""
    watched = LimitAction.WATCH
    loads = [limit for limit in limits if limit.stress in given.joint_stresses]
    spared = [
        str(limit)
        for limit in limits
        if limit.stress in asked.joint_stresses and limit not in loads
        if limit.action is not watched
    ]
    if spared:
        yield f"does not load {', '.join(spared)}"
    less = sparing(asked, given, limits) is Sparing.LOADS_LESS
    for limit in regressed_by(given, limits):
        yield f"loads {limit} less" if less else f"loads {limit}, which is regressed"
    for limit in loads:
        override = override_for(given, limit, overrides)
        if limit.action is LimitAction.AVOID and override is not None:
            yield f"loads {limit}, {override}"
    if names := [str(limit) for limit in loads if limit.action is watched]:
        yield f"loads {', '.join(names)}, ask how it feels"
