"""The shared templates of blocks, read from the TOML files in ``templates/``.

A shared template is a week of sessions and the kinds of the weeks that repeat it. The deload
week is only marked: what its light version holds is computed when a block is made. A coach's
own one may hold every week as it is written instead.
Loads are left at 0 where they can only be found with the client.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import TypeVar

from coaching.library.toml_fields import CatalogueError, Entry, read_file
from coaching.rules.plan import EquipmentKind, Level, Muscle, Part, WeekKind

TEMPLATES = Path(__file__).parent / "templates"

_MOST_SETS = 12
_HIGHEST_TARGET = 300
_MOST_LOAD_KG = 500
_MOST_LOAD_SHARE = 10
_LAST_WEEKDAY = 6
_LAST_SPELL_DAY = 9
"""A light spell lasts ten days at the most."""
_LAST_START = 80
"""The last day on which the last week of a block can begin."""
_Read = TypeVar("_Read")
_LINE_FIELDS = frozenset({"exercise", "sets", "target", "targets", "load", "tempo", "rest", "rir"})
_KEPT_FIELDS = _LINE_FIELDS | {"load_share", "load_step"}


@dataclass(frozen=True)
class TemplateLine:
    """One exercise in a template: reps or seconds [s] a set, load [kg], rest [s], RIR.

    ``load_share`` is the part that this week takes of the load that is found for the exercise,
    ``load_step`` what it has more than that where load is added to the body or help taken off it
    [kg]; less help is a step below 0.
    """

    exercise_key: str
    targets: tuple[int, ...]
    load: float
    tempo: str
    rest: int
    rir: int | None
    load_share: float = 1.0
    load_step: float = 0.0


@dataclass(frozen=True)
class TemplatePair:
    """One exercise alone, or two in alternation, under one letter."""

    letter: str
    part: Part
    lines: tuple[TemplateLine, ...]


@dataclass(frozen=True)
class TemplateSession:
    """One session; ``day`` counts from the first day of the week, which is 0."""

    name: str
    day: int
    pairs: tuple[TemplatePair, ...]


@dataclass(frozen=True)
class WrittenWeek:
    """One week as it is written; it begins ``after`` so many days [d] of the block."""

    after: int
    sessions: tuple[TemplateSession, ...]


@dataclass(frozen=True)
class TemplatePlan:
    """The kinds of the weeks, and the sessions that each of them repeats.

    Where the weeks differ, ``written`` holds each of them and ``sessions`` is the usual one.
    """

    week_kinds: tuple[WeekKind, ...]
    sessions: tuple[TemplateSession, ...]
    written: tuple[WrittenWeek, ...] = ()

    @property
    def weeks(self) -> tuple[WrittenWeek, ...]:
        """Every week; without written ones the usual week again and again."""
        if self.written:
            return self.written
        return tuple(
            WrittenWeek(timedelta(weeks=number).days, self.sessions)
            for number in range(len(self.week_kinds))
        )

    @property
    def is_empty(self) -> bool:
        """Whether nothing is planned in any week."""
        return not any(week.sessions for week in self.weeks)


def written_plan(kinds: Sequence[WeekKind], weeks: Sequence[WrittenWeek]) -> TemplatePlan:
    """A plan of weeks that differ; its usual week is the first usual week with a session."""
    filled = [(kind, week) for kind, week in zip(kinds, weeks, strict=True) if week.sessions]
    build = [week for kind, week in filled if kind is WeekKind.BUILD]
    usual = next(iter(build or [week for _, week in filled]), None)
    return TemplatePlan(tuple(kinds), usual.sessions if usual else (), tuple(weeks))


@dataclass(frozen=True)
class SharedTemplate:
    """A block to copy from: for whom, with what, how long a session takes [min].

    ``grows`` names the muscles that the block brings into the range of weekly sets of its level.
    """

    key: str
    name: str
    level: Level
    description: str
    minutes: int
    equipment: tuple[EquipmentKind, ...]
    week_kinds: tuple[WeekKind, ...]
    sessions: tuple[TemplateSession, ...]
    grows: tuple[Muscle, ...] = ()


def lines_of(
    plan: TemplatePlan,
) -> Iterator[tuple[TemplateSession, TemplatePair, TemplateLine]]:
    """Every exercise of every week that is written, with its session and pair."""
    for sessions in [week.sessions for week in plan.written] or [plan.sessions]:
        for session in sessions:
            for pair in session.pairs:
                for line in pair.lines:
                    yield session, pair, line


def usual_of(plan: TemplatePlan) -> TemplatePlan:
    """The plan without the weeks that are not usual, where it has others."""
    weeks = zip(plan.week_kinds, plan.written, strict=False)
    built = [week for kind, week in weeks if kind is WeekKind.BUILD]
    return written_plan((WeekKind.BUILD,) * len(built), built) if built else plan


def each_line(
    plan: TemplatePlan,
    change: Callable[[TemplateSession, TemplatePair, TemplateLine], TemplateLine | None],
) -> TemplatePlan:
    """The plan with each line changed, in the order of the weeks; what is left with nothing goes."""
    written = tuple(
        replace(week, sessions=_changed(week.sessions, change)) for week in plan.written
    )
    if written:
        return written_plan(plan.week_kinds, written)
    return replace(plan, sessions=_changed(plan.sessions, change))


def _changed(
    sessions: Iterable[TemplateSession],
    change: Callable[[TemplateSession, TemplatePair, TemplateLine], TemplateLine | None],
) -> tuple[TemplateSession, ...]:
    def pair_of(session: TemplateSession, pair: TemplatePair) -> TemplatePair:
        lines = (change(session, pair, line) for line in pair.lines)
        return replace(pair, lines=tuple(line for line in lines if line))

    def session_of(session: TemplateSession) -> TemplateSession:
        pairs = (pair_of(session, pair) for pair in session.pairs)
        return replace(session, pairs=tuple(pair for pair in pairs if pair.lines))

    return tuple(one for one in map(session_of, sessions) if one.pairs)


def read_shared_templates(folder: Path = TEMPLATES) -> tuple[SharedTemplate, ...]:
    """All shared templates, one a file, in the order of the file names.

    Raises:
        CatalogueError: A file is damaged; the message names file, place, field and remedy.
    """
    paths = sorted(folder.glob("*.toml"))
    templates = []
    for path in paths:
        template = _template(read_file(path))
        if template.key != path.stem:
            message = f"{path.name}, field “key”: “{template.key}” is not the name of the file."
            raise CatalogueError(f"{message} Write “{path.stem}” or rename the file.")
        templates.append(template)
    return tuple(templates)


def as_plan(template: SharedTemplate | TemplatePlan) -> dict[str, object]:
    """The weeks and sessions of a template as plain values that JSON can keep.

    ``from_plan`` reads it back.
    """
    plain: dict[str, object] = {
        "weeks": [kind.value for kind in template.week_kinds],
        "sessions": _plain_sessions(template.sessions),
    }
    if isinstance(template, TemplatePlan) and template.written:
        plain["written"] = [
            {"after": week.after, "sessions": _plain_sessions(week.sessions)}
            for week in template.written
        ]
    return plain


def from_plan(plan: Mapping[str, object]) -> TemplatePlan:
    """Weeks and sessions from what ``as_plan`` wrote.

    Raises:
        CatalogueError: A field is missing or does not fit; the message names it and the remedy.
    """
    top = Entry("Plan", dict(plan))
    top.allow_only({"weeks", "sessions", "written"})
    kinds = _week_kinds(top)
    sessions = _in_order(top, "sessions", _kept_sessions(top), twice_a_day=True)
    written = _written(top) if top.has("written") else ()
    if written and len(written) != len(kinds):
        trouble = f"{len(written)} weeks are written and {len(kinds)} named"
        raise top.fault("written", trouble, "Write one for each.")
    return TemplatePlan(kinds, sessions, written)


def _kept_sessions(entry: Entry) -> tuple[TemplateSession, ...]:
    found = entry.entries("sessions", "session")
    return tuple(_session(one, "pairs", "lines", _LAST_SPELL_DAY) for one in found)


def _written(top: Entry) -> tuple[WrittenWeek, ...]:
    """Weeks one by one; one of them may be free of training."""
    found = []
    for entry in top.entries("written", "week"):
        entry.allow_only({"after", "sessions"})
        sessions = _kept_sessions(entry)
        checked = _in_order(entry, "sessions", sessions, twice_a_day=True) if sessions else ()
        found.append(WrittenWeek(entry.whole("after", 0, _LAST_START), checked))
    return tuple(found)


def _plain_sessions(sessions: Iterable[TemplateSession]) -> list[dict[str, object]]:
    return [
        {"name": one.name, "day": one.day, "pairs": [_plain_pair(pair) for pair in one.pairs]}
        for one in sessions
    ]


def _plain_pair(pair: TemplatePair) -> dict[str, object]:
    return {
        "letter": pair.letter,
        "part": pair.part.value,
        "lines": [_plain_line(line) for line in pair.lines],
    }


def _plain_line(line: TemplateLine) -> dict[str, object]:
    plain: dict[str, object] = {
        "exercise": line.exercise_key,
        "targets": list(line.targets),
        "load": line.load,
        "tempo": line.tempo,
        "rest": line.rest,
        "rir": line.rir,
    }
    course = {"load_share": (line.load_share, 1), "load_step": (line.load_step, 0)}
    return plain | {name: value for name, (value, usual) in course.items() if value != usual}


def _template(top: Entry) -> SharedTemplate:
    about = {"key", "name", "level", "description", "minutes", "equipment", "grows"}
    top.allow_only(about | {"weeks", "session"})
    sessions = tuple(
        _session(entry, "pair", "exercise") for entry in top.entries("session", "session")
    )
    return SharedTemplate(
        key=top.text("key"),
        name=top.text("name"),
        level=top.word("level", Level),
        description=top.text("description"),
        minutes=top.whole("minutes", 20, 90),
        equipment=top.words("equipment", EquipmentKind),
        week_kinds=_week_kinds(top),
        sessions=_in_order(top, "session", sessions),
        grows=top.words("grows", Muscle),
    )


def _week_kinds(top: Entry) -> tuple[WeekKind, ...]:
    names = top.texts("weeks")
    kinds = tuple(
        Entry(f"{top.place}, week {number}", {"weeks": name}).word("weeks", WeekKind)
        for number, name in enumerate(names, start=1)
    )
    if not 1 <= len(kinds) <= 8:
        raise top.fault("weeks", f"{len(kinds)} weeks are no block", "Write one to eight.")
    return kinds


def _in_order(
    top: Entry, field: str, sessions: tuple[TemplateSession, ...], *, twice_a_day: bool = False
) -> tuple[TemplateSession, ...]:
    """The sessions as they follow one another; a coach's own day may hold a second one."""
    days = [session.day for session in sessions]
    if not sessions:
        raise top.fault(field, "there is none", "Add a session.")
    if days != sorted(days if twice_a_day else set(days)):
        raise top.fault(field, f"days {days} do not rise", "Put each session on a later day.")
    return sessions


