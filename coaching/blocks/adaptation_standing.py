"""A plan that begins where its client stands: loads and repetitions from what was done lately."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from coaching.blocks.adaptation_loads import LoadsFor, is_on_course
from coaching.blocks.adaptation_values import (
    HURT,
    STOOD,
    ChangeKind,
    ClientMeans,
    Concern,
    KnownLoad,
    LineChange,
    names_in_words,
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
from coaching.rules.pain_reach import Hurt, Reach, reach
from coaching.rules.plan import Exercise, Level, Part
from coaching.rules.rep_range import WITH_RANGE
from coaching.rules.standing import (
    Beginning,
    Standing,
    at_words,
    begins,
    hardest,
    own_most_of,
    sets_words,
)

_LEVELS = tuple(Level)


@dataclass(frozen=True)
class Start:
    """Where one place of a plan begins: the load that is known, how far its targets move."""

    known: KnownLoad
    found: Beginning
    most: int | None
    standing: Standing

    def moved(self, line: TemplateLine) -> TemplateLine:
        """A line of any week with targets that much higher or lower, the highest in the range."""
        if not self.found.shifts:
            return line
        last = self.found.shifts[-1]
        shifts = self.found.shifts[: len(line.targets)]
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
        key = line.exercise_key
        if means.standing.get(key) and pair.part in WITH_RANGE and not is_on_course(line):
            places[session.name, pair.part, key].append(line)
    found: dict[_Place, Start] = {}
    for place, lines in places.items():
        standing = _stood_at(place, places, library, means)
        if start := _start(lines, place[1], standing, library, means):
            found[place] = start
    return found


def _stood_at(
    place: _Place,
    places: Mapping[_Place, Sequence[TemplateLine]],
    library: Mapping[str, Exercise],
    means: ClientMeans,
) -> Standing:
    """Of a heavy and a light day the one that a place goes on from.

    What asks for the fewest goes on from the heavy one, the rest from what is nearest.
    """
    key = place[2]
    standings = means.standing[key]
    heavy = hardest(library[key], standings, means.body_weight)
    asked = {
        one: max(target for line in lines for target in line.targets)
        for one, lines in places.items()
        if one[2] == key
    }
    wanted = asked[place]
    if wanted == min(asked.values()):
        return heavy
    return min(standings, key=lambda one: (abs(one.usual - wanted), one is not heavy))


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
        if start:
            exercise = loads.library[line.exercise_key]
            change = None if place in told else _told(exercise, line, made, start)
        if change:
            changes.append(replace(change, session=session.name, letter=pair.letter))
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
    standing: Standing,
    library: Mapping[str, Exercise],
    means: ClientMeans,
) -> Start | None:
    """Where a place begins, told by its lines in all usual weeks; none where nothing tells it."""
    exercise, first = library[lines[0].exercise_key], lines[0]
    loads = available_loads(exercise, means.equipment)
    if loads_unknown(exercise, means.equipment):
        loads = (standing.load,)
    if standing.load and standing.load not in loads and not any(loads):
        return None
    most = own_most_of(exercise, part, _LEVELS[means.level])
    highest = max(target for line in lines for target in line.targets)
    asked = (first.targets, highest)
    found = begins(exercise, standing, asked, loads, means.body_weight, most, first.load)
    return Start(KnownLoad(found.load, highest), found, most, standing)


def _told(
    exercise: Exercise, line: TemplateLine, made: TemplateLine, start: Start
) -> LineChange | None:
    """What a line becomes and from what; none where it stays as it is and nothing need be said."""
    found, standing = start.found, start.standing
    targets = start.moved(made).targets
    is_said = found.is_easier or found.is_harder or standing.hurt
    if targets == line.targets and made.load == line.load and not is_said:
        return None
    name, concern = exercise.name, Concern.NONE
    kind = ChangeKind.LOAD if targets == line.targets else ChangeKind.TARGETS
    asked = sets_words(targets, exercise)
    if made.load == found.load:
        asked += f" {at_words(exercise, made.load)}"
    else:
        asked += ", its load still to choose"
    why = f"{STOOD} {standing.words(exercise)}"
    if standing.hurt:
        kind, concern = ChangeKind.OTHER, Concern.JOINTS
        why = f"{HURT} {standing.words(exercise)}; ask before it is done again, or swap it"
    elif found.is_harder or (found.is_easier and not standing.is_most):
        kind, concern = ChangeKind.OTHER, Concern.LEVEL
        asked += f" is {'harder' if found.is_harder else 'easier'} than before"
    return LineChange("", "", name, name, why, f"{name}, {asked}", kind, "", concern)


def told_pains(
    keys: Collection[str], library: Mapping[str, Exercise], means: ClientMeans
) -> Iterator[LineChange]:
    """What hurt lately, and what of the plan loads the same joint alike: never folded away."""
    if not means.pains:
        return
    hurt = names_in_words([_pain_words(one) for one in means.pains])
    work = [library[key] for key in dict.fromkeys(keys)]
    alike = [
        one.name for one in work if any(reach(pain, one) is Reach.ALIKE for pain in means.pains)
    ]
    loads = (
        f"{names_in_words(alike)} of this draft load{'' if alike[1:] else 's'} it alike"
        if alike
        else ""
    )
    why = (
        f"{loads}{'; ' if loads else ''}ask before the first session; pain that is sharp, rises or "
        "is still there next morning belongs to a licensed practitioner"
    )
    what = f"Hurt lately: {hurt}"
    yield LineChange("", "", what, what, why, what, ChangeKind.OTHER, "", Concern.JOINTS)


def _pain_words(one: Hurt) -> str:
    """Dip (left shoulder, 6 of 10 on 20 Nov)."""
    where = f"{one.where}, " if one.where else ""
    return f"{one.exercise.name} ({where}{one.pain} of 10 on {one.on.day} {one.on:%b})"
