"""How much of a client a bodyweight exercise loads, from stature, mass and sex.

There are three scales, and nothing is ever compared across them: kilograms at the hands
(only within a family: push-up, pike, row, hands only), newton metres at the shoulders for
levers and planche, newton metres at the hips for sits with the legs held up. A floor pike
push-up puts fewer kilograms on the hands than a push-up and is harder all the same, because
the load has another direction; and planche and front lever share their moment but no muscle.

Every answer is static: the mean over a repetition does not depend on the tempo, peaks do.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from coaching.rules.body import Body
from coaching.rules.body_numbers import (
    ARCHER_SHARE,
    GRAVITY,
    LOAD_ERROR,
    MOMENT_ERROR,
    PLANCHE_LEAN,
    RAISED,
    SEAT_OF_LOAD,
    USUAL_ADDED,
    WALL_LEAN,
    WALL_LEANS,
)
from coaching.rules.bodyweight_levers import (
    added_moment,
    arms_moment,
    lever_moment,
    sit_moment,
)
from coaching.rules.bodyweight_pike_row import pike_push_up, row
from coaching.rules.bodyweight_push_up import leaning_pose, push_up, wall_push_up
from coaching.rules.bodyweight_scales import Basis, BodyLoad, Family, Scale, Seat, Setting
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import Exercise, LoadKind, Posture

_MEAN = "static, mean over a repetition, both hands together"
_OUT_OF_REACH = "Body, arms and supports do not meet at these heights; check both heights."


def body_load(posture: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    """What one exercise loads of one client.

    Args:
        posture: How the body stands, hangs or lies.
        body: The client's mass, stature and sex.
        setting: Heights of the supports, added load, help.

    Returns:
        The load, or no answer with the reason: outside the bodies that the tables cover,
        hands above 100 cm in a push-up, supports out of reach, a V-sit.
    """
    reason = body.not_modelled() or _impossible(setting)
    if reason:
        return NoAnswer(reason)
    return _ANSWERS[posture](posture, body, setting)


def fitted(exercise: Exercise, body: Body | None) -> Exercise:
    """The exercise with the shares of this client's own body in place of the usual ones.

    Without a body, a posture or an answer it stays as it is. Levers and sits keep theirs:
    all of the body hangs on the hands, and what tells their rungs apart is a moment.
    """
    if exercise.posture is None or body is None:
        return exercise
    shares = _shares(exercise.posture, body, exercise.hands_cm, exercise.feet_cm)
    if shares is None:
        return exercise
    share, added = shares
    with_load = exercise.load_kind is LoadKind.ADDED
    return replace(exercise, body_share=share, added_share=added if with_load else 1.0)


@cache
def _shares(
    posture: Posture, body: Body, hands_cm: int, feet_cm: int
) -> tuple[float, float] | None:
    found = body_load(posture, body, Setting(hands_cm=hands_cm, feet_cm=feet_cm))
    if isinstance(found, NoAnswer) or found.share is None:
        return None
    return round(found.share, 3), round(found.added_share, 3)


def _impossible(setting: Setting) -> str:
    if min(setting.hands_cm, setting.feet_cm, setting.added_kg, setting.help_kg) < 0:
        return "Heights, load and help are 0 or more."
    return ""


def _push_up(posture: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    rise_cm = setting.hands_cm - setting.feet_cm
    highest = RAISED.rows["highest"][0]
    if abs(rise_cm) > highest:
        return NoAnswer(
            f"Hands and feet are more than {highest:g} cm apart in height: for steep push-ups "
            "take the wall push-up and its lean."
        )
    on_knees = posture is Posture.KNEE_PUSH_UP
    if on_knees and rise_cm:
        return NoAnswer("On the knees the estimate holds for hands and knees on the floor only.")
    rise = rise_cm / 100 / body.stature_m
    found = push_up(body.proportions, rise, on_knees=on_knees)
    if found is None:
        return NoAnswer(_OUT_OF_REACH)
    share, seat = found.mean_load, _seat(setting.seat)
    worn = USUAL_ADDED.value / body.mass_kg
    added_share = (found.loaded(worn, seat).mean_load - share) / worn
    arms, basis, meaning = _arms_of(posture, rise_cm)
    return _Carried(
        Family.PUSH_UP,
        share=share,
        added_share=added_share,
        error=_push_up_error(rise_cm, on_knees=on_knees) / 100,
        arms=arms,
        basis=basis,
        meaning=meaning,
    ).load(body, setting)


def _arms_of(posture: Posture, rise_cm: float) -> tuple[tuple[float, float], Basis, str]:
    """By how much the load of the working arm counts, as two arms, lowest and highest."""
    if posture is Posture.ONE_ARM_PUSH_UP:
        return (2, 2), Basis.STATICS, "static, twice the load of the working arm"
    if posture is Posture.ARCHER_PUSH_UP:
        low, high = ARCHER_SHARE.rows["push-up"]
        return (2 * low, 2 * high), Basis.ROUGH, "static, twice the load of the working arm"
    far = abs(rise_cm) > RAISED.rows["high"][0]
    on_knees = posture is Posture.KNEE_PUSH_UP
    return (1, 1), Basis.STATICS if far or on_knees else Basis.MEASURED, _MEAN


def _push_up_error(rise_cm: float, *, on_knees: bool) -> float:
    if on_knees:
        return LOAD_ERROR.rows["push-up on the knees"][0]
    if abs(rise_cm) < RAISED.rows["raised"][0]:
        return LOAD_ERROR.rows["push-up"][0]
    if abs(rise_cm) <= RAISED.rows["high"][0]:
        return LOAD_ERROR.rows["push-up, 46 to 76 cm"][0]
    return LOAD_ERROR.rows["push-up, above 76 cm"][0]


@dataclass(frozen=True, slots=True)
class _Carried:
    """What the hands carry of the body, how far that may be off [shares of body weight]."""

    family: Family
    share: float
    error: float
    basis: Basis
    added_share: float = 1.0
    arms: tuple[float, float] = (1, 1)
    meaning: str = _MEAN

    def load(self, body: Body, setting: Setting) -> BodyLoad:
        """The load in kilograms at the hands."""
        moved = self.added_share * setting.added_kg - setting.help_kg

        def kilograms(of_body: float) -> float:
            return max(0.0, min(1.0, of_body) * body.mass_kg + moved)

        return BodyLoad(
            scale=Scale.HANDS,
            family=self.family,
            value=kilograms(self.share) * sum(self.arms) / 2,
            low=kilograms(max(0.0, self.share - self.error)) * self.arms[0],
            high=kilograms(self.share + self.error) * self.arms[1],
            basis=self.basis,
            share=self.share,
            added_share=self.added_share,
            meaning=self.meaning,
        )


def _wall(_: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    lean = WALL_LEAN.value if setting.lean is None else setting.lean
    lowest, highest = WALL_LEANS.rows["body"]
    if not lowest <= lean <= highest:
        return NoAnswer(f"A wall push-up leans {lowest:g} to {highest:g}° above the floor.")
    return _Carried(
        Family.PUSH_UP,
        share=wall_push_up(body.proportions, lean),
        error=LOAD_ERROR.rows["push-up against a wall"][0] / 100,
        basis=Basis.ROUGH,
        meaning=f"static, arms straight, both hands together, body at {lean:g}°",
    ).load(body, setting)


def _planche_lean(_: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    lead_cm = PLANCHE_LEAN.value if setting.lean is None else setting.lean
    lead = lead_cm / 100 / body.stature_m
    pose = leaning_pose(body.proportions, lead)
    full = lever_moment(body.proportions, "full")
    share = pose.hand_force.imag if pose else 1.0
    moment = share * lead - arms_moment(body.proportions, lead)
    if pose is None or share > 1 or moment > full:
        return NoAnswer("The shoulders lead so far that the feet would leave the floor.")
    found = _moment(
        moment,
        body,
        setting,
        f"static, shoulders {lead_cm:g} cm ahead of the hands, both arms together",
    )
    return replace(found, share=share)


def _pike(_: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    rise = (setting.hands_cm - setting.feet_cm) / 100 / body.stature_m
    pose = pike_push_up(body.proportions, rise) if rise <= 0 else None
    if pose is None:
        return NoAnswer(_OUT_OF_REACH)
    share = min(1.0, abs(pose.hand_force))
    worn = USUAL_ADDED.value / body.mass_kg
    with_load = abs(pose.loaded(worn, _seat(setting.seat)).hand_force)
    raised = "pike push-up, feet raised" if setting.feet_cm else "pike push-up"
    return _Carried(
        Family.PIKE,
        share=share,
        added_share=min(1.0, (with_load - abs(pose.hand_force)) / worn),
        error=LOAD_ERROR.rows[raised][0] / 100,
        basis=Basis.ROUGH,
        meaning="static, arms straight, both hands together",
    ).load(body, setting)


def _row(_: Posture, body: Body, setting: Setting) -> BodyLoad | NoAnswer:
    rise = (setting.hands_cm - setting.feet_cm) / 100 / body.stature_m
    found = row(body.proportions, rise)
    worn = USUAL_ADDED.value / body.mass_kg
    loaded = row(body.proportions, rise, load=worn, down_the_trunk=_seat(setting.seat))
    if found is None or loaded is None:
        return NoAnswer(_OUT_OF_REACH)
    return _Carried(
        Family.ROW,
        share=found.mean_load,
        added_share=(loaded.mean_load - found.mean_load) / worn,
        error=LOAD_ERROR.rows["inverted row"][0] / 100,
        basis=Basis.ROUGH,
        meaning=f"{_MEAN}; {_lying(found.angle)}",
    ).load(body, setting)


def _lying(angle: float) -> str:
    """How the body hangs before the pull, by its angle above the floor [degrees]."""
    whole = round(angle)
    if whole < 0:
        return f"hanging with the feet higher, {-whole}°"
    return f"hanging with the body at {whole}°" if whole else "hanging with the body level"


def _hands_only(posture: Posture, body: Body, setting: Setting) -> BodyLoad:
    both = posture is Posture.HANDS_ONLY
    meaning = "all of the body, both hands together" if both else "twice what the one arm carries"
    return _Carried(
        Family.HANDS_ONLY,
        share=1.0,
        error=0.0,
        basis=Basis.STATICS,
        arms=(1, 1) if both else (2, 2),
        meaning=f"static, {meaning}",
    ).load(body, setting)


def _shifted_hands(_: Posture, body: Body, setting: Setting) -> BodyLoad:
    least, most = ARCHER_SHARE.rows["hanging"]
    return _Carried(
        Family.HANDS_ONLY,
        share=1.0,
        error=0.0,
        basis=Basis.ROUGH,
        arms=(2 * least, 2 * most),
        meaning="static, twice the load of the working arm",
    ).load(body, setting)


def _lever(posture: Posture, body: Body, setting: Setting) -> BodyLoad:
    moment = lever_moment(body.proportions, _LEVERS[posture])
    return _moment(moment, body, setting, "static, body level, both arms together")


def _moment(moment: float, body: Body, setting: Setting, meaning: str) -> BodyLoad:
    """A moment about the shoulders [N·m] with its range; ``moment`` in body weights x statures."""
    newton_metres = GRAVITY.value * body.stature_m
    added = added_moment(body.proportions, _seat(setting.seat)) * setting.added_kg
    value = (moment * body.mass_kg + added) * newton_metres
    return BodyLoad(
        scale=Scale.SHOULDERS,
        family=Family.LEVER,
        value=value,
        low=value * (1 - MOMENT_ERROR.value),
        high=value * (1 + MOMENT_ERROR.value),
        basis=Basis.STATICS,
        share=1.0,
        added_share=1.0,
        meaning=meaning,
    )


def _sit(posture: Posture, body: Body, _: Setting) -> BodyLoad:
    value = (
        sit_moment(body.proportions, _SITS[posture]) * body.mass_kg * body.stature_m * GRAVITY.value
    )
    return BodyLoad(
        scale=Scale.HIPS,
        family=Family.SIT,
        value=value,
        low=value * (1 - MOMENT_ERROR.value),
        high=value * (1 + MOMENT_ERROR.value),
        basis=Basis.STATICS,
        share=None,
        added_share=1.0,
        meaning="static, weight of both legs about the hips",
    )


def _seat(seat: Seat) -> float:
    return SEAT_OF_LOAD.rows[seat.value][0] / 100


def _v_sit(_: Posture, __: Body, ___: Setting) -> NoAnswer:
    return NoAnswer(
        "A V-sit is told by the angle of the legs: gravity's moment falls as they rise, "
        "while the exercise gets harder."
    )


_LEVERS = {
    Posture.TUCK_LEVER: "tuck",
    Posture.ADVANCED_TUCK_LEVER: "advanced tuck",
    Posture.ONE_LEG_LEVER: "one leg",
    Posture.STRADDLE_LEVER: "straddle",
    Posture.HALF_LAY_LEVER: "half-lay",
    Posture.FULL_LEVER: "full",
}
_SITS = {
    Posture.TUCK_SIT: "tuck",
    Posture.ONE_LEG_L_SIT: "one leg",
    Posture.L_SIT: "straight",
}
_ANSWERS: dict[Posture, Callable[[Posture, Body, Setting], BodyLoad | NoAnswer]] = {
    Posture.WALL_PUSH_UP: _wall,
    Posture.PUSH_UP: _push_up,
    Posture.KNEE_PUSH_UP: _push_up,
    Posture.ARCHER_PUSH_UP: _push_up,
    Posture.ONE_ARM_PUSH_UP: _push_up,
    Posture.PLANCHE_LEAN: _planche_lean,
    Posture.PIKE_PUSH_UP: _pike,
    Posture.ROW: _row,
    Posture.HANDS_ONLY: _hands_only,
    Posture.SHIFTED_HANDS: _shifted_hands,
    Posture.ONE_HAND_ONLY: _hands_only,
    **dict.fromkeys(_LEVERS, _lever),
    **dict.fromkeys(_SITS, _sit),
    Posture.V_SIT: _v_sit,
}
