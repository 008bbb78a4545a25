"""The shape of a coach's own exercise as it is typed."""

import unicodedata
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, cast

from django import forms

from clients.enum_columns import choices_of
from coaching.library.models import Exercise
from coaching.library.muscle_shares_field import MaybeEmpty, MuscleSharesField, ticks
from coaching.library.number_fields import EitherMark, decimal_input
from coaching.library.own_exercise_checks import Surroundings, Values, faults_of
from coaching.rules.plan import (
    Chain,
    EquipmentKind,
    JointAction,
    JointStress,
    Laterality,
    Level,
    LoadKind,
    Measure,
    Pattern,
    Plane,
    Posture,
)

CHOOSE = {"required": "Nothing is chosen. Choose one."}
_JOINTS = {"compound": True, "single": False}
_COORDINATION = ("1 very simple", "2 simple", "3 moderate", "4 demanding", "5 very demanding")
_LOADS = (
    (LoadKind.NONE.value, "none: nothing is added to the body"),
    (LoadKind.ADDED.value, "added: a load comes on top of the body"),
    (LoadKind.EXTERNAL.value, "external: the load alone counts"),
    (LoadKind.ASSISTED.value, "assisted: help is taken off the body"),
)


def _segments(label: str, choices: list[tuple[str, str]], **more: Any) -> forms.ChoiceField:
    """One of a few words, all of them in sight."""
    widget = forms.RadioSelect(attrs={"class": "segments"})
    return forms.ChoiceField(
        label=label, choices=choices, widget=widget, error_messages=CHOOSE, **more
    )


class _Share(EitherMark, MaybeEmpty, forms.DecimalField):
    """A percentage that may be left out where a posture or the load says it."""


class _Whole(forms.IntegerField):
    """A whole number that keeps what was typed, even when it is none."""

    def __init__(self, label: str, *, max_value: int, unit: str = "", **more: Any) -> None:
        super().__init__(
            label=label,
            required=False,
            min_value=0 if unit else 1,
            max_value=max_value,
            widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
            error_messages={
                "invalid": f"Write a whole number up to {max_value}{unit}.",
                "min_value": f"Write a whole number from %(limit_value)s to {max_value}{unit}.",
                "max_value": f"Write %(limit_value)s{unit} or less.",
            },
            **more,
        )


