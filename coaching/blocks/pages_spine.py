"""A session's letters around the spine: pushes left, pulls right, everything else centred."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from coaching.blocks.pages_block_strip import StripCell
from coaching.blocks.words import NO_REST, detail_text, pair_rest_text, rest_words, unchanging_text
from coaching.rules import plan
from coaching.rules.equipment_missing import needs_words
from coaching.rules.joint_limits import Joints, LimitAction, override_for


@dataclass(frozen=True)
class LimitNote:
    """What an exercise loads or lacks, at its place in the plan; ``is_open`` waits for the coach."""

    words: str
    is_open: bool


@dataclass(frozen=True)
class Cell:
    """One exercise beside the spine, in the block's page with a cell for each week."""

    uid: str
    name: str
    detail: str
    side: str
    limits: tuple[LimitNote, ...] = ()
    strip: tuple[StripCell, ...] = ()

    @property
    def shown(self) -> StripCell | None:
        """Its cell of the week that is shown, to be written beside on paper."""
        return next((one for one in self.strip if one.is_shown and one.sets), None)


@dataclass(frozen=True)
class SpineRow:
    """One letter: two exercises facing each other, or one alone."""

    letter: str
    part: str
    rest: str
    left: Cell | None
    right: Cell | None
    centre: Cell | None
    locked: bool = False

    @property
    def rest_told(self) -> str:
        """The rest where nothing else says what it is: rest 2 min."""
        return self.rest if self.rest == NO_REST else f"rest {self.rest}"

    @property
    def lines(self) -> tuple[Cell, ...]:
        """The exercises of the letter, from left to right."""
        return tuple(one for one in (self.left, self.centre, self.right) if one is not None)

    @property
    def uids(self) -> tuple[str, ...]:
        """The uids of the letter's exercises in every week that they have a cell for."""
        weeks = (cell.uid for line in self.lines for cell in line.strip)
        return (*(line.uid for line in self.lines), *weeks)


def spine_rows(
    session: plan.PlannedSession,
    joints: Joints,
    strips: Mapping[str, tuple[StripCell, ...]] | None = None,
    locked: frozenset[str] = frozenset(),
    equipment: frozenset[plan.EquipmentKind] | None = None,
) -> tuple[SpineRow, ...]:
    """A session's letters as rows around the spine; ``locked`` holds letters that are locked.

    ``strips`` has the cells of each exercise's weeks by its uid; without them the targets
    stand in words. ``equipment`` is what the client has, where lacking is to be told.
    """

    def notes(one: plan.Prescription) -> tuple[LimitNote, ...]:
        limits = limit_notes(one.exercise, joints, session.on)
        lacks = "" if equipment is None else needs_words(one.exercise, equipment)
        return (*limits, LimitNote(lacks, is_open=True)) if lacks else limits

    return tuple(
        _spine_row(pair, notes, strips, is_locked=pair.letter in locked) for pair in session.pairs
    )


def _spine_row(
    pair: plan.Pair,
    notes: Callable[[plan.Prescription], tuple[LimitNote, ...]],
    strips: Mapping[str, tuple[StripCell, ...]] | None,
    *,
    is_locked: bool,
) -> SpineRow:
    cells = [_cell(one, notes(one), strips, pair) for one in pair.prescriptions]
    sides = [cell.side for cell in cells]
    left = right = centre = None
    if len(cells) == 2:
        first_is_left = not (sides[0] == "pull" and sides[1] != "pull")
        left, right = cells if first_is_left else reversed(cells)
    elif sides[0] == "push":
        left = cells[0]
    elif sides[0] == "pull":
        right = cells[0]
    else:
        centre = cells[0]
    # The number and its unit stay on one line in the narrow column.
    rest = pair_rest_text(pair).replace(" s", "\u00a0s").replace(" min", "\u00a0min")
    rests = {one.rest for one in pair.prescriptions}
    if len(rests) > 1 and strips is not None:
        rest = ""  # Each exercise tells its own.
    elif rests == {0}:
        rest = NO_REST
    return SpineRow(pair.letter, pair.part.value, rest, left, right, centre, is_locked)


def _cell(
    one: plan.Prescription,
    limits: tuple[LimitNote, ...],
    strips: Mapping[str, tuple[StripCell, ...]] | None,
    pair: plan.Pair,
) -> Cell:
    pattern = one.exercise.pattern.value
    side = pattern if pattern in {"push", "pull"} else ""
    if strips is None:
        return Cell(one.key, one.exercise.name, detail_text(one), side, limits)
    strip = strips.get(one.key, ())
    differs = any(other.rest != one.rest for other in pair.prescriptions)
    detail = unchanging_text(one) + (f" · {rest_words(one.rest)}" if differs else "")
    return Cell(one.key, one.exercise.name, detail, side, limits, strip)


def limit_notes(exercise: plan.Exercise, joints: Joints, on: date) -> tuple[LimitNote, ...]:
    """What an exercise loads that the client avoids, regresses or watches on a day."""
    notes = []
    for limit in joints.on(on):
        if limit.stress not in exercise.joint_stresses:
            continue
        avoided = limit.action is LimitAction.AVOID
        override = override_for(exercise, limit, joints.overrides) if avoided else None
        words = f"Loads {limit}, {_AT_ITS_PLACE[limit.action]}"
        if override is not None:
            words = f"Loads {limit}; {override}"
        notes.append(LimitNote(words, avoided and override is None))
    return tuple(notes)


_AT_ITS_PLACE = {
    LimitAction.AVOID: "which is avoided: not decided",
    LimitAction.REGRESS: "which is regressed",
    LimitAction.WATCH: "which is watched: ask how it felt",
}
