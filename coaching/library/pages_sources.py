"""What the page of sources shows: every number of the trade and where it comes from."""

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from coaching.rules.all_numbers import all_numbers
from coaching.rules.register import Number, NumberKind
from coaching.rules.sources import SOURCES, Certainty, Source

# By how a number's name begins; the first that fits decides.
_TOPICS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Pain", ("PAIN_",)),
    ("Sets a week", ("DIRECT_", "INDIRECT_", "WORKING_", "WEEKLY_", "BALANCE_")),
    ("The session and its clock", ("WARM_UP_", "SET_UP_")),
    ("Strength from repetitions", ("ONE_RM_", "RESERVE_", "PULL_UP_", "TYPICAL_", "HOLD_STRENGTH")),
    (
        "Targets and steps",
        (
            *("PRIMARY_", "SUPPLEMENTARY_", "ISOLATION_", "PREHAB_", "HOLD_", "MOST_"),
            *("LOAD_JUMP", "JUMP_"),
        ),
    ),
    ("Where a client stands on a ladder", ("PLACE_",)),
    ("Deload", ("DELOAD_",)),
    (
        "Signals",
        (
            *("LIGHTER_", "HEAVIER_", "LOG_MISTAKE", "RECENT_", "USUAL_", "ABSENCE_", "SHARED_"),
            *("FALL_", "SESSION_NOISE", "EFFORT_", "STALL_", "PROGRESS_", "PACING_", "REVIEW_"),
        ),
    ),
)
_OTHER = "More"
KIND_MEANINGS = {
    NumberKind.EVIDENCE: "a publication says so",
    NumberKind.CONVENTION: "coaches do so, no published source",
    NumberKind.HOUSE_CHOICE: "chosen here, where nothing else decides",
}
CERTAINTY_MEANINGS = {
    Certainty.VERIFIED: "read in the publication itself",
    Certainty.SECONDARY: "read in another text that cites it",
    Certainty.MEMORY: "written from memory: look it up before you lean on it",
    Certainty.NOT_APPLICABLE: "there is no publication",
}


@dataclass(frozen=True)
class NumberRow:
    """One number in words."""

    anchor: str
    value: str
    unit: str
    number: Number
    source_label: str


@dataclass(frozen=True)
class NumberGroup:
    """Numbers about the same thing."""

    title: str
    rows: tuple[NumberRow, ...]


@dataclass(frozen=True)
class KindChoice:
    """One kind of number as a filter; no word means all of them."""

    word: str
    title: str
    meaning: str
    count: int
    is_chosen: bool


@dataclass(frozen=True)
class SourceRow:
    """One entry of the bibliography."""

    source: Source
    certainty: str
    address: str
    count: int


@dataclass(frozen=True)
class SourcesPage:
    """The numbers that were asked for by topic, and the bibliography."""

    kinds: tuple[KindChoice, ...]
    groups: tuple[NumberGroup, ...]
    sources: tuple[SourceRow, ...]
    count: int


def kind_asked(word: str) -> NumberKind | None:
    """The kind that an address names, or none for all.

    >>> kind_asked("house-choice").value, kind_asked("")
    ('house choice', None)
    """
    return {_word(kind): kind for kind in NumberKind}.get(word)


def sources_page(kind: NumberKind | None = None) -> SourcesPage:
    """Every entry of the registers, or the numbers of one kind; no query."""
    numbers = all_numbers()
    shown = {name: one for name, one in numbers.items() if kind in {None, one.kind}}
    cited = Counter(one.source_key for one in numbers.values())
    return SourcesPage(
        kinds=_kinds(numbers, kind),
        groups=_groups(shown),
        sources=tuple(
            SourceRow(
                source, CERTAINTY_MEANINGS[source.certainty], address(source), cited[source.key]
            )
            for source in sorted(SOURCES.values(), key=lambda one: one.citation.casefold())
        ),
        count=len(numbers),
    )


def value_in_words(number: Number) -> tuple[str, str]:
    """A value and its unit; shares are said in percent.

    >>> from coaching.rules.numbers import DELOAD_SHARE
    >>> value_in_words(DELOAD_SHARE)
    ('40 %', 'of usual reps')
    """
    if number.unit == "share" or number.unit.startswith("share of "):
        return f"{number.value * 100:g} %", number.unit.removeprefix("share").strip()
    unit = re.sub(r"^(set|point)s\b", r"\1", number.unit) if number.value <= 1 else number.unit
    return f"{number.value:g}".replace("-", "−"), unit


def address(source: Source) -> str:
    """Where the DOI of a citation leads, or an empty text when it names none.

    >>> address(SOURCES["iversen-2021"])
    'https://doi.org/10.1007/s40279-021-01490-1'
    """
    found = re.search(r"\bdoi (10\.\S+)", source.citation)
    return f"https://doi.org/{found.group(1).rstrip('.;,')}" if found else ""


def source_label(source: Source) -> str:
    """A short name for a citation: its first author and the year.

    >>> source_label(SOURCES["acsm-2009"])
    'Ratamess 2009'
    """
    year = re.search(r"-(\d{4})$", source.key)
    if year is None:
        return source.key.replace("-", " ")
    return f"{source.citation.split()[0]} {year.group(1)}"


def _kinds(numbers: Mapping[str, Number], chosen: NumberKind | None) -> tuple[KindChoice, ...]:
    counts = Counter(one.kind for one in numbers.values())
    everything = KindChoice("", "all", "", len(numbers), chosen is None)
    return (
        everything,
        *(
            KindChoice(_word(kind), kind.value, meaning, counts[kind], chosen is kind)
            for kind, meaning in KIND_MEANINGS.items()
        ),
    )


def _word(kind: NumberKind) -> str:
    return kind.name.lower().replace("_", "-")


def _groups(numbers: Mapping[str, Number]) -> tuple[NumberGroup, ...]:
    titles = [*(title for title, _ in _TOPICS), _OTHER]
    groups: dict[str, list[NumberRow]] = {title: [] for title in titles}
    for name, number in numbers.items():
        groups[_topic(name)].append(_row(name, number))
    return tuple(NumberGroup(title, tuple(rows)) for title, rows in groups.items() if rows)


def _topic(name: str) -> str:
    return next((title for title, begins in _TOPICS if name.startswith(begins)), _OTHER)


def _row(name: str, number: Number) -> NumberRow:
    value, unit = value_in_words(number)
    anchor = f"number-{name.lower().replace('_', '-')}"
    return NumberRow(anchor, value, unit, number, source_label(number.source))
