"""What must hold of a coach's own exercise before it is written; no database, no form.

The form shows every fault at once, and the service asks again under a lock: both call
``faults_of``, so that a check stands in one place.
"""

import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from statistics import fmean
from typing import TypedDict

from coaching.library.errors import Fault
from coaching.rules.body import Body, Sex
from coaching.rules.body_numbers import BODY_LIMITS
from coaching.rules.bodyweight_load import body_load
from coaching.rules.bodyweight_scales import Setting
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import LoadKind, Measure, Pattern, Plane, Posture, Tempo

MOST_CUES = 8
LONGEST_CUE = 160
LONGEST_REP = 60
"""[s] So long may one repetition take."""
HOLD_TEMPO = "0-1-0-0"
FIXED_COLUMNS = ("pattern", "measure", "load_kind")
"""What decides how logged numbers are read; it stays once an exercise is prescribed or logged."""


class Values(TypedDict, total=False):
    """An exercise as it was typed; a value that could not be read is missing."""

    name: str
    pattern: str
    plane: str
    chain: str
    multi_joint: bool
    laterality: str
    level: str
    complexity: int
    measure: str
    tempo: str
    load_kind: str
    share_percent: Decimal | None
    posture: str
    hands_cm: int | None
    feet_cm: int | None
    muscles: dict[str, Decimal]
    joint_actions: list[str]
    joint_stresses: list[str]
    asks_nothing: bool
    equipment: list[str]
    cues: list[str]
    caution: str
    ladder: str
    rung: int | None


@dataclass(frozen=True)
class LadderEnd:
    """A ladder to stand on: its name, its last shared rung and the patterns on it."""

    name: str
    last: int
    patterns: frozenset[str]


@dataclass(frozen=True)
class Surroundings:
    """What an own exercise must get along with.

    ``names`` are the folded names in use and whose they are; ``fixed`` the columns that
    may not change any more, with their values.
    """

    names: Mapping[str, str] = field(default_factory=dict)
    ladders: Mapping[str, LadderEnd] = field(default_factory=dict)
    fixed: Mapping[str, str] = field(default_factory=dict)


def faults_of(values: Values, around: Surroundings) -> tuple[Fault, ...]:
    """Everything that has to be mended, in the order of the form."""
    return tuple(fault for check in _CHECKS for fault in check(values, around))


def folded_name(name: str) -> str:
    """A name as it is compared: capitals, wide letters and doubled spaces do not count.

    >>> folded_name(" Push-Up   on rings ")
    'push-up on rings'
    """
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


_PUSHES_OR_PULLS = frozenset({Pattern.PUSH.value, Pattern.PULL.value})
_ON_HANDS = frozenset(pattern.value for pattern in Pattern if pattern is not Pattern.LEGS)
_NO_PULL = _ON_HANDS - {Pattern.PULL.value}
_ROW = frozenset({Pattern.PULL.value, Pattern.PREHAB.value})
_SIT = frozenset({Pattern.CORE.value, Pattern.PUSH.value})
_PUSH_UPS = (
    Posture.WALL_PUSH_UP,
    Posture.PUSH_UP,
    Posture.KNEE_PUSH_UP,
    Posture.ARCHER_PUSH_UP,
    Posture.ONE_ARM_PUSH_UP,
    Posture.PLANCHE_LEAN,
    Posture.PIKE_PUSH_UP,
)
_SITS = (Posture.TUCK_SIT, Posture.ONE_LEG_L_SIT, Posture.L_SIT, Posture.V_SIT)
_PATTERNS: dict[Posture, frozenset[str]] = {
    **dict.fromkeys(_PUSH_UPS, _NO_PULL),
    **dict.fromkeys(_SITS, _SIT),
    Posture.ROW: _ROW,
}
_WITH_HEIGHTS = {
    Posture.PUSH_UP,
    Posture.ARCHER_PUSH_UP,
    Posture.ONE_ARM_PUSH_UP,
    Posture.PIKE_PUSH_UP,
    Posture.ROW,
}
_STATURES = BODY_LIMITS.rows["stature m"]
_BODIES = tuple(
    Body(fmean(BODY_LIMITS.rows["kg/m²"]) * stature**2, stature, Sex.UNSTATED)
    for stature in (fmean(_STATURES), *_STATURES)
)
"""A middle body, then the shortest and the tallest that an estimate stands for."""


