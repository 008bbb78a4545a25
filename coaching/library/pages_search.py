"""What a coach looks for in the library, and whether an exercise fits."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode

from coaching.library.listed_exercises import ListedExercise
from coaching.rules.plan import EquipmentKind, Level

NO_EQUIPMENT = "nothing"
"""The choice for a client who owns nothing: a floor, a wall and a towel are always there."""

_LEVELS = [level.value for level in Level]
_WORD = re.compile(r"[^\W_]+")
_SHORT = {
    # How the trade writes and says it; common practice, no source.
    "ohp": "overhead press",
    "rdl": "romanian deadlift",
    "hspu": "handstand push up",
    "shrimp": "one leg squat",
}


@dataclass(frozen=True)
class Search:
    """The conditions of a search; an empty one always holds.

    ``equipment`` is all that there is to train with; ``avoids`` are joint stresses
    that an exercise must spare.
    """

    words: str = ""
    pattern: str = ""
    plane: str = ""
    muscle: str = ""
    level: str = ""
    equipment: tuple[str, ...] = ()
    avoids: tuple[str, ...] = ()

    @classmethod
    def of(cls, asked: Mapping[str, object]) -> "Search":
        """The search that a form was filled in with; what is missing asks for nothing."""
        known: dict[str, object] = {}
        for field in fields(cls):
            value = asked.get(field.name) or field.default
            known[field.name] = tuple(value) if isinstance(value, list) else value
        return cls(**known)  # type: ignore[arg-type] # a form's cleaned values have these types

    @property
    def query(self) -> str:
        """The conditions as they stand in an address, empty ones left out.

        >>> Search(words="dip", avoids=("grip",)).query
        'words=dip&avoids=grip'
        """
        asked = {name: value for name, value in vars(self).items() if value}
        return urlencode(asked, doseq=True)

    def conditions(self) -> Iterator[tuple[str, "Search"]]:
        """Each condition that was set, in words, with the search that lacks only it."""
        for field in fields(self):
            value = getattr(self, field.name)
            if value:
                unset: dict[str, Any] = {field.name: field.default}
                wider = replace(self, **unset)
                yield _CONDITIONS[field.name].format(_in_words(value)), wider

    def names(self, row: ListedExercise) -> bool:
        """Whether its words are what the exercise is called, not only what it trains."""
        return says(row.called, self.words)

    def fits(self, row: ListedExercise) -> bool:
        """Whether an exercise holds every condition."""
        return (
            self.pattern in {"", row.pattern}
            and self.plane in {"", row.plane}
            and (not self.level or _LEVELS.index(row.level) <= _LEVELS.index(self.level))
            and not set(self.avoids) & set(row.joint_stresses)
            and (not self.equipment or set(row.equipment) <= set(self.equipment))
            and (not self.muscle or self.muscle in row.direct)
            and (not self.words or says(row.text, self.words))
        )


_CONDITIONS = {
    "words": "the words “{}”",
    "pattern": "the pattern “{}”",
    "plane": "the plane “{}”",
    "muscle": "{} as a direct muscle",
    "level": "the level “{}”",
    "equipment": "the choice of equipment ({})",
    "avoids": "what is to be spared ({})",
}


def equipment_choices() -> list[tuple[str, str]]:
    """Everything a client may own, with nothing at all before it."""
    kinds = [(kind.value, kind.value) for kind in EquipmentKind]
    return [(NO_EQUIPMENT, "no equipment"), *kinds]


def says(text: str, words: str) -> bool:
    """Whether every word begins a word of the text, written with hyphens or without.

    >>> says("Push-up on rings", "PUSHUP ring"), says("Narrow grip", "row")
    (True, False)
    """
    there = _words_of(text)
    return all(
        any(word.startswith(_single(asked)) for word in there)
        for part in folded(words).split()
        for written in _WORD.findall(part)
        for asked in _SHORT.get(_single(written), written).split()
    )


def folded(text: str) -> str:
    """A text without capitals and accents, as it is searched.

    >>> folded("Élévation")
    'elevation'
    """
    letters = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


@lru_cache(maxsize=4096)
def _words_of(text: str) -> frozenset[str]:
    found: set[str] = set()
    for part in folded(text).split():
        pieces = _WORD.findall(part)
        found.update(pieces)
        found.add("".join(pieces))
    return frozenset(found)


def _single(word: str) -> str:
    """A word without the s of its plural: who looks for pull-ups means the pull-up."""
    return word[:-1] if len(word) > 2 and word.endswith("s") else word


def _in_words(value: str | Iterable[str]) -> str:
    return value if isinstance(value, str) else ", ".join(value)
