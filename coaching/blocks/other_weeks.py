"""A remedy put to the whole block before it is offered: what it does to every other week.

A remedy is looked for in the week that is shown, and goes on from there into the later ones.
Here its act is done to the plan, and each week is judged that comes out otherwise. Where one
that gains nothing would have more to look at, the act is asked for in its own week alone; what
it leaves behind that is less pressing stands on its button.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coaching.blocks.block_findings import (
    ClientFacts,
    Place,
    WeekScene,
    scene_of,
)
from coaching.blocks.editing.acts import apply_act, exercises_needed
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_guard import brings_avoided
from coaching.blocks.plan_figures import SessionFigures, WeekFigures
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData, week_as_value
from coaching.blocks.week_sizes import anywhere, counts_alike, lean_of, mine, spaced, week_sizes
from coaching.blocks.words import listed, weeks_named
from coaching.rules.findings import FindingKind
from coaching.rules.plan import Exercise, PlannedWeek, WeekKind
from coaching.rules.session_clock import fits

_PRESSING = list(FindingKind)
_NO_HARM = frozenset({FindingKind.MUSCLE_VOLUME, FindingKind.VOLUME_COURSE})
"""Where time lacks, a muscle may be left short of sets: that is told, and harms nobody."""
_LEAST = 1e-6
_NAMED = 3
_STAY = frozenset({"lighten-week", "remove-week", "replace-exercise"})
"""Acts that know no reach; all others go on into later weeks, or stay in their own."""
Brought = Mapping[int, Exercise]
"""Exercises that may be put in, by row."""


def is_spared(own: FindingKind, place: Place, was: Mapping[Place, float]) -> bool:
    """Whether a finding that a remedy brings, or makes larger, may stand beside it."""
    if place.kind is FindingKind.LOAD_TO_CHOOSE:
        # What is put in has its load chosen next.
        return True
    if place not in was:
        return place.kind in _NO_HARM and own not in _NO_HARM
    return _PRESSING.index(place.kind) > _PRESSING.index(own)


def grown(was: Mapping[Place, float], now: Mapping[Place, float]) -> Iterator[Place]:
    """What is found now and was not before, or is further off than it was."""
    for place, size in now.items():
        if place not in was or size > was[place] + _LEAST:
            yield place


def worse_at_once(
    was: SessionFigures, now: SessionFigures, minutes: int, kind: WeekKind
) -> Place | None:
    """What minutes and balance of a session alone forbid: they are the quickest to see."""
    if not fits(now.minutes, minutes) and now.minutes.total > was.minutes.total:
        return Place(FindingKind.SESSION_MINUTES, "", "", "", was.session.name)
    if kind is not WeekKind.DELOAD and lean_of(now) > lean_of(was):
        return Place(FindingKind.SESSION_ORDER, "", "", "", was.session.name)
    return None


_Both = tuple[WeekScene, WeekScene]
"""A week as it was and as it would be."""


@dataclass(frozen=True, slots=True)
class WholeBlock:
    """A block's weeks and the plan they come from; known by its weeks and its client."""

    weeks: tuple[WeekFigures, ...]
    facts: ClientFacts
    plan: Snapshot = field(compare=False)
    exercises: Mapping[int, Exercise] = field(compare=False)
    is_seen: bool = True

    def offered(
        self, own: PlacedFinding, remedy: Remedy, number: int, brought: Brought
    ) -> Remedy | None:
        """A remedy of one week as it may be offered: onward, in that week only, or not at all."""
        act = remedy.act
        is_last = act["act"] in _STAY or act["reach"] == "week"
        cost = self._cost(own, act, number, brought, is_strict=not is_last)
        if cost is not None:
            return Remedy(f"{remedy.words}{cost}", act)
        if is_last:
            return None
        here = {**act, "reach": "week"}
        cost = self._cost(own, here, number, brought, is_strict=False)
        return None if cost is None else Remedy(f"{remedy.words}, this week only{cost}", here)

    def _cost(
        self,
        own: PlacedFinding,
        act: Mapping[str, str],
        number: int,
        brought: Brought,
        *,
        is_strict: bool,
    ) -> str | None:
        """What an act costs other weeks, in words; none where it must not be offered.

        If it is strict, a week that it changes and that gains nothing pays nothing.
        """
        after = self._after(act, brought)
        if after is None:
            return None
        changed = list(self._changed(after))
        own_week = [one for one in changed if len(after) == len(self.weeks) and _at(one) == number]
        others = [one for one in changed if one not in own_week]
        if any(_at_once(*one) for one in others):
            return None
        places = mine(own)
        weeks = []
        for one in others:
            week = _Judged(own, places, *one)
            if week.is_forbidden(is_strict=is_strict):
                return None
            weeks.append(week)
        if not any(week.named for week in weeks):
            return ""
        # What its own week pays is known there, and a week that gains as well pays alike.
        known = {name for one in own_week for name in _Judged(own, places, *one).named}
        return _price(
            [(one.number, one.named - (known if one.is_gaining else set())) for one in weeks]
        )

    def _changed(self, after: Sequence[WeekFigures]) -> Iterator[_Both]:
        """The weeks that come out otherwise and are not over, as they were and as they would be."""
        was = self.weeks
        if len(after) != len(was):
            left = {_sessions_of(one) for one in after}
            was = tuple(one for one in was if _sessions_of(one) in left)
        for old, new in zip(was, after, strict=False):
            if not self.facts.is_over(new):
                before = scene_of(self.weeks, old, self.facts)
                now = scene_of(after, new, self.facts)
                if before != now:
                    yield before, now

    def _after(self, act: Mapping[str, str], brought: Brought) -> tuple[WeekFigures, ...] | None:
        """The weeks after an act; none where it is refused."""
        facts, needed = self.facts, exercises_needed(act)
        known = {**self.exercises, **{row: brought[row] for row in needed if row in brought}}
        setting = EditSetting(facts.today, facts.begun, exercises=known, is_seen=self.is_seen)
        try:
            done = apply_act(self.plan, act, setting)
        except BlockError:
            return None
        if brings_avoided(facts.joints, self.plan, done, needed, known):
            return None
        plan = done.snapshot
        was = self._sessions()
        return tuple(
            self._week(number, data, known, was) for number, data in enumerate(plan["weeks"], 1)
        )

    def _week(
        self, number: int, data: WeekData, known: Mapping[int, Exercise], was: "_Sessions"
    ) -> WeekFigures:
        """The figures of a tried week; what did not change is taken over as it is."""
        if number <= len(self.weeks) and self.plan["weeks"][number - 1] is data:
            return self.weeks[number - 1]
        sessions = tuple(
            was[one["uid"]][1]
            if one["uid"] in was and was[one["uid"]][0] is one
            else _figures(one, data, known)
            for one in data["sessions"]
        )
        empty = week_as_value({**data, "sessions": []}, number, known)
        values = tuple(one.session for one in sessions)
        week = PlannedWeek(empty.number, empty.kind, empty.starts_on, values)
        return WeekFigures(week, sessions)

    def _sessions(self) -> "_Sessions":
        return {
            data["uid"]: (data, figures)
            for week, weeks in zip(self.plan["weeks"], self.weeks, strict=True)
            for data, figures in zip(week["sessions"], weeks.sessions, strict=True)
        }


