"""Loads in words, as pages show them: whole numbers with a range, each on its own scale."""

from dataclasses import dataclass, replace

from coaching.library.chosen_client import ChosenClient
from coaching.library.confidence_words import sure_of
from coaching.rules.body import Body
from coaching.rules.bodyweight_load import body_load
from coaching.rules.bodyweight_scales import (
    BodyLoad,
    Family,
    Scale,
    Setting,
    arms_length_kg,
)
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import EquipmentKind, Exercise, LoadKind, Posture

FAMILIES: dict[Posture, Family] = {
    Posture.WALL_PUSH_UP: Family.PUSH_UP,
    Posture.PUSH_UP: Family.PUSH_UP,
    Posture.KNEE_PUSH_UP: Family.PUSH_UP,
    Posture.ARCHER_PUSH_UP: Family.PUSH_UP,
    Posture.ONE_ARM_PUSH_UP: Family.PUSH_UP,
    Posture.PLANCHE_LEAN: Family.LEVER,
    Posture.PIKE_PUSH_UP: Family.PIKE,
    Posture.ROW: Family.ROW,
    Posture.HANDS_ONLY: Family.HANDS_ONLY,
    Posture.SHIFTED_HANDS: Family.HANDS_ONLY,
    Posture.ONE_HAND_ONLY: Family.HANDS_ONLY,
    Posture.TUCK_LEVER: Family.LEVER,
    Posture.ADVANCED_TUCK_LEVER: Family.LEVER,
    Posture.ONE_LEG_LEVER: Family.LEVER,
    Posture.STRADDLE_LEVER: Family.LEVER,
    Posture.HALF_LAY_LEVER: Family.LEVER,
    Posture.FULL_LEVER: Family.LEVER,
    Posture.TUCK_SIT: Family.SIT,
    Posture.ONE_LEG_L_SIT: Family.SIT,
    Posture.L_SIT: Family.SIT,
    Posture.V_SIT: Family.SIT,
}
"""The family of a posture, also where no client is chosen or there is no answer."""

SCALES = {Family.LEVER: Scale.SHOULDERS, Family.SIT: Scale.HIPS}
"""The scale of a family; kilograms at the hands for all others."""

ONE_ARM = frozenset(
    {Posture.ARCHER_PUSH_UP, Posture.ONE_ARM_PUSH_UP, Posture.SHIFTED_HANDS, Posture.ONE_HAND_ONLY}
)
"""Where the working arm is told by twice what it carries."""

_AS_IT_STANDS = Setting()
_WHERE = {Scale.SHOULDERS: "at the shoulders", Scale.HIPS: "at the hips"}

_HELD = frozenset({EquipmentKind.DUMBBELLS, EquipmentKind.KETTLEBELLS, EquipmentKind.BARBELL})
_NOTHING_LEFT = "The help is as large as what the hands carry, or larger: nothing is left on them."


@dataclass(frozen=True)
class Bar:
    """Where value and range stand on the axis of their family [% of its length]."""

    value: float
    low: float
    width: float


@dataclass(frozen=True)
class LoadWords:
    """One load of one client in words; a ``reason`` alone when there is no answer."""

    client: str = ""
    figure: str = ""
    where: str = ""
    range: str = ""
    also: str = ""
    share: str = ""
    confidence: str = ""
    sure: str = ""
    source: str = ""
    meaning: str = ""
    note: str = ""
    reason: str = ""
    bar: Bar | None = None


def family_of(exercise: Exercise) -> Family | None:
    """The family that an exercise's load may be compared in; none when it is not computed."""
    return FAMILIES[exercise.posture] if exercise.posture else None


def scale_of(family: Family) -> Scale:
    """The scale on which a family's loads are told."""
    return SCALES.get(family, Scale.HANDS)


def load_for(exercise: Exercise, one: ChosenClient) -> BodyLoad | NoAnswer | None:
    """What the exercise as the library has it loads of a client; none when it is not computed."""
    if exercise.posture is None:
        return None
    if isinstance(one.body, NoAnswer):
        return one.body
    setting = Setting(hands_cm=exercise.hands_cm, feet_cm=exercise.feet_cm)
    return body_load(exercise.posture, one.body, setting)


def short_load(exercise: Exercise, one: ChosenClient | None) -> str:
    """A load short enough for a list; empty without a client or an answer."""
    found = load_for(exercise, one) if one else None
    if not isinstance(found, BodyLoad):
        return ""
    if exercise.load_kind is LoadKind.ASSISTED:
        return f"{_figure(found)} − help"
    in_one = exercise.posture in ONE_ARM
    return f"{found.value / 2:.0f} kg, 1 arm" if in_one else _figure(found)


