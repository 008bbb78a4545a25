"""The shared templates of blocks, read from the TOML files in ``templates/``.

A template is a week of sessions and the kinds of the weeks that repeat it. The deload
week is only marked: what its light version holds is computed when a block is made.
Loads are left at 0 where they can only be found with the client.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from coaching.library.toml_fields import CatalogueError, Entry, read_file
from coaching.rules.plan import EquipmentKind, Level, Muscle, Part, WeekKind

TEMPLATES = Path(__file__).parent / "templates"

_MOST_SETS = 12
_HIGHEST_TARGET = 300
_MOST_LOAD_KG = 500
_Read = TypeVar("_Read")
_LINE_FIELDS = frozenset({"exercise", "sets", "target", "targets", "load", "tempo", "rest", "rir"})


@dataclass(frozen=True)
class TemplateLine:
    """One exercise in a template: reps or seconds [s] a set, load [kg], rest [s], RIR."""

    exercise_key: str
    targets: tuple[int, ...]
    load: float
    tempo: str
    rest: int
    rir: int | None


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
class TemplatePlan:
    """The kinds of the weeks, and the sessions that each of them repeats."""

    week_kinds: tuple[WeekKind, ...]
    sessions: tuple[TemplateSession, ...]


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
    return {
        "weeks": [kind.value for kind in template.week_kinds],
        "sessions": [
            {"name": one.name, "day": one.day, "pairs": [_plain_pair(pair) for pair in one.pairs]}
            for one in template.sessions
        ],
    }


def from_plan(plan: Mapping[str, object]) -> TemplatePlan:
    """Weeks and sessions from what ``as_plan`` wrote.

    Raises:
        CatalogueError: A field is missing or does not fit; the message names it and the remedy.
    """
    top = Entry("Plan", dict(plan))
    top.allow_only({"weeks", "sessions"})
    sessions = tuple(
        _session(entry, "pairs", "lines") for entry in top.entries("sessions", "session")
    )
    return TemplatePlan(_week_kinds(top), _in_order(top, "sessions", sessions))


def _plain_pair(pair: TemplatePair) -> dict[str, object]:
    return {
        "letter": pair.letter,
        "part": pair.part.value,
        "lines": [
            {
                "exercise": line.exercise_key,
                "targets": list(line.targets),
                "load": line.load,
                "tempo": line.tempo,
                "rest": line.rest,
                "rir": line.rir,
            }
            for line in pair.lines
        ],
    }


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
    top: Entry, field: str, sessions: tuple[TemplateSession, ...]
) -> tuple[TemplateSession, ...]:
    days = [session.day for session in sessions]
    if not sessions:
        raise top.fault(field, "there is none", "Add a session.")
    if days != sorted(set(days)):
        raise top.fault(field, f"days {days} do not rise", "Put each session on a later day.")
    return sessions


def _session(entry: Entry, pairs: str, lines: str) -> TemplateSession:
    entry.allow_only({"name", "day", pairs})
    return TemplateSession(
        name=entry.text("name"),
        day=entry.whole("day", 0, 6),
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
    entry.allow_only(_LINE_FIELDS)
    has_rir = entry.has("rir") and entry.table["rir"] is not None
    return TemplateLine(
        exercise_key=entry.text("exercise"),
        targets=_targets(entry),
        load=entry.number("load", 0, _MOST_LOAD_KG) if entry.has("load") else 0.0,
        tempo=entry.tempo("tempo"),
        rest=entry.whole("rest", 0, 600),
        rir=entry.whole("rir", 0, 10) if has_rir else None,
    )


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