_Sessions = dict[str, tuple[SessionData, SessionFigures]]
"""The data and the figures of each session, by uid."""


class _Judged:
    """One week as it was and as it would be; ``places`` is what the remedy is to settle."""

    def __init__(
        self, own: PlacedFinding, places: Collection[Place], before: WeekScene, now: WeekScene
    ) -> None:
        self.number = now.week.week.number
        self._kind = own.finding.kind
        touched = _touched(before.week, now.week)
        self.is_touched = bool(touched)
        counts = _counts_other(before, now)
        self._was, then = (week_sizes(one, touched, counts=counts) for one in (before, now))
        if _is_nearer(before, now):
            self._was, then = self._was | spaced(before), then | spaced(now)
        self._worse = list(grown(self._was, then))
        self.named = {name for one in self._worse if (name := _called(one))}
        kinds = {one.kind for one in places}
        here = [one for one in self._was if one.kind in kinds and anywhere(one) in places]
        self.is_gaining = sum(self._was[one] - then.get(one, 0.0) for one in here) > _LEAST

    def is_forbidden(self, *, is_strict: bool) -> bool:
        """Whether a remedy must not do this to a week."""
        if is_strict and self.is_touched and self.named and not self.is_gaining:
            return True
        return not all(is_spared(self._kind, one, self._was) for one in self._worse)