def patterns_of(posture: Posture) -> frozenset[str]:
    """The patterns that a posture can belong to; legs have none."""
    return _PATTERNS.get(posture, _ON_HANDS)


def usual_share(posture: Posture, setting: Setting) -> float:
    """The share [0-1] that a posture loads of a middle body, for clients whose own is not known.

    Levers and sits hang all of the body on the hands.
    """
    found = body_load(posture, _BODIES[0], setting)
    return 1.0 if isinstance(found, NoAnswer) or found.share is None else round(found.share, 3)


def _name(values: Values, around: Surroundings) -> Iterator[Fault]:
    whose = around.names.get(folded_name(values.get("name", "")))
    if whose:
        yield Fault("name", f"{whose} has this name already. Choose another name.")


def _fixed(values: Values, around: Surroundings) -> Iterator[Fault]:
    typed: Mapping[str, object] = {**values}
    for column, value in around.fixed.items():
        if column in typed and typed[column] != value:
            yield Fault(
                column,
                f"Prescriptions or logs name this exercise, and their numbers were meant as "
                f"“{value}”. Put it back to “{value}”, or copy the exercise and change the copy.",
            )


def _plane(values: Values, _around: Surroundings) -> Iterator[Fault]:
    if not {"pattern", "plane", "multi_joint"} <= values.keys():
        return
    needs_one = values["pattern"] in _PUSHES_OR_PULLS and values["multi_joint"]
    has_one = values["plane"] != Plane.NONE
    if needs_one and not has_one:
        message = "A compound push or pull needs a plane. Choose horizontal or vertical."
        yield Fault("plane", message)
    if has_one and not needs_one:
        message = "Only a compound push or pull has a plane. Choose “no plane”."
        yield Fault("plane", message)


def _share(values: Values, _around: Surroundings) -> Iterator[Fault]:
    if not {"load_kind", "share_percent", "posture"} <= values.keys():
        return
    kind, share = values["load_kind"], values["share_percent"]
    if kind == LoadKind.EXTERNAL:
        if share:
            yield Fault(
                "share_percent",
                "With an external load the weight alone counts. Write 0, or choose “added”.",
            )
    elif share is None:
        if not values["posture"]:
            message = "Write the share of body weight from 0 to 100, or choose a posture."
            yield Fault("share_percent", message)
    elif share == 0 and kind != LoadKind.NONE:
        message = f"“{kind}” starts from body weight, so 0 does not fit. Write more than 0."
        yield Fault("share_percent", message)


def _posture(values: Values, _around: Surroundings) -> Iterator[Fault]:
    posture = values.get("posture", "")
    if posture and values.get("load_kind") == LoadKind.EXTERNAL:
        message = "A posture carries the body, not an external load. Choose “none: use the share”."
        yield Fault("posture", message)
    pattern = values.get("pattern")
    if posture and pattern and pattern not in patterns_of(Posture(posture)):
        yield Fault(
            "posture",
            f"“{posture}” does not go with the pattern “{pattern}”. Choose another posture, or "
            "“none: use the share”.",
        )


def _heights(values: Values, _around: Surroundings) -> Iterator[Fault]:
    if not {"posture", "hands_cm", "feet_cm"} <= values.keys():
        return
    hands, feet, posture = values["hands_cm"] or 0, values["feet_cm"] or 0, values["posture"]
    if posture in _WITH_HEIGHTS:
        setting = Setting(hands_cm=hands, feet_cm=feet)
        answers = [body_load(Posture(posture), body, setting) for body in _BODIES]
        if all(isinstance(answer, NoAnswer) for answer in answers):
            reason = answers[0].reason if isinstance(answers[0], NoAnswer) else ""
            name = "feet_cm" if feet and not hands else "hands_cm"
            message = f"{reason} Write other heights, or choose “none: use the share”."
            yield Fault(name, message)
        return
    for name, typed in (("hands_cm", hands), ("feet_cm", feet)):
        if typed:
            message = "This posture asks for no height. Empty it, or choose a push-up on the toes or a row."
            yield Fault(name, message)


