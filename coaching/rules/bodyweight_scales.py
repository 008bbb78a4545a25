"""The scales on which the load of a bodyweight exercise is told, and what an answer holds."""

from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.body import Body
from coaching.rules.body_numbers import GRAVITY, WRIST_HEIGHT


class Scale(StrEnum):
    """What a load is told in; loads of two scales are never compared."""

    HANDS = "kg at the hands"
    SHOULDERS = "N·m at the shoulders"
    HIPS = "N·m at the hips"


class Family(StrEnum):
    """Exercises whose loads may be compared with each other."""

    PUSH_UP = "push-up"
    PIKE = "pike push-up"
    ROW = "row"
    HANDS_ONLY = "hands only"
    LEVER = "lever or planche"
    SIT = "sit with raised legs"


class Basis(StrEnum):
    """What an estimate rests on."""

    MEASURED = "measured"
    STATICS = "sound statics"
    ROUGH = "rough"


CHECKED_AGAINST = ("mier-2014", "gouvali-2005", "ebben-2011", "suprak-2011")
"""Publications whose measured push-ups the estimates were set beside, by source key."""


class Seat(StrEnum):
    """Where an added load sits."""

    SHOULDERS = "at the shoulders"
    VEST = "vest"
    MID_TRUNK = "mid trunk"
    HIPS = "hips"


@dataclass(frozen=True, slots=True)
class BodyLoad:
    """What an exercise loads: a value with its range, on its scale.

    ``share`` [of body weight] is what both hands carry of the body alone, none on the hip
    scale; ``added_share`` [0-1] how much of an added kilogram arrives there. ``meaning``
    says in words what the value is.
    """

    scale: Scale
    family: Family
    value: float
    low: float
    high: float
    basis: Basis
    share: float | None
    added_share: float
    meaning: str


@dataclass(frozen=True, slots=True)
class Setting:
    """How an exercise is set up: supports [cm], load [kg] and where it sits, help [kg].

    ``lean`` is the angle of the body in a wall push-up [degrees above the floor] or the
    lead of the shoulders in a planche lean [cm]; none takes the usual one.
    """

    hands_cm: float = 0
    feet_cm: float = 0
    added_kg: float = 0
    seat: Seat = Seat.VEST
    help_kg: float = 0
    lean: float | None = None


def arms_length_kg(moment: float, body: Body) -> float:
    """A shoulder moment [N·m] as the kilograms held at arm's length that turn as much."""
    arm = (body.proportions.arm + WRIST_HEIGHT.value) * body.stature_m
    return moment / (GRAVITY.value * arm)
