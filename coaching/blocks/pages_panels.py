"""What opens in its place on the block's page: one exercise, a session or a week to change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coaching.blocks.forms import KeepForm
from coaching.rules.joint_limits import CAUTION


class Field(NamedTuple):
    """One field of a form; with options it is a choice."""

    name: str
    label: str
    value: str = ""
    help: str = ""
    keys: str = ""
    options: Sequence[tuple[str, str]] = ()
    error: str = ""


class ActButton(NamedTuple):
    """One act that needs nothing to be filled in."""

    act: str
    words: str
    fields: Sequence[tuple[str, str]] = ()
    reaches: bool = True


class Choice(NamedTuple):
    """One act with one thing to choose."""

    act: str
    field: str
    label: str
    button: str
    options: Sequence[tuple[str, str]]
    chosen: str = ""


class PlaceForm(NamedTuple):
    """One act on a session or a week with its fields."""

    act: str
    button: str
    fields: Sequence[Field] = ()
    reaches: bool = False


@dataclass(frozen=True)
class Panel:
    """What every panel knows: where it opens and where its act goes."""

    template: str
    place: str
    """The uid of a line or session beneath which it opens, or “week”."""
    edit_url: str
    back: str
    revision: int
    shown: int
    kind: str = ""
    error: str = ""
    reach: str = ""


@dataclass(frozen=True)
class LinePanel(Panel):
    """One exercise in one week."""

    line: str = ""
    name: str = ""
    week: int = 0
    session: str = ""
    fixed: str = ""
    is_past: bool = False
    fields: Sequence[Field] = ()
    loads: tuple[float, ...] = ()
    limits: tuple[str, ...] = ()
    acts: Sequence[ActButton] = ()
    choices: Sequence[Choice] = ()
    swap_url: str = ""
    swap_page: str = ""
    add_url: str = ""
    add_page: str = ""
    begins: str = "targets"

    @property
    def begins_at(self) -> str:
        """The field to go to first: what was typed wrong, else what is to be chosen."""
        return self.first_wrong or self.begins

    @property
    def first_wrong(self) -> str:
        """The first field that was typed wrong; each says why."""
        return next((one.name for one in self.fields if one.error), "")


class SwapChoice(NamedTuple):
    """What may stand in, with the reason and what it would change in the week."""

    pk: int
    name: str
    word: str
    reason: str
    effect: str = ""
    """Only where it differs from what most of the others do."""
    hard: str = ""
    load: str = ""
    targets: str = ""
    """With which it begins, in the words of a cell."""


@dataclass(frozen=True)
class SwapPanel(Panel):
    """What may stand in the place of an exercise, best first."""

    line: str = ""
    name: str = ""
    week: int = 0
    session: str = ""
    swaps: Sequence[SwapChoice] = ()
    usual_effect: str = ""
    left_out: str = ""
    """What trains the same and is not offered, with what it is: Jump squat (a jump)."""
    hurt: str = ""
    """What hurt lately that the exercise loads too."""
    avoids: tuple[str, ...] = ()
    override_url: str = ""
    override: KeepForm | None = None
    override_error: bool = False
    caution: str = CAUTION


class FoundExercise(NamedTuple):
    """One exercise that was searched for; ``why_not`` says what stands in its way."""

    pk: int
    name: str
    pattern: str
    reason: str
    why_not: str
    comes_later: bool


@dataclass(frozen=True)
class AddPanel(Panel):
    """Exercises to add to a session."""

    session_uid: str = ""
    where: str = ""
    after: str = ""
    query: str = ""
    pattern: str = ""
    patterns: Sequence[str] = ()
    part: str = ""
    parts: Sequence[str] = ()
    found: Sequence[FoundExercise] = ()
    found_words: str = ""
    add_url: str = ""

    @property
    def takes_first(self) -> str:
        """What Enter in the search adds, once something was searched for."""
        can_be = (one.name for one in self.found if not one.why_not)
        return next(can_be, "") if self.query else ""


@dataclass(frozen=True)
class PlacePanel(Panel):
    """A session, or a week: what can be done with it as a whole."""

    title: str = ""
    fixed: str = ""
    session_uid: str = ""
    week_starts: str = ""
    acts: Sequence[ActButton] = ()
    forms: Sequence[PlaceForm] = field(default_factory=tuple)


def typed(raw: Mapping[str, str] | None, name: str, usual: str) -> str:
    """What somebody typed and was refused, else what is planned."""
    return raw[name] if raw is not None and name in raw else usual
