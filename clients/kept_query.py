"""Queries that are written into SQL once, and asked again with other numbers."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import islice
from threading import local
from typing import Any, NamedTuple, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.models import BigIntegerField, Model, QuerySet
from django.db.models.sql.compiler import SQLCompiler

_STANDS_IN = 30_001
"""The first number that stands for one to come: it fits into the narrowest of columns."""
_Model = TypeVar("_Model", bound=Model)


class _Written(NamedTuple):
    sql: str
    values: Sequence[Any]
    compiler: SQLCompiler
    converters: dict[int, Any]


class _OfThread(local):
    """What a thread has written: a compiler belongs to the connection of its thread."""

    def __init__(self) -> None:
        self.by_count: dict[int, _Written] = {}


class KeptQuery:
    """A query of which only the numbers change, for what is asked for at every edit.

    Writing it costs the ORM several times what the database needs to answer it. Nothing but its
    text is kept, one for each count of numbers: every call asks the database.
    """

    def __init__(self, write: Callable[..., QuerySet[Any, Any]]) -> None:
        """Keep what writes the query; it takes the numbers one by one and puts each in as it is."""
        self._write = write
        self._here = _OfThread()

    def rows(self, *numbers: int) -> list[Sequence[Any]]:
        """The columns of each row, in the order of the queryset; 1 query."""
        if max(numbers) > BigIntegerField.MAX_BIGINT:
            return []  # No column holds it.
        written = self._written(len(numbers))
        given = dict(enumerate(numbers, start=_STANDS_IN))
        with connections[DEFAULT_DB_ALIAS].cursor() as cursor:
            cursor.execute(written.sql, [given.get(one, one) for one in written.values])
            return list(written.compiler.apply_converters(cursor.fetchall(), written.converters))

    def _written(self, count: int) -> _Written:
        found = self._here.by_count.get(count)
        if found is None:
            query = self._write(*range(_STANDS_IN, _STANDS_IN + count)).query
            compiler = query.get_compiler(using=DEFAULT_DB_ALIAS)
            sql, values = compiler.as_sql()
            columns = [column for column, *_ in compiler.select[: compiler.col_count]]
            converters = compiler.get_converters(columns)
            found = self._here.by_count[count] = _Written(sql, values, compiler, converters)
        return found


def next_in(row: Iterator[Any], model: type[_Model]) -> _Model:
    """The instance whose columns come next in a row."""
    names = _columns(model)
    return model.from_db(DEFAULT_DB_ALIAS, names, list(islice(row, len(names))))


@cache
def _columns(model: type[Model]) -> list[str]:
    return [one.attname for one in model._meta.concrete_fields]  # noqa: SLF001 - documented
