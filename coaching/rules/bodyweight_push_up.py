"""Push-ups at rest: on the toes or knees, hands or feet raised, against a wall, leaning forward.

Taken as usual: the body a straight line, the ankle at a right angle, shoulders above the
wrists on the floor, and with raised hands the same angle between arm and trunk. Going down,
hands and feet stay where they are and the body turns about its feet; elbows turn out, so
that from the side an arm lies between shoulder and wrist.
"""

from cmath import phase, rect
from dataclasses import dataclass
from math import asin, radians, sqrt

from coaching.rules.body import Proportions
from coaching.rules.body_numbers import (
    ANKLE_ALONG_FOOT,
    ANKLE_HEIGHT,
    BALL_ALONG_FOOT,
    CHEST_DEPTH,
    KNEE_PAD,
    PALM_ALONG_HAND,
    WRIST_HEIGHT,
)
from coaching.rules.bodyweight_statics import Mass, Pose, centre_of


@dataclass(frozen=True)
class Frame:
    """A straight body lying along the real axis, its support at zero, without the arms."""

    masses: tuple[Mass, ...]
    hip: complex
    shoulder: complex

    def turned(self, angle: float, by_the_arms: tuple[Mass, ...], hands: complex) -> Pose:
        """The body turned up about its support by an angle [rad], with arms added."""
        turn = rect(1, angle)
        return Pose(
            masses=(*(Mass(m.share, m.at * turn) for m in self.masses), *by_the_arms),
            shoulder=self.shoulder * turn,
            hip=self.hip * turn,
            feet=0j,
            hands=hands,
        )


@dataclass(frozen=True)
class PushUp:
    """A push-up in three positions: arms straight, elbows at a right angle, chest low."""

    top: Pose
    halfway: Pose
    deep: Pose

    @property
    def mean_load(self) -> float:
        """Mean load at both hands over a repetition [body weights]."""
        return (abs(self.top.hand_force) + abs(self.halfway.hand_force)) / 2

    def loaded(self, share: float, down_the_trunk: float) -> "PushUp":
        """The same push-up with a load [body weights] on the trunk."""
        poses = (self.top, self.halfway, self.deep)
        return PushUp(*(pose.loaded(share, down_the_trunk) for pose in poses))


def push_up(body: Proportions, rise: float, *, on_knees: bool = False) -> PushUp | None:
    """A push-up, or none when arms and body cannot reach that far.

    Args:
        body: Segments in statures.
        rise: Height of the hands above the feet [statures]; below 0 the feet are higher.
        on_knees: On the knees, feet off the floor, instead of on the toes.
    """
    frame = _on_knees(body) if on_knees else on_toes(body)
    arm = _shoulder_to_palm(body)
    try:
        angle, hands, wrist = _top(frame, body, arm, rise)
        top = frame.turned(angle, _arms(body, frame.shoulder * rect(1, angle), wrist), hands)
        low = [
            _lowered(frame, body, hands, wrist, distance)
            for distance in (body.forearm.length + WRIST_HEIGHT.value, CHEST_DEPTH.value)
        ]
    except ValueError:
        # An arcsine outside its range: the triangle of body, arm and floor does not close.
        return None
    return PushUp(top, *low)


def wall_push_up(body: Proportions, lean: float) -> float:
    """What both hands push against a smooth wall at shoulder height [body weights], at least 0.

    Args:
        body: Segments in statures.
        lean: Angle of the body above the floor [degrees], 45 to 90.
    """
    frame = on_toes(body)
    turn = rect(1, radians(lean))
    shoulder = frame.shoulder * turn
    arms = _arms(body, shoulder, shoulder + body.arm, hand_towards=1j)
    centre = centre_of((*(Mass(m.share, m.at * turn) for m in frame.masses), *arms))
    return max(0.0, centre.real / shoulder.imag)


def leaning_pose(body: Proportions, lead: float) -> Pose | None:
    """A planche lean on straight arms: the shoulders lead the wrists [statures].

    None when the lead is more than the arms are long.
    """
    arm = body.arm + WRIST_HEIGHT.value
    if not 0 <= lead < arm:
        return None
    frame = on_toes(body)
    angle = _angle_at_height(frame.shoulder, sqrt(arm**2 - lead**2))
    shoulder = frame.shoulder * rect(1, angle)
    hands = complex(shoulder.real - lead, 0)
    wrist = shoulder + (hands - shoulder) * body.arm / arm
    return frame.turned(angle, _arms(body, shoulder, wrist), hands)


