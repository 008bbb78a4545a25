"""A plan that begins where its client stands: loads and repetitions from what was done lately."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from coaching.blocks.adaptation_loads import LoadsFor, is_on_course
from coaching.blocks.adaptation_values import (
    STOOD,
    ChangeKind,
    ClientMeans,
    Concern,
    KnownLoad,
    LineChange,
)
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    each_line,
    lines_of,
    usual_of,
)
from coaching.rules.loads import available_loads, loads_unknown
from coaching.rules.plan import Exercise, Level, Part
from coaching.rules.rep_range import WITH_RANGE
from coaching.rules.standing import Beginning, at_words, begins, own_most_of, sets_words

_LEVELS = tuple(Level)


@dataclass(frozen=True)
class Start:
    """Where one place of a plan begins: the load that is known, how far its targets move."""

    known: KnownLoad
    shifts: tuple[int, ...]
    most: int | None
    changes: tuple[LineChange, ...]

    def moved(self, line: TemplateLine) -> TemplateLine:
        """A line of any week with targets that much higher or lower, the highest in the range."""
        if not self.shifts:
            return line
        last = self.shifts[-1]
        shifts = self.shifts[: len(line.targets)]
        pairs = zip_longest(line.targets, shifts, fillvalue=last)
        targets = (max(1, target + self._up(shift, target)) for target, shift in pairs)
        return replace(line, targets=tuple(targets))

    def _up(self, shift: int, target: int) -> int:
        return shift if self.most is None else min(shift, max(0, self.most - target))


_Place = tuple[str, Part, str]
Starts = Mapping[_Place, "Start"]
"""By place: session, part, exercise."""


def starts_of(plan: TemplatePlan, library: Mapping[str, Exercise], means: ClientMeans) -> Starts:
    """Where each place begins on which the client stands somewhere."""
    if not means.standing:
        return {}
    places: dict[_Place, list[TemplateLine]] = defaultdict(list)
    for session, pair, line in lines_of(usual_of(plan)):
        places[session.name, pair.part, line.exercise_key].append(line)
    found = {place: _start(lines, place[1], library, means) for place, lines in places.items()}
    return {place: start for place, start in found.items() if start}


def with_loads(
    plan: TemplatePlan, starts: Starts, loads: LoadsFor, changes: list[LineChange]
) -> TemplatePlan:
    """The plan with the loads that the client knows and can make; every change is added."""
    asked: dict[_Place, list[TemplateLine]] = defaultdict(list)
    for session, pair, line in lines_of(plan):
        asked[session.name, pair.part, line.exercise_key].append(line)
    known = {
        place: starts[place].known if place in starts else loads.known(lines)
        for place, lines in asked.items()
    }
    told: set[_Place] = set()

    def loaded(session: TemplateSession, pair: TemplatePair, line: TemplateLine) -> TemplateLine:
        place = (session.name, pair.part, line.exercise_key)
        made, change = loads.loaded(line, known[place])
        start = starts.get(place)
        found = start.changes if start else (change,) if change else ()
        if not start or place not in told:
            changes.extend(replace(one, session=session.name, letter=pair.letter) for one in found)
        told.add(place)
        return made

    return each_line(plan, loaded)


def with_own_targets(plan: TemplatePlan, starts: Starts) -> TemplatePlan:
    """The plan with the targets of each place moved to where the client stands."""

    def line(session: TemplateSession, pair: TemplatePair, one: TemplateLine) -> TemplateLine:
        start = starts.get((session.name, pair.part, one.exercise_key))
        return start.moved(one) if start else one

    return each_line(plan, line) if starts else plan


def _start(
    lines: Sequence[TemplateLine],
    part: Part,
    library: Mapping[str, Exercise],
    means: ClientMeans,
) -> Start | None:
    """Where a place begins, told by its lines in all usual weeks; none where nothing tells it."""
    full = [line for line in lines if not is_on_course(line)]
    standing = means.standing.get(full[0].exercise_key) if full else None
    if standing is None or part not in WITH_RANGE:
        return None
    exercise, first = library[full[0].exercise_key], full[0]
    loads = available_loads(exercise, means.equipment)
    if loads_unknown(exercise, means.equipment):
        loads = (standing.load,)
    if standing.load and standing.load not in loads and not any(loads):
        return None
    most = own_most_of(exercise, part, _LEVELS[means.level])
    highest = max(target for line in full for target in line.targets)
    found = begins(exercise, standing, (first.targets, highest), loads, means.body_weight, most)
    start = Start(KnownLoad(found.load, highest), found.shifts, most, ())
    made = start.moved(first)
    if made.targets == first.targets and found.load == first.load and not found.is_easier:
        return start
    return replace(start, changes=(_told(exercise, made.targets, found, means),))


def _told(
    exercise: Exercise, targets: Sequence[int], found: Beginning, means: ClientMeans
) -> LineChange:
    standing = means.standing[exercise.key]
    asked = f"{sets_words(targets, exercise)} {at_words(exercise, found.load)}"
    why = f"{STOOD} {standing.words(exercise)}"
    name, kind, concern = exercise.name, ChangeKind.LOAD, Concern.NONE
    if found.is_easier:
        kind, concern = ChangeKind.OTHER, Concern.LEVEL
        asked += " is easier than before"
    return LineChange("", "", name, name, why, f"{name}, {asked}", kind, "", concern)
