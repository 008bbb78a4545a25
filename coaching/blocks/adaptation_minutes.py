"""A template's sessions made to end within a client's minutes, with every cut and its reason.

Each week is cut as far as it needs it and no further, in the same order in all of them, so that
the course of the weeks stays; a light week keeps its share of the usual week before it.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from string import ascii_uppercase
from typing import NamedTuple

from coaching.blocks.adaptation_values import (
    ChangeKind,
    ClientMeans,
    Concern,
    LineChange,
    weeks_in_words,
)
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    written_plan,
)
from coaching.blocks.template_values import session_value
from coaching.rules.plan import Exercise, Part, WeekKind
from coaching.rules.shorter_session import shorter_session

_Place = tuple[str, Part, tuple[str, ...], int, int]
"""A pair, the same one in every week: session, part, exercises, the how manieth of these, and
the how manieth session of that name: a morning and an evening may be called alike."""


class _What(NamedTuple):
    """An exercise as a change names it: in which session and part of it."""

    session: str
    part: Part | None
    name: str


@dataclass(frozen=True)
class _Cut:
    """What a pair keeps in one week: sets of each exercise before and after; how long it took."""

    names: tuple[str, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    minutes: int

    @property
    def is_all(self) -> bool:
        """Whether the pair is left out."""
        return not any(self.after)


_Cuts = dict[_Place, _Cut]


@dataclass
class _Shortening:
    """One client's block made shorter, week by week; weeks count from 1."""

    library: Mapping[str, Exercise]
    means: ClientMeans
    stands: dict[_Place, set[int]] = field(default_factory=lambda: defaultdict(set))
    holds: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    parts: dict[tuple[str, str], Part] = field(default_factory=dict)
    """Of which part the pairs of a session are, by its name and their letter."""
    cuts: dict[int, _Cuts] = field(default_factory=lambda: defaultdict(dict))
    too_long: dict[str, dict[int, int]] = field(default_factory=lambda: defaultdict(dict))

    def look_at(self, number: int, sessions: Sequence[TemplateSession]) -> None:
        """Note what the sessions of a week must lose; what one loses the others are to keep."""
        left = list(sessions)
        for at, (session, nth) in enumerate(_named(sessions)):
            beside = [*left[:at], *left[at + 1 :]]
            self._look_at(number, session, nth, self._exercises(beside))
            left[at] = self.shorter(session, nth, self.cuts[number])

    def _exercises(self, sessions: Iterable[TemplateSession]) -> list[Exercise]:
        """What those sessions train, apart from warming up and prehab."""
        return [
            self.library[line.exercise_key]
            for session in sessions
            for pair in session.pairs
            for line in pair.lines
            if pair.part not in (Part.WARM_UP, Part.PREHAB)
        ]

    def _look_at(
        self, number: int, session: TemplateSession, nth: int, beside: Iterable[Exercise]
    ) -> None:
        if self.means.minutes is None or not session.pairs:
            return
        value = session_value(session, self.library, _ANY_DAY)
        found = shorter_session(
            value,
            self.means.minutes,
            kept=self.means.goals,
            elsewhere=beside,
            whatever_it_costs=True,
        )
        left = {pair.letter: pair for pair in found.session.pairs}
        self.holds[session.name].add(number)
        for (place, pair), asked in zip(_placed(session, nth), value.pairs, strict=True):
            self.stands[place].add(number)
            self.parts.setdefault((session.name, pair.letter), pair.part)
            sets = tuple(one.sets for one in asked.prescriptions)
            kept = left.get(pair.letter)
            after = tuple(one.sets for one in kept.prescriptions) if kept else (0,) * len(sets)
            if after != sets:
                names = tuple(one.exercise.name for one in asked.prescriptions)
                self.cuts[number][place] = _Cut(names, sets, after, found.minutes[0])
        if not found.fits:
            self.too_long[session.name][number] = found.minutes[1]

    def what(self, change: LineChange) -> _What:
        """What a change is of; of which part follows from its letter."""
        part = self.parts.get((change.session, change.letter))
        return _What(change.session, part, change.given)

    def shorter(
        self, session: TemplateSession, nth: int, cuts: _Cuts, *, light: bool = False
    ) -> TemplateSession:
        """The session without what is cut; a light one keeps its share of it."""
        placed = _placed(session, nth)
        pairs = [self._pair(pair, cuts.get(place), light=light) for place, pair in placed]
        return replace(session, pairs=tuple(pair for pair in pairs if pair.lines))

    @staticmethod
    def _pair(pair: TemplatePair, cut: _Cut | None, *, light: bool) -> TemplatePair:
        if cut is None:
            return pair
        if cut.is_all:
            return replace(pair, lines=())

        def line(one: TemplateLine, before: int, after: int) -> TemplateLine:
            kept = max(1, round(len(one.targets) * after / before)) if light else after
            return replace(one, targets=one.targets[:kept])

        return replace(pair, lines=tuple(map(line, pair.lines, cut.before, cut.after)))


def plan_on_time(
    plan: TemplatePlan,
    library: Mapping[str, Exercise],
    means: ClientMeans,
    changes: list[LineChange],
) -> TemplatePlan:
    """The plan with sessions that end within the client's minutes, as far as the rule lets them.

    Every change is added to ``changes``.
    """
    if means.minutes is None:
        return plan
    made = _Shortening(library, means)
    hard = _hard_weeks(plan)
    for number, sessions in hard.items():
        made.look_at(number, sessions)
    changes[:] = _told(made, changes)

    def shorter(
        sessions: Iterable[TemplateSession], number: int, *, light: bool
    ) -> tuple[TemplateSession, ...]:
        cuts = made.cuts.get(number, {})
        named = _named(sessions)
        found = (_lettered(made.shorter(one, nth, cuts, light=light)) for one, nth in named)
        return tuple(one for one in found if one.pairs)

    if not plan.written:
        return replace(plan, sessions=shorter(plan.sessions, 1, light=False))
    weeks = [
        replace(
            week, sessions=shorter(week.sessions, _usual(number, hard), light=number not in hard)
        )
        for number, week in enumerate(plan.written, start=1)
    ]
    return written_plan(plan.week_kinds, weeks)


