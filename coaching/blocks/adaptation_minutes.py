"""A template's sessions made to end within a client's minutes, with every cut and its reason.

What is cut is decided in the longest week for the same session of every week, so that the
course of the weeks stays; light weeks keep their share of what is left.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from string import ascii_uppercase

from coaching.blocks.adaptation_values import ChangeKind, ClientMeans, LineChange
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    written_plan,
)
from coaching.blocks.template_values import session_value
from coaching.rules.plan import Exercise, Part, PlannedSession, WeekKind
from coaching.rules.session_clock import session_minutes
from coaching.rules.shorter_session import shorter_session

_Place = tuple[str, Part, tuple[str, ...], int]
"""A pair, the same one in every week: session, part, exercises, the how manieth of these."""


@dataclass
class _Cut:
    """What a pair keeps in every week: sets of each exercise before and after."""

    names: tuple[str, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    why: str

    @property
    def is_all(self) -> bool:
        """Whether the pair is left out."""
        return not any(self.after)


@dataclass
class _Shortening:
    """One client's block made shorter, session by session, the longest first."""

    library: Mapping[str, Exercise]
    means: ClientMeans
    cuts: dict[_Place, _Cut] = field(default_factory=dict)
    too_long: dict[str, str] = field(default_factory=dict)

    def look_at(self, session: TemplateSession) -> None:
        """Note what this session must lose; where another week lost more, that stays."""
        if self.means.minutes is None or not session.pairs:
            return
        value = self._value(session)
        found = shorter_session(value, self.means.minutes, kept=self.means.goals)
        why = f"{session.name} would take {found.minutes[0]} min of {self.means.minutes}"
        left = {pair.letter: pair for pair in found.session.pairs}
        for (place, pair), asked in zip(_placed(session), value.pairs, strict=True):
            sets = tuple(one.sets for one in asked.prescriptions)
            kept = left.get(pair.letter)
            after = tuple(one.sets for one in kept.prescriptions) if kept else (0,) * len(sets)
            if after != sets:
                names = tuple(one.exercise.name for one in asked.prescriptions)
                cut = self.cuts.setdefault(place, _Cut(names, sets, after, why))
                cut.after = tuple(map(min, cut.after, after))
        if not found.fits:
            rest = f"it still takes {found.minutes[1]} min, and primary work is not cut further"
            self.too_long.setdefault(session.name, rest)

    def shorter(self, session: TemplateSession, *, light: bool = False) -> TemplateSession:
        """The session without what is cut; a light one keeps its share of it."""
        pairs = [
            self._pair(pair, self.cuts.get(place), light=light) for place, pair in _placed(session)
        ]
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

    def minutes_of(self, session: TemplateSession) -> int:
        """How long a session would take as it is written [min]."""
        return round(session_minutes(self._value(session)).total)

    def _value(self, session: TemplateSession) -> PlannedSession:
        return session_value(session, self.library, _ANY_DAY)


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
    for session in sorted(_hard(plan), key=made.minutes_of, reverse=True):
        made.look_at(session)
    changes[:] = _told(made, changes)

    def shorter(sessions: Iterable[TemplateSession], *, light: bool) -> tuple[TemplateSession, ...]:
        found = (_lettered(made.shorter(one, light=light)) for one in sessions)
        return tuple(one for one in found if one.pairs)

    if not plan.written:
        return replace(plan, sessions=shorter(plan.sessions, light=False))
    weeks = [
        replace(week, sessions=shorter(week.sessions, light=kind is WeekKind.DELOAD))
        for kind, week in zip(plan.week_kinds, plan.written, strict=True)
    ]
    return written_plan(plan.week_kinds, weeks)


def _hard(plan: TemplatePlan) -> list[TemplateSession]:
    """The sessions that are looked at: those of all weeks that are not light."""
    weeks = zip(plan.week_kinds, plan.written, strict=False)
    hard = [one for kind, week in weeks if kind is not WeekKind.DELOAD for one in week.sessions]
    return hard or list(plan.sessions)


def _told(made: _Shortening, changes: Sequence[LineChange]) -> Iterator[LineChange]:
    """What was changed before, without what is left out after all, and every cut.

    What is left out is named as the template has it, and its swap is not told.
    """
    gone = {
        (session, name)
        for (session, *_), cut in made.cuts.items()
        if cut.is_all
        for name in cut.names
    }
    asked = {(one.session, one.given): one.asked for one in changes}
    yield from (one for one in changes if (one.session, one.given) not in gone)
    for (session, *_), cut in sorted(made.cuts.items(), key=lambda item: item[0][0]):
        if not cut.is_all:
            names = " and ".join(cut.names)
            what = f"{names} with {max(cut.after)} sets instead of {max(cut.before)}"
            kind = ChangeKind.SHORTER
        else:
            names = " and ".join(asked.get((session, name), name) for name in cut.names)
            what, kind = f"{names} left out", ChangeKind.LEFT_OUT
        yield LineChange(session, "", names, names, cut.why, what, kind)
    for session, rest in made.too_long.items():
        what = f"{session} is too long"
        yield LineChange(session, "", "", "", rest, what, ChangeKind.SHORTER)


def _placed(session: TemplateSession) -> Iterator[tuple[_Place, TemplatePair]]:
    seen: Counter[tuple[Part, tuple[str, ...]]] = Counter()
    for pair in session.pairs:
        what = (pair.part, tuple(line.exercise_key for line in pair.lines))
        yield (session.name, *what, seen[what]), pair
        seen[what] += 1


def _lettered(session: TemplateSession) -> TemplateSession:
    """The pairs that are left, lettered anew where one is gone."""
    lettered = zip(ascii_uppercase, session.pairs, strict=False)
    return replace(session, pairs=tuple(replace(pair, letter=x) for x, pair in lettered))


_ANY_DAY = date.min
"""How long a session takes does not depend on its day."""
