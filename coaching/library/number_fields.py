"""Numbers as coaches write them: with a decimal point or a decimal comma."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

_NUMBER = re.compile(r"-?(?:\d+(?:[.,]\d*)?|[.,]\d+)")


class EitherMark(forms.Field):
    """Reads 12,5 as 12.5 and refuses whatever is no plain number."""

    def to_python(self, value: Any) -> Any:
        """What was typed with a point, as the kind of number it stands beside reads it."""
        text = str(value).strip() if value is not None else ""
        if text and not _NUMBER.fullmatch(text):
            raise ValidationError(self.error_messages["invalid"], code="invalid")
        return super().to_python(text.replace(",", "."))


class FloatEntry(EitherMark, forms.FloatField):
    """A number with any decimals."""


def decimal_input() -> forms.TextInput:
    """An input for such a number; one of the type number would drop the comma in silence."""
    return forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
