"""Which lines of a usual week go on together, and which of what was logged is theirs.

A heavy and a light day of one exercise have a course each; a stair that was climbed within the
week is one.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from coaching.blocks.editing.places import lines_in, places_in, same_sessions
from coaching.blocks.snapshots import Line, Snapshot, WeekData
from coaching.rules import plan
from coaching.rules.progression import Exposure
from coaching.rules.stair import usual_range
from sessions.set_rows import Place

_BUILD = plan.WeekKind.BUILD.value
_Asks = tuple[tuple[int, ...], float]
"""What a line asks: its targets and its load [kg]."""


@dataclass(frozen=True)
class Courses:
    """The courses of a usual week, by the key under which each is decided about.

    ``key_of`` has the lines of every week of the block that stand in the place of one of the
    usual week, by uid; ``newest`` the last line of each course in the week, with its part.
    """

    key_of: Mapping[str, str]
    newest: Mapping[str, "Placed"]

    def own(self, key: str, exposures: Sequence[Exposure]) -> list[Exposure]:
        """How it went in the block: what was logged of its exercise for the lines of a course.

        What was planned in none of them belongs to the course that is nearest in load and work.
        """
        place = _place_of(self.newest[key])
        beside = [one for one, placed in self.newest.items() if _place_of(placed) == place]
        return [one for one in exposures if not one.besides and self._is_own(key, one, beside)]

    def _is_own(self, key: str, one: Exposure, beside: Sequence[str]) -> bool:
        planned = one.planned
        known = self.key_of.get(planned.key) if planned else None
        if known is not None:
            return known == key
        is_light = one.kind is not plan.WeekKind.BUILD
        alike = [
            other
            for other in beside
            if planned is None or is_light or planned.sets == self._sets(other)
        ]
        return key in alike and key == min(alike, key=lambda other: self._apart(other, one))

    def _sets(self, key: str) -> int:
        return len(self.newest[key].line["targets"])

    def _apart(self, key: str, one: Exposure) -> tuple[float, int]:
        """How far what was done is from what a course asks: in load, then in work."""
        targets, load = asks(self.newest[key].line)
        done = [each for each in one.sets if not each.warm_up]
        was = max((each.load for each in done), default=0.0)
        return abs(load - was), abs(sum(targets) - sum(each.amount for each in done))


class Placed(NamedTuple):
    """A line of a plan and its part."""

    part: str
    line: Line


def _place_of(placed: Placed) -> Place:
    return placed.line["exercise"], placed.part


def courses_of(
    snapshot: Snapshot, base: WeekData, exercises: Mapping[int, plan.Exercise]
) -> Courses:
    """The courses of a usual week of a block; no query."""
    built = [week for week in snapshot["weeks"] if week["kind"] == _BUILD and week["sessions"]]
    before = [week for week in built if week["starts_on"] < base["starts_on"]][-1:]
    twins = [twins_in(base, week) for week in (base, *before)]
    key_of: dict[str, str] = {}
    newest: dict[str, Placed] = {}
    for group in _groups(base):
        for course in _split(group, twins, exercises):
            key = _key(course[0], is_first=course[0] is group[0])
            key_of |= {line["uid"]: key for _part, line in course}
            newest[key] = course[-1]
    for week in snapshot["weeks"]:
        for uid, twin in twins_in(base, week).items():
            key_of.setdefault(twin["uid"], key_of[uid])
    return Courses(key_of, newest)


def _groups(base: WeekData) -> Iterator[list[Placed]]:
    """The lines of one exercise, part and number of sets, in the order of the days."""
    found: dict[tuple[int, str, int], list[Placed]] = defaultdict(list)
    for session in sorted(base["sessions"], key=lambda one: one["on"]):
        for pair, line in lines_in(session):
            place = (line["exercise"], pair["part"], len(line["targets"]))
            found[place].append(Placed(pair["part"], line))
    yield from found.values()


def _split(
    group: Sequence[Placed],
    twins: Sequence[Mapping[str, Line]],
    exercises: Mapping[int, plan.Exercise],
) -> list[list[Placed]]:
    """The lines of a group that are a step of the stair apart, in this week or the one before."""
    courses: list[list[Placed]] = []
    for placed in group:
        part, line = placed
        step = usual_range(plan.Part(part), exercises[line["exercise"]].measure).step

        def is_next(course: list[Placed], uid: str = line["uid"], step: int = step) -> bool:
            pairs = ((week.get(one["uid"]), week.get(uid)) for _, one in course for week in twins)
            return any(a and b and is_near(asks(a), asks(b), step) for a, b in pairs)

        own = next(filter(is_next, courses), None)
        if own is None:
            courses.append([placed])
        else:
            own.append(placed)
    return courses


def is_near(one: _Asks, other: _Asks, step: int) -> bool:
    """Whether two ask for the same load, and no set for more than a step of the other."""
    apart = (abs(a - b) for a, b in zip(one[0], other[0], strict=False))
    return one[1] == other[1] and len(one[0]) == len(other[0]) and max(apart, default=0) <= step


def twins_in(base: WeekData, week: WeekData) -> dict[str, Line]:
    """What stands in the place of each line of the usual week in another one, by uid."""
    found: dict[str, Line] = {}
    there = same_sessions(base, week)
    for session in base["sessions"]:
        other = there.get(session["uid"])
        twins = places_in(other) if other is not None else {}
        for place, (_pair, line) in places_in(session).items():
            if place in twins:
                found[line["uid"]] = twins[place][1]
    return found


def asks(line: Line) -> _Asks:
    """What a line asks for."""
    return tuple(line["targets"]), line["load_kg"]


def _key(placed: Placed, *, is_first: bool) -> str:
    """A word that names a course in a form; those after the first by their first line."""
    part, line = placed
    own = f"{line['exercise']}-{part}-{len(line['targets'])}"
    return own if is_first else f"{own}-{line['uid']}"
