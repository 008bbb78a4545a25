"""The shape of a search in the library."""

from django import forms

from clients.enum_columns import choices_of
from coaching.library.pages_search import Search, equipment_choices
from coaching.rules.plan import JointStress, Level, Muscle, Pattern, Plane


def _or_any(words: list[tuple[str, str]], label: str) -> list[tuple[str, str]]:
    return [("", label), *words]


class SearchForm(forms.Form):
    """What a coach looks for: words, and what must hold of an exercise."""

    words = forms.CharField(
        label="Name, muscle or ladder",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off", "data-key": "/"}),
    )
    pattern = forms.ChoiceField(required=False, choices=_or_any(choices_of(Pattern), "any"))
    plane = forms.ChoiceField(
        required=False,
        choices=[*_or_any(choices_of(Plane)[:-1], "any"), (Plane.NONE.value, "no plane")],
    )
    muscle = forms.ChoiceField(
        label="Direct muscle", required=False, choices=_or_any(choices_of(Muscle), "any")
    )
    level = forms.ChoiceField(
        label="For a client who is",
        required=False,
        choices=_or_any(choices_of(Level), "at any level"),
    )
    equipment = forms.MultipleChoiceField(
        label="Can be done with",
        required=False,
        choices=equipment_choices(),
        widget=forms.CheckboxSelectMultiple,
    )
    avoids = forms.MultipleChoiceField(
        label="Spares",
        required=False,
        choices=choices_of(JointStress),
        widget=forms.CheckboxSelectMultiple,
    )

    def search(self) -> Search:
        """What was asked for; a condition that cannot be read is shown and left out."""
        self.is_valid()
        return Search.of(self.cleaned_data)
