"""Reading the shared TOML files: every fault names the file, the entry, the field and a remedy."""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from coaching.rules.plan import Tempo

Word = TypeVar("Word", bound=StrEnum)


class CatalogueError(ValueError):
    """A shared file cannot be read; the message says where, and how to mend it."""


@dataclass(frozen=True)
class Entry:
    """One table of a TOML file, and the place that an error names.

    ``place`` reads like ``push.toml, exercise “push-up”``.
    """

    place: str
    table: dict[str, object]

    def fault(self, field: str, trouble: str, remedy: str) -> CatalogueError:
        """The error for one field, in three parts: where, what, remedy."""
        return CatalogueError(f"{self.place}, field “{field}”: {trouble}. {remedy}")

    def allow_only(self, fields: Collection[str]) -> None:
        """Refuse a field that nobody reads: most likely it is misspelt."""
        for field in self.table:
            if field not in fields:
                remedy = f"Remove it or use one of: {', '.join(sorted(fields))}."
                raise self.fault(field, "it is not known", remedy)

    def has(self, field: str) -> bool:
        """Whether the field is written at all."""
        return field in self.table

    def text(self, field: str) -> str:
        """A text that is not empty."""
        value = self._value(field)
        if not isinstance(value, str) or not value.strip():
            raise self.fault(field, f"{value!r} is not a text", 'Write words in quotes: "…".')
        return value

    def flag(self, field: str) -> bool:
        """Yes or no."""
        value = self._value(field)
        if not isinstance(value, bool):
            raise self.fault(field, f"{value!r} is not a yes or no", "Write true or false.")
        return value

    def number(self, field: str, lowest: float, highest: float) -> float:
        """A number between two bounds, both allowed."""
        value = self._value(field)
        in_range = isinstance(value, int | float) and not isinstance(value, bool)
        if not in_range or not lowest <= float(str(value)) <= highest:
            remedy = f"Write a number from {lowest:g} to {highest:g}."
            raise self.fault(field, f"{value!r} does not fit", remedy)
        return float(str(value))

    def whole(self, field: str, lowest: int, highest: int) -> int:
        """A whole number between two bounds, both allowed."""
        value = self._value(field)
        if not isinstance(value, int) or isinstance(value, bool) or not lowest <= value <= highest:
            remedy = f"Write a whole number from {lowest} to {highest}."
            raise self.fault(field, f"{value!r} does not fit", remedy)
        return value

    def wholes(self, field: str, lowest: int, highest: int) -> tuple[int, ...]:
        """A list of whole numbers, each between two bounds."""
        return tuple(
            Entry(f"{self.place}, item {number}", {field: value}).whole(field, lowest, highest)
            for number, value in enumerate(self._list(field), start=1)
        )

    def tempo(self, field: str) -> str:
        """Four counts, written the way the trade writes them."""
        written = self.text(field)
        try:
            return str(Tempo.parse(written))
        except ValueError:
            remedy = "Write four counts such as 3-0-1-0 or 3-1-X-0."
            raise self.fault(field, f"“{written}” is no tempo", remedy) from None

    def word(self, field: str, words: type[Word]) -> Word:
        """One of the trade's fixed words."""
        return self._as_word(field, self._value(field), words)

    def words(self, field: str, words: type[Word]) -> tuple[Word, ...]:
        """A list of the trade's fixed words, each at most once."""
        found = tuple(self._as_word(field, value, words) for value in self._list(field))
        if len(set(found)) != len(found):
            raise self.fault(field, "a word stands there twice", "Write each word once.")
        return found

    def texts(self, field: str) -> tuple[str, ...]:
        """A list of texts, none of them empty."""
        values = self._list(field)
        if not all(isinstance(value, str) and value.strip() for value in values):
            raise self.fault(field, "not every item is a text", 'Write ["…", "…"].')
        return tuple(str(value) for value in values)

    def shares(self, field: str, words: type[Word]) -> tuple[tuple[Word, float], ...]:
        """A table of fixed words with a share above 0 up to 1 for each."""
        value = self._value(field)
        if not isinstance(value, dict) or not value:
            raise self.fault(field, "it is no table", "Write { chest = 1, triceps = 0.5 }.")
        inner = Entry(f"{self.place}, field “{field}”", {str(k): v for k, v in value.items()})
        return tuple(
            (self._as_word(field, key, words), inner.number(key, 0.01, 1)) for key in inner.table
        )

    def amounts(self, field: str, lowest: int, highest: int) -> tuple[tuple[str, int], ...]:
        """A table of names with a whole number for each."""
        value = self._value(field)
        if not isinstance(value, dict) or not value:
            raise self.fault(field, "it is no table", "Write { pull-up = 8, dip = 8 }.")
        inner = Entry(f"{self.place}, field “{field}”", {str(k): v for k, v in value.items()})
        return tuple((key, inner.whole(key, lowest, highest)) for key in inner.table)

    def entries(self, field: str, called: str) -> tuple["Entry", ...]:
        """The tables of a list, each with its own place: by key, else by name, else by number."""
        found = []
        for number, table in enumerate(self._list(field), start=1):
            if not isinstance(table, dict):
                raise self.fault(field, f"item {number} is no table", f"Write [[{field}]].")
            label = table.get("key") or table.get("name") or table.get("letter") or number
            found.append(Entry(f"{self.place}, {called} “{label}”", table))
        return tuple(found)

    def _value(self, field: str) -> object:
        if field not in self.table:
            raise self.fault(field, "it is missing", "Add it.")
        return self.table[field]

    def _list(self, field: str) -> list[object]:
        value = self._value(field)
        if not isinstance(value, list):
            raise self.fault(field, f"{value!r} is no list", "Put the items in [ ].")
        return value

    def _as_word(self, field: str, value: object, words: type[Word]) -> Word:
        try:
            return words(str(value))
        except ValueError:
            remedy = f"Use one of: {', '.join(words)}."
            raise self.fault(field, f"“{value}” is not known", remedy) from None


def read_file(path: Path) -> Entry:
    """The top table of one TOML file; its place is the file's name."""
    try:
        with path.open("rb") as file:
            return Entry(path.name, tomllib.load(file))
    except FileNotFoundError:
        raise CatalogueError(
            f"{path.name} is missing. Put it back into {path.parent.name}."
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise CatalogueError(f"{path.name} is not valid TOML: {error}. Mend that line.") from None
