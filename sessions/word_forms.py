"""What a coach writes under Words."""

from django import forms

from sessions.word_models import LONGEST_WORD
from sessions.word_templates import open_placeholder


def nothing_is_open(text: str) -> None:
    """Refuse a word in which a template was not filled in."""
    found = open_placeholder(text)
    if found:
        message = f"Write something in the place of {found} first."
        raise forms.ValidationError(message)


class WordForm(forms.Form):
    """A word to the client."""

    prefix = "word"
    text = forms.CharField(
        max_length=LONGEST_WORD,
        label="Write to the client",
        help_text="Shown on the client's page of today until it was seen.",
        widget=forms.Textarea(attrs={"rows": 3}),
        validators=[nothing_is_open],
    )


class PrivateNoteForm(forms.Form):
    """A note that only the coach sees."""

    prefix = "private"
    text = forms.CharField(
        max_length=LONGEST_WORD,
        label="Private note",
        help_text="For you only: no page of the client holds it.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class TemplateForm(forms.Form):
    """A wording to use again."""

    name = forms.CharField(max_length=60, label="Name")
    text = forms.CharField(
        max_length=LONGEST_WORD, label="Wording", widget=forms.Textarea(attrs={"rows": 4})
    )