def _session(entry: Entry, pairs: str, lines: str, last: int = _LAST_WEEKDAY) -> TemplateSession:
    entry.allow_only({"name", "day", pairs})
    return TemplateSession(
        name=entry.text("name"),
        day=entry.whole("day", 0, last),
        pairs=_each(entry, pairs, "pair", lambda pair: _pair(pair, lines)),
    )


def _pair(entry: Entry, lines: str) -> TemplatePair:
    entry.allow_only({"letter", "part", lines})
    found = _each(entry, lines, "exercise", _line)
    if len(found) > 2:
        raise entry.fault(lines, f"{len(found)} exercises are no pair", "Write one or two.")
    return TemplatePair(entry.text("letter"), entry.word("part", Part), found)


def _each(
    entry: Entry, field: str, called: str, read: Callable[[Entry], _Read]
) -> tuple[_Read, ...]:
    found = tuple(read(one) for one in entry.entries(field, called))
    if not found:
        raise entry.fault(field, "it is empty", "Add at least one.")
    return found


def _line(entry: Entry) -> TemplateLine:
    entry.allow_only(_KEPT_FIELDS)
    has_rir = entry.has("rir") and entry.table["rir"] is not None
    return TemplateLine(
        exercise_key=entry.text("exercise"),
        targets=_targets(entry),
        load=entry.number("load", 0, _MOST_LOAD_KG) if entry.has("load") else 0.0,
        tempo=entry.tempo("tempo"),
        rest=entry.whole("rest", 0, 600),
        rir=entry.whole("rir", 0, 10) if has_rir else None,
        load_share=_load_share(entry),
        load_step=_load_step(entry),
    )


def _load_share(entry: Entry) -> float:
    return entry.number("load_share", 0, _MOST_LOAD_SHARE) if entry.has("load_share") else 1.0


def _load_step(entry: Entry) -> float:
    if not entry.has("load_step"):
        return 0.0
    return entry.number("load_step", -_MOST_LOAD_KG, _MOST_LOAD_KG)


def _targets(entry: Entry) -> tuple[int, ...]:
    """Written set by set as ``targets``, or as ``sets`` times one ``target``."""
    if not entry.has("targets"):
        sets = entry.whole("sets", 1, _MOST_SETS)
        return (entry.whole("target", 1, _HIGHEST_TARGET),) * sets
    if entry.has("sets") or entry.has("target"):
        raise entry.fault("targets", "sets and target stand there too", "Keep one of the ways.")
    targets = entry.wholes("targets", 1, _HIGHEST_TARGET)
    if not 1 <= len(targets) <= _MOST_SETS:
        raise entry.fault("targets", f"{len(targets)} sets", f"Write 1 to {_MOST_SETS} numbers.")
    return targets
