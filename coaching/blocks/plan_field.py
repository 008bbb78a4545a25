"""A column that holds a whole plan, read from its text once for as long as it stays the same."""

import json
from collections import OrderedDict
from collections.abc import Sequence
from threading import Lock
from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

KEPT_PLANS = 60


class PlanField(models.JSONField):
    """Plain data as JSON that nobody changes in place: equal text comes back as the same object.

    An edit reads the plan that the edit before it wrote, and most of a block stays as it was: what
    is the same object needs no comparison and is parsed no second time.
    """

    def deconstruct(self) -> tuple[str, str, Sequence[Any], dict[str, Any]]:
        """A JSON column like any other for the database."""
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.JSONField", args, kwargs

    def from_db_value(self, value: Any, expression: Any, connection: BaseDatabaseWrapper) -> Any:
        """The plan of a text."""
        if not isinstance(value, str):
            return super().from_db_value(value, expression, connection)
        found = _kept.get(value)
        return _kept.put(value, json.loads(value)) if found is None else found

    def get_db_prep_value(
        self,
        value: Any,
        connection: BaseDatabaseWrapper,
        prepared: bool = False,  # noqa: FBT001, FBT002 - as Django calls it
    ) -> Any:
        """The text of a plan."""
        written = super().get_db_prep_value(value, connection, prepared=prepared)
        if isinstance(written, str):
            _kept.put(written, value)
        return written


class _Kept:
    """The plans last read or written, by their text."""

    def __init__(self) -> None:
        self._plans: OrderedDict[str, Any] = OrderedDict()
        self._lock = Lock()

    def get(self, text: str) -> Any:
        """The plan of a text, none where it is not kept."""
        with self._lock:
            if text in self._plans:
                self._plans.move_to_end(text)
            return self._plans.get(text)

    def all(self) -> list[tuple[str, Any]]:
        """Every plan that is kept, with its text."""
        with self._lock:
            return list(self._plans.items())

    def put(self, text: str, plan: Any) -> Any:
        """Keep the plan of a text; the one used longest ago makes room."""
        with self._lock:
            self._plans[text] = plan
            self._plans.move_to_end(text)
            while len(self._plans) > KEPT_PLANS:
                self._plans.popitem(last=False)
        return plan


_kept = _Kept()


def kept_plans() -> list[tuple[str, Any]]:
    """The plans that are shared now, each with the text that it must stay like."""
    return _kept.all()
