"""The shape of a search in the library."""

from django import forms

from clients.enum_columns import choices_of
from coaching.rules.plan import EquipmentKind, JointStress, Level, Muscle, Pattern, Plane


def _any(words: list[tuple[str, str]], label: str) -> list[tuple[str, str]]:
    return [("", label), *words]


class SearchForm(forms.Form):
    """What a coach looks for: words, and what must hold of an exercise."""

    words = forms.CharField(
        label="Name or muscle",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off", "data-key": "/"}),
    )
    pattern = forms.ChoiceField(required=False, choices=_any(choices_of(Pattern), "any pattern"))
    plane = forms.ChoiceField(required=False, choices=_any(choices_of(Plane), "any plane"))
    muscle = forms.ChoiceField(
        label="Direct muscle", required=False, choices=_any(choices_of(Muscle), "any muscle")
    )
    equipment = forms.ChoiceField(
        label="Uses", required=False, choices=_any(choices_of(EquipmentKind), "any equipment")
    )
    level = forms.ChoiceField(
        label="Up to level", required=False, choices=_any(choices_of(Level), "any level")
    )
    avoids = forms.ChoiceField(
        label="Spares", required=False, choices=_any(choices_of(JointStress), "no joint limit")
    )
