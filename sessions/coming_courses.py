"""Which lines of a running block go on together, and what its coming sessions ask of them.

A heavy and a light day of one exercise have a course each. The same day written heavier week by
week is one course, and so is a stair that is climbed from session to session.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import NamedTuple

from coaching.blocks.editing.places import lines_in
from coaching.blocks.snapshots import Line, Snapshot
from coaching.rules import plan
from coaching.rules.findings import listed
from coaching.rules.progression import Exposure
from coaching.rules.stair import usual_range
from sessions.next_block_courses import Courses, Placed, asks, is_near, twins_in
from sessions.set_rows import Place

_BUILD = plan.WeekKind.BUILD.value
WEEKS_COMPARED = 2
"""In so many usual weeks two days differ before each is a course of its own: what is decided
within a week, or from a later day on, makes them differ in that week only."""


class Course(NamedTuple):
    """An exercise in one part of the session, and which of its courses there.

    ``key`` is empty where it has only one, else the uid of the first line of the course.
    """

    exercise_id: int
    part: str
    key: str = ""


@dataclass(frozen=True)
class BlockCourses:
    """The courses of the exercises of a block that have more than one.

    ``when`` says by key in which sessions a course is trained.
    """

    split: Courses = field(default_factory=lambda: Courses({}, {}))
    when: Mapping[str, str] = field(default_factory=dict)

    def of_line(self, place: Place, uid: str) -> Course:
        """The course of a line."""
        return Course(*place, self.split.key_of.get(uid, ""))

    def lines(self, course: Course) -> frozenset[str] | None:
        """The uids of a course's lines in the whole block; none for all lines of its exercise."""
        if not course.key:
            return None
        return frozenset(uid for uid, key in self.split.key_of.items() if key == course.key)

    def exposures(self, course: Course, found: Sequence[Exposure]) -> list[Exposure]:
        """How an exercise went in a course; of its other courses only the pain counts."""
        if not course.key:
            return list(found)
        own = {id(one) for one in self.split.own(course.key, found)}
        return [one if id(one) in own or one.besides else _pain_only(one) for one in found]


def _pain_only(one: Exposure) -> Exposure:
    """Nothing to go on from, neither its sets nor its load."""
    return replace(one, sets=tuple(replace(s, warm_up=True) for s in one.sets), besides=True)


@dataclass(frozen=True)
class Coming:
    """What the next block sessions ask in each course, in every way they ask it, and when first."""

    block_id: int
    asked: Mapping[Course, tuple[plan.Prescription, ...]]
    on: Mapping[Course, date]
    courses: BlockCourses = field(default_factory=BlockCourses)
    since: date = date.min
    """The day on which the block begins."""


class _At(NamedTuple):
    """Where a line stands; ``order`` counts the lines of its week."""

    week: int
    on: str
    order: int
    session: str
    letter: str
    line: Line


_Slot = Mapping[int, _At]
"""A line of one week and what stands in its place in the others, by week."""


def courses_in(
    snapshot: Snapshot, measures: Mapping[Place, plan.Measure], today: date
) -> BlockCourses:
    """The courses of those exercises in a block, of which a day is today; no query."""
    block = _Block(snapshot, today.isoformat())
    key_of: dict[str, str] = {}
    newest: dict[str, Placed] = {}
    when: dict[str, str] = {}
    for place, measure in measures.items():
        courses = block.courses(place, measure)
        if len(courses) < 2:
            continue
        own = {_first(course).line["uid"]: course for course in courses}
        newest |= {key: Placed(place[1], block.shown(course)) for key, course in own.items()}
        when |= block.when(own)
        known = {
            at.line["uid"]: key
            for key, course in own.items()
            for slot in course
            for at in slot.values()
        }
        lone = [at.line for at in block.lines[place] if at.line["uid"] not in known]
        known |= {line["uid"]: _nearest(line, own, newest) for line in lone}
        key_of |= known
    return BlockCourses(Courses(key_of, newest), when)


def _first(course: Sequence[_Slot]) -> _At:
    return min(at for slot in course for at in slot.values())


def _nearest(line: Line, keys: Mapping[str, object], newest: Mapping[str, Placed]) -> str:
    """The course of a line that stands in no place of the others: nearest in sets, load, work."""
    targets, load = asks(line)

    def apart(key: str) -> tuple[bool, float, int]:
        other, there = asks(newest[key].line)
        return len(targets) != len(other), abs(load - there), abs(sum(targets) - sum(other))

    return min(keys, key=apart)


