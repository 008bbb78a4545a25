"""The shape of what a coach chooses about the tool."""

from django import forms

from coaching.rules.watchfulness import choices


class WatchfulnessForm(forms.Form):
    """One of the budgets of false alarms."""

    false_alarms_a_year = forms.TypedChoiceField(
        label="False alarms per client and year",
        choices=[(f"{one.budget:g}", one.words) for one in choices()],
        coerce=float,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose one of the five.",
            "invalid_choice": "This is none of the five; choose one of them.",
        },
    )
