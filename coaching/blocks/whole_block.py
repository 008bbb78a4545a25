"""A block's plan on which acts are tried: what comes out, in figures, is what the act would do."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.editing.acts import apply_act, exercises_needed
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.errors import BlockError
from coaching.blocks.kept import Kept
from coaching.blocks.limit_guard import brings_avoided
from coaching.blocks.plan_figures import KEPT_TRIED, Contents, SessionFigures, WeekFigures
from coaching.blocks.shelf import Shelf
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData, week_as_value
from coaching.rules.plan import Exercise, PlannedWeek

Act = Mapping[str, str]
_BY_WEEK = frozenset({"shorten-session"})
"""What such an act does to a session follows from the others of its week too."""
_tried: Kept[tuple[SessionFigures | None]] = Kept(KEPT_TRIED)
"""Sessions after an act, by what they were: most are tried again after the next edit."""
_sessions: Kept[SessionFigures] = Kept(KEPT_TRIED)
_weeks: Kept[WeekFigures] = Kept(KEPT_TRIED)
"""By content, apart from those of the plans that stand: these come and go with every act."""


@dataclass(frozen=True)
class WholeBlock:
    """A block's weeks and the plan they come from; known by its weeks and its client."""

    weeks: tuple[WeekFigures, ...]
    facts: ClientFacts
    plan: Snapshot = field(compare=False)
    exercises: Mapping[int, Exercise] = field(compare=False)
    is_seen: bool = True
    shelf: Shelf | None = None
    """What may be put in; another one where library or equipment were read anew."""

    def after(self, act: Act) -> tuple[WeekFigures, ...] | None:
        """The weeks after an act; none where it is refused."""
        setting = self._setting(act)
        plan = self._done(self.plan, act, setting)
        if plan is None:
            return None
        return tuple(
            self._week(number, data, setting) for number, data in enumerate(plan["weeks"], 1)
        )

    def session_after(self, was: SessionFigures, act: Act) -> SessionFigures | None:
        """One session after an act that changes it alone; none where it is refused."""
        facts, setting = self.facts, self._setting(act)
        brought = tuple(
            (setting.exercises.get(row), setting.loads.get(row), setting.tempos.get(row))
            for row in sorted(exercises_needed(act))
        )
        known: Hashable = (
            *(was, frozenset(act.items()), brought, facts.today, facts.begun, facts.locked),
            *(facts.joints, self.is_seen, facts.level),
            self._sessions[was.session.key][3] if act["act"] in _BY_WEEK else None,
        )
        return _tried.of(known, lambda: (self._session_after(was, act, setting),))[0]

    def _session_after(
        self, was: SessionFigures, act: Act, setting: EditSetting
    ) -> SessionFigures | None:
        week, data, *_ = self._sessions[was.session.key]
        tried: WeekData = week if act["act"] in _BY_WEEK else {**week, "sessions": [data]}
        plan = self._done({"weeks": [tried]}, act, setting)
        if plan is None:
            return None
        (after,) = plan["weeks"]
        (one,) = (each for each in after["sessions"] if each["uid"] == data["uid"])
        return self._figures(one, after, setting)

    def _done(self, plan: Snapshot, act: Act, setting: EditSetting) -> Snapshot | None:
        try:
            done = apply_act(plan, act, setting)
        except BlockError:
            return None
        brought = exercises_needed(act)
        if brings_avoided(self.facts.joints, plan, done, brought, setting.exercises):
            return None
        return done.snapshot

    def _setting(self, act: Act) -> EditSetting:
        """What an act may know, as the act itself is given it."""
        facts, rows = self.facts, exercises_needed(act)
        given = self.shelf.by_row if self.shelf and rows else {}
        brought = {row: given[row] for row in rows if row in given}
        return EditSetting(
            facts.today,
            facts.begun,
            exercises={**self.exercises, **{row: one.value for row, one in brought.items()}},
            loads={row: self.shelf.loads_of(one) for row, one in brought.items() if self.shelf},
            tempos={row: one.tempo for row, one in brought.items()},
            is_seen=self.is_seen,
            level=facts.level,
        )

    def _week(self, number: int, data: WeekData, setting: EditSetting) -> WeekFigures:
        """The figures of a tried week; what did not change is taken over as it is."""
        if number <= len(self.weeks) and self.plan["weeks"][number - 1] is data:
            return self.weeks[number - 1]
        sessions = tuple(self._figures(one, data, setting) for one in data["sessions"])

        def make() -> WeekFigures:
            empty = week_as_value({**data, "sessions": []}, number, setting.exercises)
            values = tuple(one.session for one in sessions)
            week = PlannedWeek(empty.number, empty.kind, empty.starts_on, values)
            return WeekFigures(week, sessions)

        return _weeks.of((number, data["starts_on"], data["kind"], sessions), make)

    def _figures(self, data: SessionData, week: WeekData, setting: EditSetting) -> SessionFigures:
        was = self._sessions.get(data["uid"])
        if was and was[1] is data:
            return was[2]

        def make() -> SessionFigures:
            (value,) = week_as_value({**week, "sessions": [data]}, 1, setting.exercises).sessions
            return SessionFigures(value)

        return _sessions.of(self._contents(setting).of(data), make)

    def _contents(self, setting: EditSetting) -> Contents:
        is_known = setting.exercises.keys() <= self.exercises.keys()
        return self._known if is_known else Contents(setting.exercises)

    @cached_property
    def _known(self) -> Contents:
        return Contents(self.exercises)

    @cached_property
    def _sessions(self) -> dict[str, tuple[WeekData, SessionData, SessionFigures, WeekFigures]]:
        return {
            data["uid"]: (week, data, figures, weeks)
            for week, weeks in zip(self.plan["weeks"], self.weeks, strict=True)
            for data, figures in zip(week["sessions"], weeks.sessions, strict=True)
        }