class OwnExerciseForm(forms.Form):
    """Everything a coach can say of an exercise of their own."""

    use_required_attribute = False

    name = forms.CharField(
        max_length=100,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "required": "It has no name. Write one.",
            "max_length": "%(show_value)s characters are too many. Shorten it to %(limit_value)s.",
        },
    )
    pattern = _segments("Pattern", choices_of(Pattern))
    multi_joint = forms.TypedChoiceField(
        label="Joints",
        choices=[("compound", "compound"), ("single", "single joint")],
        coerce=_JOINTS.__getitem__,
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        error_messages=CHOOSE,
    )
    plane = _segments(
        "Plane",
        [*choices_of(Plane)[:-1], (Plane.NONE.value, "no plane")],
        help_text="Compound pushes and pulls have one.",
    )
    chain = _segments(
        "Kinetic chain",
        choices_of(Chain),
        help_text="Closed: hands or feet are fixed and the body moves.",
    )
    laterality = _segments(
        "Sides", choices_of(Laterality), help_text="Unilateral: a set is done twice."
    )
    level = _segments("Offered from", choices_of(Level))
    complexity = forms.TypedChoiceField(
        label="To coordinate",
        choices=[(number, words) for number, words in enumerate(_COORDINATION, start=1)],
        coerce=int,
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        error_messages=CHOOSE,
        help_text="Within a session the hardest comes first.",
    )
    measure = _segments(
        "Counted in",
        [(Measure.REPS.value, "repetitions"), (Measure.SECONDS.value, "seconds of a hold")],
    )
    tempo = forms.CharField(
        label="Usual tempo",
        max_length=14,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        help_text="Lower, pause, lift, pause: 3-0-1-0. A hold is 0-1-0-0.",
        error_messages={
            "required": "It has no tempo. Write four counts such as 3-0-1-0.",
            "max_length": "That is too long. Write four counts such as 3-0-1-0.",
        },
    )
    load_kind = forms.ChoiceField(
        label="Load", choices=_LOADS, widget=forms.RadioSelect, error_messages=CHOOSE
    )
    share_percent = _Share(
        label="Share of body weight [%]",
        min_value=0,
        max_value=100,
        decimal_places=1,
        widget=decimal_input(),
        help_text=(
            "What the muscles move of it: a push-up about 70 %, a dip 100 %, a dumbbell curl 0 %. "
            "With a posture it may stay empty: a middle body’s share is taken."
        ),
        error_messages={
            "invalid": "This is no number. Write one from 0 to 100, such as 64.5.",
            "min_value": "Less than nothing is moved by no one. Write 0 or more.",
            "max_value": "More than the whole body cannot be. Write 100 or less.",
            "max_decimal_places": "One decimal place is enough. Write it such as 64.5.",
        },
    )
    posture = forms.ChoiceField(
        label="Posture",
        required=False,
        choices=[("", "none: use the share"), *choices_of(Posture)],
        help_text="With one, the share is estimated from each client's own body.",
    )
    hands_cm = _Whole("Hands or bar above the floor [cm]", max_value=300, unit=" cm")
    feet_cm = _Whole("Feet above the floor [cm]", max_value=300, unit=" cm")
    muscles = MuscleSharesField(
        label="One set counts",
        help_text="Direct: the main mover, counted 1. Indirect: it assists, counted 0.5.",
    )
    joint_actions = ticks(
        "Joint actions",
        choices_of(JointAction),
        error_messages={"required": "None is ticked. Tick what moves, or what is held."},
        help_text="They decide what it is paired with across the spine.",
    )
    joint_stresses = ticks(
        "It asks of the joints",
        choices_of(JointStress),
        may_be_empty=True,
        help_text=(
            "A client whose joint limit says “avoid” is never offered an exercise that is ticked "
            "here. What you leave out, the tool cannot spare anyone."
        ),
    )
    asks_nothing = forms.BooleanField(
        label="It asks nothing of the joints that a joint limit speaks of", required=False
    )
    equipment = ticks(
        "It needs, all at once",
        choices_of(EquipmentKind),
        may_be_empty=True,
        help_text="A floor, a wall and a towel are always there. Nothing ticked: it needs no more.",
    )
    cues = forms.CharField(
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="One a line, two or three are best. The client reads them on the phone.",
    )
    caution = forms.CharField(
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="When to take care or leave it out. No diagnosis.",
    )
    ladder = forms.ChoiceField(required=False)
    rung = _Whole("Rung", max_value=30, help_text="1 is the easiest.")

    def __init__(self, *args: Any, around: Surroundings, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.around = around
        ladders = [(key, f"{one.name}, {one.last} rungs") for key, one in around.ladders.items()]
        cast("forms.ChoiceField", self.fields["ladder"]).choices = [("", "none"), *ladders]

    def clean_name(self) -> str:
        """A name without doubled spaces."""
        return " ".join(unicodedata.normalize("NFC", self.cleaned_data["name"]).split())

    def clean_cues(self) -> list[str]:
        """One cue a line; empty lines are left out."""
        lines = (" ".join(line.split()) for line in self.cleaned_data["cues"].splitlines())
        return [line for line in lines if line]

    def clean_caution(self) -> str:
        """One paragraph."""
        return " ".join(self.cleaned_data["caution"].split())

    def clean(self) -> dict[str, Any]:
        """Say everything that does not fit together, at once."""
        data = super().clean() or {}
        for fault in faults_of(cast("Values", data), self.around):
            self.add_error(fault.field, fault.message)
        return data

    def values(self) -> Values:
        """What the services write."""
        return cast("Values", self.cleaned_data)


def blank() -> Mapping[str, Any]:
    """What a new exercise starts from: the usual tempo, repetitions, both sides."""
    return {
        "tempo": "3-0-1-0",
        "measure": Measure.REPS.value,
        "laterality": Laterality.BILATERAL.value,
    }


def typed_of(row: Exercise) -> dict[str, Any]:
    """An exercise with its shares and ladder fetched, as it would be typed."""
    same = ("name", "pattern", "plane", "chain", "laterality", "level", "complexity", "measure")
    more = ("tempo", "load_kind", "posture", "joint_actions", "joint_stresses", "equipment")
    return {
        **{column: getattr(row, column) for column in (*same, *more)},
        "multi_joint": "compound" if row.multi_joint else "single",
        "share_percent": f"{Decimal(row.body_share) * 100:.1f}".removesuffix(".0"),
        "hands_cm": row.hands_cm or None,
        "feet_cm": row.feet_cm or None,
        "muscles": {share.muscle: share.share for share in row.muscle_shares.all()},
        "asks_nothing": row.coach_id is not None and not row.joint_stresses,
        "cues": "\n".join(row.cues),
        "caution": row.caution,
        "ladder": row.ladder.key if row.ladder else "",
        "rung": row.rung,
    }
