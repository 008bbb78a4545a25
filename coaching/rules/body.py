"""A client's body as a chain of segments, from stature, mass and sex.

Lengths are kept in statures and masses in shares of the body, because forces as shares of
body weight depend on nothing else: twice the body on twice the box is loaded the same.
Valid for young, lean-to-normal adults, on whom the tables were measured; not for children,
in pregnancy, in obesity, or where a limb is missing.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from statistics import fmean

from coaching.rules.body_numbers import (
    BODY_LIMITS,
    HEAD_ABOVE_SHOULDER,
    SEGMENT_CENTRE,
    SEGMENT_LENGTH,
    SEGMENT_MASS,
)
from coaching.rules.register import NumberTable


class Sex(StrEnum):
    """Which segment table is used; unstated takes the mean of both."""

    FEMALE = "female"
    MALE = "male"
    UNSTATED = "unstated"


@dataclass(frozen=True, slots=True)
class Segment:
    """A limb on both sides together, or head or trunk.

    ``mass`` is a share of the body [0-1], ``centre`` a share of the length [0-1] from the
    end nearer the trunk, ``length`` in statures.
    """

    mass: float
    centre: float
    length: float


@dataclass(frozen=True, slots=True)
class Proportions:
    """The segments of a body; ``head`` is how far its centre lies above the shoulders."""

    head: Segment
    trunk: Segment
    upper_arm: Segment
    forearm: Segment
    hand: Segment
    thigh: Segment
    shank: Segment
    foot: Segment

    @property
    def arm(self) -> float:
        """Shoulder to wrist [statures]."""
        return self.upper_arm.length + self.forearm.length


@dataclass(frozen=True, slots=True)
class Body:
    """Mass [kg], stature [m] and sex of an adult."""

    mass_kg: float
    stature_m: float
    sex: Sex

    @property
    def proportions(self) -> Proportions:
        """The segments, from the table of the sex."""
        return proportions_of(self.sex)

    def not_modelled(self) -> str:
        """Why the tables cannot stand for this body, or an empty text when they can."""
        for value, name, said in (
            (self.stature_m, "stature m", f"a stature of {self.stature_m:.2f} m"),
            (
                self.mass_kg / self.stature_m**2,
                "kg/m²",
                f"{self.mass_kg:g} kg at {self.stature_m:.2f} m",
            ),
        ):
            lowest, highest = BODY_LIMITS.rows[name]
            if not lowest <= value <= highest:
                return (
                    f"The segment tables do not cover {said}: they were measured on "
                    f"young, lean-to-normal adults."
                )
        return ""


@cache
def proportions_of(sex: Sex) -> Proportions:
    """The segments of one sex, or the mean of both tables; masses add up to the whole body."""
    total = sum(_mass(name, sex) for name in SEGMENT_MASS.rows)

    def segment(name: str) -> Segment:
        return Segment(
            mass=_mass(name, sex) / total,
            centre=_value(SEGMENT_CENTRE, name, sex) / 100,
            length=_value(SEGMENT_LENGTH, name, sex) / 100,
        )

    head = "head and neck"
    return Proportions(
        head=Segment(_mass(head, sex) / total, 1, _value(HEAD_ABOVE_SHOULDER, head, sex) / 100),
        trunk=segment("trunk"),
        upper_arm=segment("upper arm"),
        forearm=segment("forearm"),
        hand=segment("hand"),
        thigh=segment("thigh"),
        shank=segment("shank"),
        foot=segment("foot"),
    )


def _mass(name: str, sex: Sex) -> float:
    sides = 1 if name in {"head and neck", "trunk"} else 2
    return sides * _value(SEGMENT_MASS, name, sex)


def _value(table: NumberTable, row: str, sex: Sex) -> float:
    if sex is Sex.UNSTATED:
        return fmean(table.rows[row])
    return table.value(row, sex.value)