def _touched(before: WeekFigures, now: WeekFigures) -> set[str]:
    same = {id(one) for one in before.sessions}.intersection(id(one) for one in now.sessions)
    both = (*before.sessions, *now.sessions)
    return {one.session.key for one in both if id(one) not in same}


def _counts_other(before: WeekScene, now: WeekScene) -> bool:
    """Whether sets or work of a week differ, or what they are judged by."""
    if before.kinds != now.kinds:
        return True
    for was, then in ((before.week, now.week), (before.usual, now.usual)):
        if was is not then and not (was and then and _weeks_alike(was, then)):
            return True
    return False


def _weeks_alike(was: WeekFigures, then: WeekFigures) -> bool:
    return len(was.sessions) == len(then.sessions) and all(
        one is other or counts_alike(one, other)
        for one, other in zip(was.sessions, then.sessions, strict=True)
    )


def _is_nearer(before: WeekScene, now: WeekScene) -> bool:
    """Whether a session of a week or the one after stands elsewhere, or loads a muscle more."""
    for was, then in ((before.week, now.week), (before.following, now.following)):
        if was is then or was is None or then is None:
            continue
        loads = {id(one): one for one in was.loads}
        known = {one.session.key: one for one in was.loads}
        for one in then.loads:
            if id(one) in loads:
                continue
            old = known.get(one.session.key)
            if old is None or one.session.on != old.session.on:
                return True
            if any(sets > old.sets.get(muscle, 0.0) for muscle, sets in one.sets.items()):
                return True
    return False


def _at_once(before: WeekScene, now: WeekScene) -> bool:
    """Whether a session is worse at once, or goes that has exercises in it."""
    after = {one.session.key: one for one in now.week.sessions}
    minutes, kind = now.facts.minutes, now.week.week.kind
    for was in before.week.sessions:
        then = after.get(was.session.key)
        if then is None and was.session.pairs:
            return True
        if then is not None and then is not was and worse_at_once(was, then, minutes, kind):
            return True
    return False


_CALLED = {
    FindingKind.SESSION_MINUTES: "the minutes",
    FindingKind.SESSION_ORDER: "the order of exercises",
    FindingKind.SPACING: "the days between sessions",
    FindingKind.VOLUME_COURSE: "the rise or fall of volume",
}


def _called(place: Place) -> str:
    """What is told of a finding on a button: its muscle, else its kind."""
    if place.kind is FindingKind.LOAD_TO_CHOOSE:
        return ""
    if place.kind is FindingKind.MUSCLE_VOLUME:
        return place.words.rpartition(" ")[0].casefold()
    return _CALLED.get(place.kind, f"the {place.kind.value}")


def _price(weeks: Iterable[tuple[int, Collection[str]]]) -> str:
    """Then look at biceps and lats in weeks 3 and 4."""
    at: dict[str, list[int]] = {}
    for number, names in weeks:
        for name in names:
            at.setdefault(name, []).append(number)
    by_weeks: dict[tuple[int, ...], list[str]] = {}
    for name, numbers in at.items():
        by_weeks.setdefault(tuple(numbers), []).append(name)
    told = [f"{listed(_few(names))} in {weeks_named(on)}" for on, names in by_weeks.items()]
    return f"; then look at {', '.join(told)}" if told else ""


def _few(names: Sequence[str]) -> list[str]:
    more = [f"{len(names) - _NAMED} more"] if len(names) > _NAMED else []
    return [*sorted(names)[:_NAMED], *more]


def _at(both: _Both) -> int:
    return both[1].week.week.number


def _sessions_of(week: WeekFigures) -> tuple[str, ...]:
    return tuple(one.session.key for one in week.sessions)


def _figures(data: SessionData, week: WeekData, known: Mapping[int, Exercise]) -> SessionFigures:
    (value,) = week_as_value({**week, "sessions": [data]}, 1, known).sessions
    return SessionFigures(value)
