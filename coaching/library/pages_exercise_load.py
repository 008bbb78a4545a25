"""What the page of an exercise shows of loads: the setting asked for and its answers."""

from collections.abc import Mapping
from dataclasses import dataclass

from coaching.library.chosen_client import ChosenClient, ClientChoice
from coaching.library.forms_load import LoadForm
from coaching.library.models import Exercise
from coaching.library.pages_load import (
    LoadWords,
    family_of,
    load_words,
    scale_of,
    usual_words,
)
from coaching.library.pages_strength import StrengthWords, strength_words, why_no_strength
from coaching.library.queries import exercise_value
from coaching.rules import plan
from coaching.rules.bodyweight_load import body_load
from coaching.rules.bodyweight_scales import BodyLoad, Scale, Setting
from coaching.rules.findings import NoAnswer


@dataclass(frozen=True)
class ExerciseLoad:
    """The calculator of one exercise: its form, and its answers when it could be read."""

    form: LoadForm
    usual: str
    scale: str
    load: LoadWords | None
    arrives: str
    no_strength: str
    strength: StrengthWords | None

    @property
    def refused(self) -> bool:
        """Whether something was entered that cannot be."""
        return not self.form.is_valid()


def exercise_load(row: Exercise, choice: ClientChoice, asked: Mapping[str, str]) -> ExerciseLoad:
    """What an exercise loads of the chosen client in the setting asked for; no query."""
    exercise = exercise_value(row)
    family = family_of(exercise)
    scale = scale_of(family) if family else None
    no_strength = why_no_strength(exercise, scale)
    form = LoadForm(exercise, asked, shows_set=not no_strength)
    if not form.is_valid():
        return ExerciseLoad(form, usual_words(exercise), "", None, "", no_strength, None)
    wanted = form.asked()
    one = choice.first
    found = _found(exercise, one, wanted.setting)
    return ExerciseLoad(
        form=form,
        usual=usual_words(exercise),
        scale=scale.value if scale else "",
        load=load_words(exercise, one, found, setting=wanted.setting) if one else None,
        arrives=_arrives(found, form),
        no_strength=no_strength,
        strength=None if no_strength else strength_words(exercise, one, wanted),
    )


def _found(
    exercise: plan.Exercise, one: ChosenClient | None, setting: Setting
) -> BodyLoad | NoAnswer | None:
    if one is None or exercise.posture is None:
        return None
    if isinstance(one.body, NoAnswer):
        return one.body
    return body_load(exercise.posture, one.body, setting)


def _arrives(found: BodyLoad | NoAnswer | None, form: LoadForm) -> str:
    """How much of an added load the hands feel, where that depends on its seat."""
    if not isinstance(found, BodyLoad) or found.scale is not Scale.HANDS:
        return ""
    if "seat" not in form.fields:
        return ""
    return f"Of an added load {found.added_share * 100:.0f} % arrives at the hands."