def _tempo(values: Values, _around: Surroundings) -> Iterator[Fault]:
    written, measure = values.get("tempo"), values.get("measure")
    if written is None:
        return
    try:
        tempo = Tempo.parse(written)
    except ValueError as error:
        yield Fault("tempo", f"{error} Write four counts of seconds.")
        return
    if measure == Measure.SECONDS:
        if str(tempo) != HOLD_TEMPO:
            message = f"A hold counts every second once. Write {HOLD_TEMPO}, or count repetitions."
            yield Fault("tempo", message)
    elif not tempo.eccentric and not tempo.concentric:
        message = "A repetition lowers or lifts. Write such as 3-0-1-0, or count seconds."
        yield Fault("tempo", message)
    elif tempo.seconds_per_rep > LONGEST_REP:
        message = f"That is {tempo.seconds_per_rep} s a repetition. Write {LONGEST_REP} s or less."
        yield Fault("tempo", message)


def _muscles(values: Values, _around: Surroundings) -> Iterator[Fault]:
    muscles = values.get("muscles")
    if muscles is None or "pattern" not in values:
        return
    if values["pattern"] == Pattern.PREHAB:
        if not muscles:
            message = "Prehab may do without a direct muscle, but not without any. Choose one."
            yield Fault("muscles", message)
    elif not any(share >= 1 for share in muscles.values()):
        message = "No muscle is direct, so no set would count fully. Choose at least one as direct."
        yield Fault("muscles", message)


def _stresses(values: Values, _around: Surroundings) -> Iterator[Fault]:
    if "joint_stresses" not in values:
        return
    asks, nothing = values["joint_stresses"], values.get("asks_nothing", False)
    if not asks and not nothing:
        yield Fault(
            "joint_stresses",
            "Nothing is ticked, and a client with a joint limit would be offered it. Tick what it "
            "asks, or tick below that it asks nothing.",
        )
    if asks and nothing:
        yield Fault(
            "asks_nothing",
            f"Above it says: {', '.join(asks)}. Take this tick away, or those.",
        )


def _cues(values: Values, _around: Surroundings) -> Iterator[Fault]:
    cues = values.get("cues", [])
    if len(cues) > MOST_CUES:
        yield Fault("cues", f"These are {len(cues)} lines. Keep the {MOST_CUES} best or fewer.")
    for number, cue in enumerate(cues, start=1):
        if len(cue) > LONGEST_CUE:
            message = f"Line {number} has {len(cue)} characters. Shorten it to {LONGEST_CUE}."
            yield Fault("cues", message)
        if folded_name(cue) in {folded_name(one) for one in cues[: number - 1]}:
            yield Fault("cues", f"Line {number} stands there twice: “{cue}”. Take one away.")


def _ladder(values: Values, around: Surroundings) -> Iterator[Fault]:
    if not {"ladder", "rung"} <= values.keys():
        return
    ladder, rung = around.ladders.get(values["ladder"]), values["rung"]
    if ladder is None:
        if rung is not None:
            message = "A rung needs a ladder. Choose the ladder, or empty the rung."
            yield Fault("rung", message)
        return
    if rung is None:
        message = f"Which rung of the {ladder.name} ladder? Write one from 1 to {ladder.last + 1}."
        yield Fault("rung", message)
    elif rung > ladder.last + 1:
        message = (
            f"The {ladder.name} ladder ends at rung {ladder.last}. Write {ladder.last + 1} or less."
        )
        yield Fault("rung", message)
    if "pattern" in values and values["pattern"] not in ladder.patterns:
        there = " and ".join(sorted(ladder.patterns))
        message = f"On the {ladder.name} ladder stands {there} alone. Choose another, or none."
        yield Fault("ladder", message)


_Check = Callable[[Values, Surroundings], Iterator[Fault]]
_CHECKS: tuple[_Check, ...] = (
    _name,
    _fixed,
    _plane,
    _tempo,
    _share,
    _posture,
    _heights,
    _muscles,
    _stresses,
    _cues,
    _ladder,
)