def usual_words(exercise: Exercise) -> str:
    """What an exercise loads of anybody, from the usual share of body weight."""
    if not exercise.body_share:
        external = exercise.load_kind is LoadKind.EXTERNAL
        alone = "the load that is lifted counts alone"
        return alone if external else "hardly any body weight, not computed"
    whole = exercise.body_share == 1
    share = "all" if whole else f"about {exercise.body_share * 100:.0f} %"
    family = family_of(exercise)
    if family is None:
        held = exercise.load_kind is LoadKind.ADDED and _HELD & set(exercise.equipment)
        more = " and the load that is held" if held else ", not computed"
        return f"{share} of body weight{more}"
    if scale_of(family) is Scale.HIPS:
        return "the weight of the legs; choose a client for N·m at the hips"
    ends = {
        exercise.posture in ONE_ARM: ", most or all of it on one",
        scale_of(family) is Scale.SHOULDERS: "; choose a client for N·m at the shoulders",
    }
    return f"{share} of body weight on the hands{ends.get(True, '')}"


def load_words(
    exercise: Exercise,
    one: ChosenClient,
    found: BodyLoad | NoAnswer | None,
    *,
    most: float = 0,
    setting: Setting = _AS_IT_STANDS,
) -> LoadWords:
    """A load in words, with its bar when ``most``, the end of its family's axis, is given."""
    words = LoadWords(client=one.client.name)
    if found is None:
        return replace(words, reason=usual_words(exercise))
    if isinstance(found, NoAnswer) or one.known is None or exercise.posture is None:
        reason = found.reason if isinstance(found, NoAnswer) else one.in_words
        return replace(words, reason=reason)
    sure = sure_of(exercise.posture, found)
    return replace(
        words,
        figure=_figure(found),
        where=_WHERE.get(found.scale, ""),
        range=_range(found),
        also=_also(found, one.known),
        share=_share(exercise.posture, found, one.known, setting),
        confidence=sure.word,
        sure=sure.meaning,
        source=sure.source,
        meaning=found.meaning,
        note=_NOTHING_LEFT if _is_nothing_left(found, setting) else "",
        bar=_bar(found, most) if most else None,
    )


def _figure(found: BodyLoad) -> str:
    unit = "kg" if found.scale is Scale.HANDS else "N·m"
    return f"{found.value:.0f} {unit}"


def _range(found: BodyLoad) -> str:
    low, high = f"{found.low:.0f}", f"{found.high:.0f}"
    return f"{low}–{high}" if low != high else ""


def _also(found: BodyLoad, body: Body) -> str:
    if found.scale is not Scale.SHOULDERS:
        return ""
    return f"like {arms_length_kg(found.value, body):.0f} kg at arm’s length"


def _is_nothing_left(found: BodyLoad, setting: Setting) -> bool:
    return found.scale is Scale.HANDS and setting.help_kg > 0 and found.value == 0


def _share(posture: Posture, found: BodyLoad, body: Body, setting: Setting) -> str:
    if found.scale is Scale.HIPS or found.share is None or _is_nothing_left(found, setting):
        return ""
    if posture in ONE_ARM:
        low, high = (f"{end / 2 / body.mass_kg * 100:.0f}" for end in (found.low, found.high))
        ends = low if low == high else f"{low}–{high}"
        return f"{found.value / 2:.0f} kg or {ends} % of body weight on the working arm"
    share = "all" if found.share == 1 else f"{found.share * 100:.0f} %"
    whole = f"{share} of body weight on the hands"
    if setting.added_kg or setting.help_kg:
        return f"of the body alone: {whole}"
    if found.scale is not Scale.SHOULDERS or posture is Posture.FULL_LEVER:
        return whole
    full = body_load(Posture.FULL_LEVER, body, Setting())
    if isinstance(full, NoAnswer):
        return whole
    return f"{whole}; {found.value / full.value * 100:.0f} % of a full lever"


def _bar(found: BodyLoad, most: float) -> Bar:
    value, low, high = (
        round(part / most * 100, 1) for part in (found.value, found.low, found.high)
    )
    return Bar(value, low, max(0.8, round(high - low, 1)))


def compared(load: BodyLoad, before: BodyLoad, name: str) -> str:
    """What the loads of a rung and one below it, of one family, say of their order."""
    if load.scale is not Scale.HANDS:
        return ""
    if load.value == before.value and load.low == load.high:
        return f"The same load as {name}: what is harder about it is not the load."
    if load.low <= before.value <= load.high:
        return f"About equal in load to {name}: the difference is smaller than the range."
    return f"Less load than {name}." if load.value < before.value else ""


def supports(exercise: Exercise) -> str:
    """The heights of hands and feet in words; empty on the floor."""
    hands = "bar" if exercise.posture is Posture.ROW else "hands"
    heights = ((hands, exercise.hands_cm), ("feet", exercise.feet_cm))
    return ", ".join(f"{what} at {height} cm" for what, height in heights if height)