@dataclass(frozen=True)
class _Block:
    """A block whose lines are told apart."""

    snapshot: Snapshot
    today: str

    @cached_property
    def lines(self) -> Mapping[Place, list[_At]]:
        """Every line of an exercise in a part, in the order of the days."""
        found: dict[Place, list[_At]] = defaultdict(list)
        for index, week in enumerate(self.snapshot["weeks"]):
            order = 0
            for session in sorted(week["sessions"], key=lambda one: one["on"]):
                for pair, line in lines_in(session):
                    place = (line["exercise"], pair["part"])
                    at = _At(index, session["on"], order, session["name"], pair["letter"], line)
                    found[place].append(at)
                    order += 1
        return found

    @cached_property
    def _by_uid(self) -> Mapping[str, _At]:
        return {at.line["uid"]: at for found in self.lines.values() for at in found}

    @cached_property
    def _twins(self) -> dict[int, list[Mapping[str, Line]]]:
        return {}

    def courses(self, place: Place, measure: plan.Measure) -> list[list[_Slot]]:
        """The courses of an exercise, each with its lines; one or none where it is not split."""
        slots = list(self._slots(place))
        step = usual_range(plan.Part(place[1]), measure).step
        courses: list[list[_Slot]] = []
        for slot in slots if len(slots) > 1 else ():
            own = [one for one in courses if any(self._is_one(slot, o, step) for o in one)]
            if own:
                own[0].append(slot)
            else:
                courses.append([slot])
        return courses

    def _slots(self, place: Place) -> Iterator[_Slot]:
        """The lines of the usual week that has the most of them, the next of several."""
        weeks: dict[int, list[_At]] = defaultdict(list)
        for at in self.lines.get(place, ()):
            if self._is_usual(at.week):
                weeks[at.week].append(at)

        def rank(index: int) -> tuple[int, bool, int]:
            is_coming = weeks[index][-1].on >= self.today
            return len(weeks[index]), is_coming, -index if is_coming else index

        if not weeks:
            return
        base = max(weeks, key=rank)
        for at in weeks[base] if len(weeks[base]) > 1 else ():
            found = (one[at.line["uid"]] for one in self._in_each(base) if at.line["uid"] in one)
            yield {there.week: there for there in (self._by_uid[line["uid"]] for line in found)}

    def _in_each(self, base: int) -> list[Mapping[str, Line]]:
        """What stands in the place of each line of a week, in every week of the block."""
        if base not in self._twins:
            weeks = self.snapshot["weeks"]
            self._twins[base] = [twins_in(weeks[base], week) for week in weeks]
        return self._twins[base]

    def _is_usual(self, week: int) -> bool:
        return self.snapshot["weeks"][week]["kind"] == _BUILD

    def _is_one(self, one: _Slot, other: _Slot, step: int) -> bool:
        """Whether two lines of a week ask for the same, or the later goes on from the earlier.

        The weeks in which both are to come tell it, else the last two.
        """
        both = sorted(week for week in one.keys() & other.keys() if self._is_usual(week))
        coming = [week for week in both if min(one[week].on, other[week].on) >= self.today]
        looked = both[-max(len(coming), WEEKS_COMPARED) :]
        apart = [
            week
            for week in looked
            if not is_near(asks(one[week].line), asks(other[week].line), step)
        ]
        if len(apart) < min(WEEKS_COMPARED, len(looked)):
            return True
        ways = sorted(slot[week] for week in looked for slot in (one, other))
        return len(looked) > 1 and _goes_one_way([at.line for at in ways])

    def shown(self, course: Sequence[_Slot]) -> Line:
        """What a course asks next, else what it asked last."""
        return self._next(course[-1]).line

    def _next(self, slot: _Slot) -> _At:
        usual = sorted(at for at in slot.values() if self._is_usual(at.week))
        return next((at for at in usual if at.on >= self.today), usual[-1])

    def when(self, courses: Mapping[str, Sequence[_Slot]]) -> dict[str, str]:
        """In which sessions each course is trained, told apart by letters where days do not."""
        plain = {key: self._when(course) for key, course in courses.items()}
        return {
            key: words
            if list(plain.values()).count(words) == 1
            else f"{words}, {listed([self._next(one).letter for one in courses[key]])}"
            for key, words in plain.items()
        }

    def _when(self, course: Sequence[_Slot]) -> str:
        next_ = ((date.fromisoformat(at.on), at) for at in map(self._next, course))
        days: dict[str, list[str]] = defaultdict(list)
        for on, at in sorted(next_, key=lambda one: (one[0].weekday(), one[1].order)):
            days[at.session].append(f"{on:%a}")
        told = (f"{name} on {listed(list(dict.fromkeys(on)))}" for name, on in days.items())
        return listed(list(told))


def _goes_one_way(lines: Sequence[Line]) -> bool:
    """Whether load and work, one after the other, never fall, or never rise."""
    told = [(load, sum(targets)) for targets, load in map(asks, lines)]
    return told in (sorted(told), sorted(told, reverse=True))
