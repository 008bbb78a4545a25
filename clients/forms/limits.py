"""Shape of a joint limit."""

from typing import Any

from django import forms

from coaching.rules.joint_limits import LimitAction
from coaching.rules.plan import JointStress

SIDES = [("", "both sides"), ("left", "left"), ("right", "right")]


class JointLimitForm(forms.Form):
    """A loading that the client avoids, regresses or watches."""

    stress = forms.ChoiceField(
        label="Loading",
        choices=[("", "choose"), *((one.value, one.value) for one in JointStress)],
    )
    side = forms.ChoiceField(label="Side", choices=SIDES, required=False)
    action = forms.ChoiceField(
        label="What to do about it",
        choices=[(one.value, one.value) for one in LimitAction],
        initial=LimitAction.AVOID.value,
        widget=forms.RadioSelect(attrs={"class": "segments"}),
        help_text=(
            "Avoid: never offered. Regress: an easier rung is offered. Watch: asked about after "
            "the session."
        ),
    )
    note = forms.CharField(
        label="Note",
        max_length=300,
        required=False,
        help_text="What the client told you. No diagnosis.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "limit_%s", **kwargs})