def on_toes(body: Proportions) -> Frame:
    """The straight body on the balls of the feet, ankles at a right angle."""
    ankle = complex(
        ANKLE_HEIGHT.value,
        (BALL_ALONG_FOOT.value - ANKLE_ALONG_FOOT.value) * body.foot.length,
    )
    foot = ankle - 1j * (body.foot.centre - ANKLE_ALONG_FOOT.value) * body.foot.length
    knee = ankle + body.shank.length
    shank = knee - body.shank.centre * body.shank.length
    return _frame(body, knee, (Mass(body.shank.mass, shank), Mass(body.foot.mass, foot)))


def _on_knees(body: Proportions) -> Frame:
    knee = 1j * KNEE_PAD.value
    shank = knee + 1j * body.shank.centre * body.shank.length
    toes = (body.foot.centre - ANKLE_ALONG_FOOT.value) * body.foot.length
    foot = knee + 1j * body.shank.length - toes
    return _frame(body, knee, (Mass(body.shank.mass, shank), Mass(body.foot.mass, foot)))


def _frame(body: Proportions, knee: complex, below: tuple[Mass, ...]) -> Frame:
    hip = knee + body.thigh.length
    shoulder = hip + body.trunk.length
    return Frame(
        masses=(
            *below,
            Mass(body.thigh.mass, hip - body.thigh.centre * body.thigh.length),
            Mass(body.trunk.mass, shoulder - body.trunk.centre * body.trunk.length),
            Mass(body.head.mass, shoulder + body.head.length),
        ),
        hip=hip,
        shoulder=shoulder,
    )


def _shoulder_to_palm(body: Proportions) -> complex:
    """From the shoulder straight down to the wrist, and forward to where the palm presses."""
    return complex(
        PALM_ALONG_HAND.value * body.hand.length,
        -(body.arm + WRIST_HEIGHT.value),
    )


def _top(
    frame: Frame, body: Proportions, arm: complex, rise: float
) -> tuple[float, complex, complex]:
    """Angle of the body, where the hands press and where the wrists are, arms straight."""
    palm_to_wrist = complex(-arm.real, WRIST_HEIGHT.value)
    if rise <= 0:
        angle = _angle_at_height(frame.shoulder, rise - arm.imag)
        hands = frame.shoulder * rect(1, angle) + arm
        return angle, hands, hands + palm_to_wrist
    flat = rect(1, -_angle_at_height(frame.shoulder, -arm.imag))
    angle = _angle_at_height(frame.shoulder + arm * flat, rise)
    turn = rect(1, angle)
    hands = (frame.shoulder + arm * flat) * turn
    wrist = (frame.shoulder + complex(0, -body.arm) * flat) * turn
    return angle, hands, wrist


def _angle_at_height(point: complex, height: float) -> float:
    """How far to turn a point about zero [rad] so that it stands at a height."""
    return asin(height / abs(point)) - phase(point)


def _lowered(
    frame: Frame, body: Proportions, hands: complex, wrist: complex, distance: float
) -> Pose:
    """The body turned down until its line is so far [statures] from the hands."""
    angle = phase(hands) - asin((frame.shoulder.imag - distance) / abs(hands))
    shoulder = frame.shoulder * rect(1, angle)
    return frame.turned(angle, _arms(body, shoulder, wrist), hands)


def _arms(
    body: Proportions, shoulder: complex, wrist: complex, hand_towards: complex = 1
) -> tuple[Mass, ...]:
    upper = body.upper_arm
    elbow = shoulder + (wrist - shoulder) * upper.length / body.arm
    return (
        Mass(upper.mass, shoulder + (elbow - shoulder) * upper.centre),
        Mass(body.forearm.mass, elbow + (wrist - elbow) * body.forearm.centre),
        Mass(body.hand.mass, wrist + hand_towards * body.hand.centre * body.hand.length),
    )
