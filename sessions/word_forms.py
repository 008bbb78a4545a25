"""What a coach writes under Words."""

from django import forms

from sessions.word_models import LONGEST_WORD


class WordForm(forms.Form):
    """A word to the client."""

    prefix = "word"
    text = forms.CharField(
        max_length=LONGEST_WORD,
        label="Write to the client",
        help_text="Shown on the client's page of today until it was seen.",
        widget=forms.Textarea(attrs={"rows": 3}),
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
