"""Shape of the health screen."""

from datetime import date
from typing import Any

from django import forms

from coaching.rules.screening import QUESTIONS, Topic


def field_name(topic: Topic) -> str:
    """The name of a topic's field in the form."""
    return topic.value.replace(" ", "_")


class ScreeningForm(forms.Form):
    """The questions, each yes or no, with a note and the day of clearance."""

    note = forms.CharField(
        label="Note",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Medicines, operations, injuries, what a practitioner said.",
    )
    cleared_on = forms.DateField(
        label="Clearance from a licensed practitioner, seen on",
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "screening_%s", **kwargs})
        self.today = today
        self.fields["cleared_on"].widget.attrs["max"] = today.isoformat()
        for topic, question in QUESTIONS.items():
            self.fields[field_name(topic)] = forms.TypedChoiceField(
                label=question,
                choices=[("yes", "yes"), ("no", "no")],
                coerce=lambda answer: answer == "yes",
                empty_value=None,
                required=topic is not Topic.CONSENT,
                widget=forms.RadioSelect(attrs={"class": "segments"}),
                error_messages={"required": "Answer yes or no."},
            )
        self.order_fields([field_name(topic) for topic in QUESTIONS])

    def clean_cleared_on(self) -> date | None:
        """Refuse a clearance that lies in the future."""
        seen: date | None = self.cleaned_data["cleared_on"]
        if seen is not None and seen > self.today:
            message = "This day lies in the future; write the day you saw the clearance."
            raise forms.ValidationError(message)
        return seen

    def clean(self) -> dict[str, Any]:
        """Ask for a guardian's consent when the client is a minor."""
        data = super().clean() or {}
        if data.get(field_name(Topic.MINOR)) and data.get(field_name(Topic.CONSENT)) is None:
            self.add_error(field_name(Topic.CONSENT), "Answer yes or no: the client is a minor.")
        return data

    def answers(self) -> dict[Topic, bool]:
        """The answers by topic, without those left open."""
        given = {topic: self.cleaned_data.get(field_name(topic)) for topic in Topic}
        return {topic: answer for topic, answer in given.items() if answer is not None}