_Weeks = Mapping[int, tuple[TemplateSession, ...]]


def _hard_weeks(plan: TemplatePlan) -> _Weeks:
    """The weeks that are looked at by their number: all that are not light."""
    weeks = enumerate(zip(plan.week_kinds, plan.written, strict=False), start=1)
    hard = {n: week.sessions for n, (kind, week) in weeks if kind is not WeekKind.DELOAD}
    if hard:
        return hard
    return {number: week.sessions for number, week in enumerate(plan.written, 1)} or {
        1: plan.sessions
    }


def _usual(number: int, hard: Iterable[int]) -> int:
    """The week whose cuts a week takes: its own, else of the last hard one before it, or the first."""
    return max((one for one in hard if one <= number), default=min(hard))


def _told(made: _Shortening, changes: Sequence[LineChange]) -> Iterator[LineChange]:
    """What was changed before, without what is left out of all weeks, and every cut.

    What is left out of all is named as the template has it, and its swap is not told.
    """
    places: dict[_Place, dict[int, _Cut]] = defaultdict(dict)
    for number, cuts in made.cuts.items():
        for at, cut in cuts.items():
            places[at][number] = cut
    gone = _gone(made, places)
    asked = {made.what(one): one.asked for one in changes if not one.what}
    yield from (one for one in changes if made.what(one) not in gone)
    order = list(made.stands)
    for place, lost in sorted(places.items(), key=lambda item: order.index(item[0])):
        for is_all in (True, False):
            alike = {n: cut for n, cut in lost.items() if cut.is_all is is_all}
            if alike:
                yield _told_cut(made, place, alike, asked if is_all else {}, gone)
    for session, minutes in made.too_long.items():
        rest = f"it still takes {_span(minutes.values())} min, and primary work is not cut further"
        where = _where(minutes, made.holds[session])
        what = f"{session} is too long{where}"
        yield LineChange(session, "", "", "", rest, what, ChangeKind.SHORTER, "", Concern.TIME)


def _gone(made: _Shortening, places: Mapping[_Place, Mapping[int, _Cut]]) -> set[_What]:
    """What is left out of all weeks wherever it stands in a part of a session."""
    lost = {
        place
        for place, cuts in places.items()
        if set(cuts) == made.stands[place] and all(cut.is_all for cut in cuts.values())
    }

    def whats(places: Iterable[_Place]) -> set[_What]:
        return {
            _What(place[0], place[1], made.library[key].name)
            for place in places
            for key in place[2]
        }

    return whats(lost) - whats(made.stands.keys() - lost)


def _told_cut(
    made: _Shortening,
    place: _Place,
    cuts: Mapping[int, _Cut],
    asked: Mapping[_What, str],
    gone: Collection[_What],
) -> LineChange:
    """What a pair loses in the weeks that are alike: left out, or sets."""
    session, first = place[0], next(iter(cuts.values()))
    where = _where(cuts, made.stands[place])
    whats = {name: _What(session, place[1], name) for name in first.names}
    called = [asked.get(at, name) if at in gone else name for name, at in whats.items()]
    names = " and ".join(called)
    if first.is_all:
        what, kind = f"{names} left out{where}", ChangeKind.LEFT_OUT
    else:
        after = _span(max(cut.after) for cut in cuts.values())
        before = _span(max(cut.before) for cut in cuts.values())
        what, kind = f"{names} with {after} sets instead of {before}{where}", ChangeKind.SHORTER
    minutes = _span(cut.minutes for cut in cuts.values())
    why = f"{session} would take {minutes} min of {made.means.minutes}"
    return LineChange(session, "", names, names, why, what, kind)


def _where(weeks: Collection[int], stands: Collection[int]) -> str:
    """In which weeks, where it is not all that could be."""
    return "" if set(weeks) == set(stands) else f" in {weeks_in_words(list(weeks))}"


def _span(numbers: Iterable[int]) -> str:
    """One number, or from the least to the most: 71 to 75."""
    found = sorted(numbers)
    return f"{found[0]}" if found[0] == found[-1] else f"{found[0]} to {found[-1]}"


def _named(sessions: Iterable[TemplateSession]) -> Iterator[tuple[TemplateSession, int]]:
    """Each session of a week, and the how manieth of its name it is."""
    seen: Counter[str] = Counter()
    for session in sessions:
        yield session, seen[session.name]
        seen[session.name] += 1


def _placed(session: TemplateSession, nth: int) -> Iterator[tuple[_Place, TemplatePair]]:
    seen: Counter[tuple[Part, tuple[str, ...]]] = Counter()
    for pair in session.pairs:
        what = (pair.part, tuple(line.exercise_key for line in pair.lines))
        yield (session.name, *what, seen[what], nth), pair
        seen[what] += 1


def _lettered(session: TemplateSession) -> TemplateSession:
    """The pairs that are left, lettered anew where one is gone."""
    lettered = zip(ascii_uppercase, session.pairs, strict=False)
    return replace(session, pairs=tuple(replace(pair, letter=x) for x, pair in lettered))


_ANY_DAY = date.min
"""How long a session takes does not depend on its day."""
