"""Columns that hold a word of the rules: the choices, and the constraint for them."""

from enum import StrEnum

from django.db import models
from django.db.models import Q


def choices_of(enum: type[StrEnum]) -> list[tuple[str, str]]:
    """The choices of a field whose words stand in the rules."""
    return [(item.value, item.value) for item in enum]


def one_of(field: str, enum: type[StrEnum], name: str) -> models.CheckConstraint:
    """A constraint that a column holds one of those words."""
    return models.CheckConstraint(
        condition=Q(**{f"{field}__in": [item.value for item in enum]}), name=name
    )
