"""A column that holds a whole plan, read from its text once for as long as it stays the same."""

import json
from collections import OrderedDict
from collections.abc import Sequence
from threading import Lock
from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from coaching.blocks.kept import Kept

KEPT_PLANS = 60
KEPT_SESSIONS = 800


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
        is_plan = isinstance(value, dict) and value.keys() == {"weeks"}
        if is_plan and connection.vendor == "sqlite":
            return _written(value)
        written = super().get_db_prep_value(value, connection, prepared=prepared)
        if isinstance(written, str):
            _kept.put(written, value)
        return written


def _written(plan: dict[str, list[Any]]) -> str:
    """The text of a plan as ``json.dumps`` writes it; each session is written once."""
    text = f'{{"weeks": [{", ".join(_week(one) for one in plan["weeks"])}]}}'
    _kept.put(text, plan)
    return text


def _week(week: Any) -> str:
    if not isinstance(week, dict):
        return json.dumps(week)
    fields = (
        f"{json.dumps(name)}: {_sessions_of(value) if name == 'sessions' else json.dumps(value)}"
        for name, value in week.items()
    )
    return f"{{{', '.join(fields)}}}"


def _sessions_of(sessions: Sequence[Any]) -> str:
    return f"[{', '.join(_session(one) for one in sessions)}]"


def _session(session: Any) -> str:
    return _texts.of(id(session), lambda: (session, json.dumps(session)))[1]


_texts: Kept[tuple[Any, str]] = Kept(KEPT_SESSIONS)
"""Sessions by who they are: nobody changes one, and while it is kept no other has its id."""


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
