"""Moments of gravity in straight-arm levers, the planche and L-sits.

The same shape of the body has the same moment about the shoulders in planche, front lever
and back lever; only the muscles that hold it differ. The arithmetic is exact for the shape,
but the shape is assumed and nobody has published measured moments for these rungs. A rounded
back brings the hips nearer and takes about a tenth off; a straddle depends on how wide it is.
Moments are in body weights x statures: times mass [kg], stature [m] and g they are newton metres.
"""

from cmath import rect
from math import cos, radians

from coaching.rules.body import Proportions
from coaching.rules.body_numbers import ANKLE_ALONG_FOOT, LEVER_ANGLES, SIT_KNEE


def lever_moment(body: Proportions, shape: str) -> float:
    """Moment about the shoulders of a body held level [body weights x statures].

    Args:
        body: Segments in statures.
        shape: A row of ``LEVER_ANGLES``, or "one leg" for one leg straight and the other
            as in the advanced tuck.
    """
    if shape == "one leg":
        straight = _legs(body, *LEVER_ANGLES.rows["full"])
        bent = _legs(body, *LEVER_ANGLES.rows["advanced tuck"])
        return _upper(body) + (straight + bent) / 2
    return _upper(body) + _legs(body, *LEVER_ANGLES.rows[shape])


def added_moment(body: Proportions, down_the_trunk: float) -> float:
    """Moment about the shoulders of a load of one body weight worn on the trunk [statures]."""
    return down_the_trunk * body.trunk.length


def arms_moment(body: Proportions, lead: float) -> float:
    """Moment of the arms' own weight when the shoulders lead the hands [statures]."""
    upper, fore = body.upper_arm, body.forearm
    along = upper.mass * upper.centre * upper.length + fore.mass * (
        upper.length + fore.centre * fore.length
    )
    return lead * (along / body.arm + body.hand.mass)


def sit_moment(body: Proportions, shape: str) -> float:
    """Moment about the hips of the legs held level in support [body weights x statures].

    Args:
        body: Segments in statures.
        shape: "tuck", "one leg" or "straight".
    """
    straight = _legs(body, 180, 180, 0) - _leg_mass(body) * body.trunk.length
    tucked = body.thigh.mass * body.thigh.centre * body.thigh.length + _below_the_knee(
        body, body.thigh.length, -(180 - SIT_KNEE.value)
    )
    return {"straight": straight, "tuck": tucked, "one leg": (straight + tucked) / 2}[shape]


def _upper(body: Proportions) -> float:
    trunk, head = body.trunk, body.head
    return trunk.mass * trunk.centre * trunk.length - head.mass * head.length


def _leg_mass(body: Proportions) -> float:
    return body.thigh.mass + body.shank.mass + body.foot.mass


def _legs(body: Proportions, hip: float, knee: float, spread: float) -> float:
    """Moment of both legs about the shoulders, by hip and knee angle and spread [degrees]."""
    folded = 180 - hip
    thigh = body.thigh.length * rect(1, radians(folded)).real
    about_the_hips = body.thigh.mass * body.thigh.centre * thigh + _below_the_knee(
        body, thigh, folded - (180 - knee)
    )
    return _leg_mass(body) * body.trunk.length + about_the_hips * cos(radians(spread))


def _below_the_knee(body: Proportions, knee: float, direction: float) -> float:
    """Moment of shanks and pointed feet about the hips; ``direction`` [degrees] of the shank."""
    shank, foot = body.shank, body.foot
    to_foot = shank.length + (foot.centre - ANKLE_ALONG_FOOT.value) * foot.length
    along = cos(radians(direction))
    return shank.mass * (knee + shank.centre * shank.length * along) + foot.mass * (
        knee + to_foot * along
    )
