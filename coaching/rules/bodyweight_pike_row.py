"""Pike push-ups and inverted rows at rest.

Neither was ever measured with published forces: these are statics with assumed shapes, and
their estimates are called rough. Pike: hips at a right angle, knees straight, arms in line
with the trunk. Row: straight body on the heels; on straight arms the arms can only pull
along themselves, at the chest the pull is taken at right angles to the line from heels to bar.
"""

from cmath import phase, rect
from dataclasses import dataclass
from math import asin, radians, sqrt

from coaching.rules.body import Proportions
from coaching.rules.body_numbers import (
    ANKLE_ALONG_FOOT,
    ANKLE_HEIGHT,
    BALL_ALONG_FOOT,
    BAR_BELOW_SHOULDER,
    PALM_ALONG_HAND,
    WRIST_HEIGHT,
)
from coaching.rules.bodyweight_statics import Mass, Pose


@dataclass(frozen=True)
class Row:
    """A row: what both hands pull hanging and at the chest [body weights], and the body's angle.

    ``angle`` [degrees] is that of the body above the floor on straight arms.
    """

    hanging: float
    at_the_chest: float
    angle: float

    @property
    def mean_load(self) -> float:
        """Mean pull of both hands over a repetition [body weights]."""
        return (self.hanging + self.at_the_chest) / 2


def pike_push_up(body: Proportions, rise: float) -> Pose | None:
    """A pike push-up on straight arms, or none when the feet are too high for the shape.

    Args:
        body: Segments in statures.
        rise: Height of the hands above the feet [statures], 0 or below.
    """
    ankle = complex(
        ANKLE_HEIGHT.value, (BALL_ALONG_FOOT.value - ANKLE_ALONG_FOOT.value) * body.foot.length
    )
    knee = ankle + body.shank.length
    hip = knee + body.thigh.length
    down = -1j
    shoulder = hip + down * body.trunk.length
    elbow = shoulder + down * body.upper_arm.length
    wrist = elbow + down * body.forearm.length
    palm = wrist + down * WRIST_HEIGHT.value + PALM_ALONG_HAND.value * body.hand.length
    foot = ankle - 1j * (body.foot.centre - ANKLE_ALONG_FOOT.value) * body.foot.length
    masses = (
        Mass(body.foot.mass, foot),
        Mass(body.shank.mass, knee - body.shank.centre * body.shank.length),
        Mass(body.thigh.mass, hip - body.thigh.centre * body.thigh.length),
        Mass(body.trunk.mass, shoulder - down * body.trunk.centre * body.trunk.length),
        Mass(body.head.mass, shoulder + down * body.head.length),
        Mass(body.upper_arm.mass, shoulder + down * body.upper_arm.centre * body.upper_arm.length),
        Mass(body.forearm.mass, elbow + down * body.forearm.centre * body.forearm.length),
        Mass(body.hand.mass, palm),
    )
    try:
        turn = rect(1, asin(rise / abs(palm)) - phase(palm))
    except ValueError:
        return None
    return Pose(
        masses=tuple(Mass(one.share, one.at * turn) for one in masses),
        shoulder=shoulder * turn,
        hip=hip * turn,
        feet=0j,
        hands=palm * turn,
    )


def row(
    body: Proportions, rise: float, *, load: float = 0.0, down_the_trunk: float = 0.0
) -> Row | None:
    """An inverted row, or none when the bar is out of reach or the body would stand upright.

    Args:
        body: Segments in statures.
        rise: Height of the bar above the heels [statures].
        load: What is worn [body weights].
        down_the_trunk: Where it is worn [0-1], from the shoulders to the hips.
    """
    heel_to_ankle = complex(ANKLE_HEIGHT.value, ANKLE_ALONG_FOOT.value * body.foot.length)
    knee = heel_to_ankle + body.shank.length
    hip = knee + body.thigh.length
    shoulder = hip + body.trunk.length
    chest = shoulder - BAR_BELOW_SHOULDER.value
    arm = body.arm + PALM_ALONG_HAND.value * body.hand.length
    # The bar stays where the chest meets it; hanging, the arm spans from shoulder to bar.
    distance = abs(chest)
    opening = _angle_between(abs(shoulder), distance, arm)
    if opening is None or not -distance < rise < distance:
        return None
    bar = rect(distance, asin(rise / distance))
    turn = rect(1, phase(bar) - opening - phase(shoulder))
    trunk = (
        Mass(body.foot.mass, 1j * body.foot.centre * body.foot.length),
        Mass(body.shank.mass, knee - body.shank.centre * body.shank.length),
        Mass(body.thigh.mass, hip - body.thigh.centre * body.thigh.length),
        Mass(body.trunk.mass, shoulder - body.trunk.centre * body.trunk.length),
        Mass(body.head.mass, shoulder + body.head.length),
        Mass(load, shoulder + (hip - shoulder) * down_the_trunk),
    )
    hanging_shoulder = shoulder * turn
    along = (bar - hanging_shoulder) / abs(bar - hanging_shoulder)
    lever = (hanging_shoulder.conjugate() * along).imag
    hanging = _turning(trunk, turn, _arm_masses(body, hanging_shoulder, bar)) / lever
    up = rect(1, phase(bar) - phase(chest))
    pulled = _turning(trunk, up, _arm_masses(body, shoulder * up, bar)) / distance
    degrees = phase(turn) / radians(1)
    return Row(hanging, pulled, degrees) if pulled > 0 else None


def _angle_between(one: float, other: float, opposite: float) -> float | None:
    """The angle [rad] between two sides of a triangle, or none when it does not close."""
    cosine = (one**2 + other**2 - opposite**2) / (2 * one * other)
    return abs(phase(complex(cosine, sqrt(1 - cosine**2)))) if abs(cosine) <= 1 else None


def _turning(trunk: tuple[Mass, ...], turn: complex, arms: tuple[Mass, ...]) -> float:
    """Moment of the weight about the heels [body weights x statures]."""
    return sum((one.at * turn).real * one.share for one in trunk) + sum(
        one.at.real * one.share for one in arms
    )


def _arm_masses(body: Proportions, shoulder: complex, bar: complex) -> tuple[Mass, ...]:
    whole = body.arm + PALM_ALONG_HAND.value * body.hand.length
    upper, fore = body.upper_arm, body.forearm

    def along(distance: float) -> complex:
        return shoulder + (bar - shoulder) * distance / whole

    return (
        Mass(upper.mass, along(upper.centre * upper.length)),
        Mass(fore.mass, along(upper.length + fore.centre * fore.length)),
        Mass(body.hand.mass, bar),
    )
