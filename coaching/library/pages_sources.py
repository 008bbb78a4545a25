"""What the page of sources shows: every number of the trade and where it comes from."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from coaching.rules import body_numbers
from coaching.rules.all_numbers import all_numbers, all_tables
from coaching.rules.register import Number, NumberKind, NumberTable
from coaching.rules.sources import SOURCES, Certainty, Source

Entry = Number | NumberTable

# By how an entry's name begins; the first that fits decides.
_TOPICS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Pain and health", ("PAIN_", "HARD_SET_", "ADULT_")),
    (
        "Sets a week",
        (
            *("DIRECT_", "INDIRECT_", "WORKING_", "WEEKLY_", "BALANCE_", "OPPOSED_"),
            *("SPACING_", "VOLUME_"),
        ),
    ),
    ("The session and its clock", ("WARM_UP_", "SET_UP_", "TEMPO_")),
    ("Strength from repetitions", ("ONE_RM_", "RESERVE_", "PULL_UP_", "TYPICAL_", "HOLD_STRENGTH")),
    (
        "Targets and steps",
        (
            *("PRIMARY_", "SUPPLEMENTARY_", "ISOLATION_", "PREHAB_", "HOLD_", "MOST_"),
            *("LOAD_JUMP", "JUMP_", "MISSES_"),
        ),
    ),
    ("Loads and equipment", ("LOAD_", "BAND_", "POUND", "BODY_WEIGHT_")),
    ("Ability", ("ABILITY_", "SET_", "LOST_", "LOG_DOUBT", "DOUBT_")),
    ("Ladders and goals", ("PLACE_",)),
    ("Light week", ("DELOAD_",)),
    (
        "Signals",
        (
            *("LIGHTER_", "HEAVIER_", "LOG_MISTAKE", "RECENT_", "USUAL_", "ABSENCE_", "SHARED_"),
            *("FALL_", "FALLS_", "OWN_FALL", "EFFORT_", "STALL_", "PROGRESS_"),
            *("PACING_", "REVIEW_", "TREND_", "MISTAKE_", "NOISE_", "JUDGED_", "MISSED_"),
            *("COPIED_", "LIKELY_", "FALSE_ALARMS_", "WATCHFULNESS"),
        ),
    ),
)
_BODY = "Bodyweight loads"
_MOST_PADDED = 3
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
    source: Source
    source_label: str
    certainty: str


@dataclass(frozen=True)
class TableLine:
    """One row of a table: its name, its values in words, and where they come from."""

    title: str
    values: tuple[str, ...]
    source: Source
    source_label: str
    certainty: str


@dataclass(frozen=True)
class TableRow:
    """A table of numbers; ``one_source`` when all its rows rest on the same text."""

    anchor: str
    table: NumberTable
    lines: tuple[TableLine, ...]
    one_source: TableLine | None


@dataclass(frozen=True)
class NumberGroup:
    """Numbers and tables about the same thing."""

    title: str
    rows: tuple[NumberRow, ...]
    tables: tuple[TableRow, ...]


@dataclass(frozen=True)
class Choice:
    """One kind of number, or one certainty, as a filter; no word means all of them.

    ``query`` is the address that chooses it and keeps the other filter.
    """

    word: str
    title: str
    meaning: str
    count: int
    is_chosen: bool
    query: str


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

    kinds: tuple[Choice, ...]
    certainties: tuple[Choice, ...]
    meanings: tuple[Choice, ...]
    groups: tuple[NumberGroup, ...]
    sources: tuple[SourceRow, ...]
    count: int


def kind_asked(word: str) -> NumberKind | None:
    """The kind that an address names, or none for all.

    >>> kind_asked("house-choice").value, kind_asked("")
    ('house choice', None)
    """
    return {_word(kind): kind for kind in NumberKind}.get(word)


def certainty_asked(word: str) -> Certainty | None:
    """The certainty that an address names, or none for all.

    >>> certainty_asked("memory").value, certainty_asked("hearsay")
    ('from memory', None)
    """
    return {_word(one): one for one in Certainty}.get(word)


def sources_page(kind: NumberKind | None = None, certainty: Certainty | None = None) -> SourcesPage:
    """Every entry of the registers, or those of one kind and certainty; no query."""
    entries: dict[str, Entry] = {**all_numbers(), **all_tables()}
    of_kind = {name: one for name, one in entries.items() if kind in {None, one.kind}}
    sure = {name: one for name, one in entries.items() if _is_as_sure(one, certainty)}
    shown = {name: one for name, one in of_kind.items() if name in sure}
    kinds = _kinds(sure.values(), kind, certainty)
    certainties = _certainties(of_kind.values(), kind, certainty)
    chosen = [one for one in (*kinds, *certainties) if one.is_chosen and one.meaning]
    cited = Counter(key for one in entries.values() for key in _keys(one))
    return SourcesPage(
        kinds=kinds,
        certainties=certainties,
        meanings=tuple(chosen or (one for one in kinds if one.meaning)),
        groups=_groups(shown),
        sources=tuple(
            SourceRow(
                source, CERTAINTY_MEANINGS[source.certainty], address(source), cited[source.key]
            )
            for source in sorted(SOURCES.values(), key=lambda one: one.citation.casefold())
        ),
        count=len(shown),
    )


def value_in_words(number: Number) -> tuple[str, str]:
    """A value and its unit; shares are said in percent.

    >>> from coaching.rules.numbers import DELOAD_SHARE
    >>> value_in_words(DELOAD_SHARE)
    ('40 %', 'of usual reps')
    """
    if number.unit == "share" or number.unit.startswith("share of "):
        return f"{_digits(number.value * 100)} %", number.unit.removeprefix("share").strip()
    unit = re.sub(r"^(set|point)s\b", r"\1", number.unit) if number.value <= 1 else number.unit
    return _digits(number.value), unit


def address(source: Source) -> str:
    """Where the DOI of a citation leads, or an empty text when it names none.

    >>> address(SOURCES["iversen-2021"])
    'https://doi.org/10.1007/s40279-021-01490-1'
    """
    found = re.search(r"\bdoi (10\.\S+)", source.citation)
    return f"https://doi.org/{found.group(1).rstrip('.;,')}" if found else ""


def source_label(source: Source) -> str:
    """A short name for a citation: its first author and the year.

    >>> source_label(SOURCES["acsm-2009"]), source_label(SOURCES["de-leva-1996"])
    ('Ratamess 2009', 'de Leva 1996')
    """
    year = re.search(r"-(\d{4})$", source.key)
    if year is None:
        return source.key.replace("-", " ")
    author = re.match(r"((?:[a-z]+ )*)(\S+)", source.citation)
    name = author.group() if author else source.key
    return f"{name} {year.group(1)}"


def _digits(value: float) -> str:
    """A value as it is read: all digits that were published, with a true minus sign.

    >>> _digits(0.45359237), _digits(-7.91), _digits(3700 / 36)
    ('0.45359237', '−7.91', '102.777778')
    """
    return f"{value:.9g}".replace("-", "−")


def _column(values: Iterable[float]) -> list[str]:
    """The values of a column, with as many decimals as the longest when that is what was printed.

    >>> _column([43.1, 79, 43.95]), _column([3700 / 36, 101.3])
    (['43.10', '79.00', '43.95'], ['102.777778', '101.3'])
    """
    words = [_digits(value) for value in values]
    decimals = max(len(word.partition(".")[2]) for word in words)
    if decimals > _MOST_PADDED:
        return words
    return [f"{float(word.replace('−', '-')):.{decimals}f}".replace("-", "−") for word in words]


def _keys(entry: Entry) -> set[str]:
    """The sources that an entry rests on; a table may rest on several."""
    if isinstance(entry, Number):
        return {entry.source_key}
    return {entry.source_of(row).key for row in entry.rows}


def _sureness(entry: Entry) -> set[Certainty]:
    return {SOURCES[key].certainty for key in _keys(entry)}


def _is_as_sure(entry: Entry, certainty: Certainty | None) -> bool:
    return certainty is None or certainty in _sureness(entry)


def _kinds(
    entries: Iterable[Entry], chosen: NumberKind | None, certainty: Certainty | None
) -> tuple[Choice, ...]:
    listed = list(entries)
    counts = Counter(one.kind for one in listed)
    return _choices(
        {_word(kind): (kind.value, KIND_MEANINGS[kind], counts[kind]) for kind in NumberKind},
        len(listed),
        _word(chosen),
        lambda word: _query(kind=word, certainty=_word(certainty)),
    )


def _certainties(
    entries: Iterable[Entry], kind: NumberKind | None, chosen: Certainty | None
) -> tuple[Choice, ...]:
    listed = list(entries)
    counts = Counter(sure for one in listed for sure in _sureness(one))
    return _choices(
        {_word(one): (one.value, CERTAINTY_MEANINGS[one], counts[one]) for one in Certainty},
        len(listed),
        _word(chosen),
        lambda word: _query(kind=_word(kind), certainty=word),
    )


def _choices(
    words: Mapping[str, tuple[str, str, int]],
    total: int,
    chosen: str,
    query: Callable[[str], str],
) -> tuple[Choice, ...]:
    return tuple(
        Choice(word, title, meaning, count, word == chosen, query(word))
        for word, (title, meaning, count) in {"": ("all", "", total), **words}.items()
    )


def _query(**words: str) -> str:
    asked = "&".join(f"{name}={word}" for name, word in words.items() if word)
    return f"?{asked}" if asked else ""


def _word(choice: NumberKind | Certainty | None) -> str:
    return choice.name.lower().replace("_", "-") if choice else ""


def _groups(entries: Mapping[str, Entry]) -> tuple[NumberGroup, ...]:
    titles = [*(title for title, _ in _TOPICS), _BODY, _OTHER]
    return tuple(
        group
        for title in titles
        if (group := _group(title, {n: e for n, e in entries.items() if _topic(n) == title}))
    )


def _group(title: str, entries: Mapping[str, Entry]) -> NumberGroup | None:
    rows = tuple(_row(n, one) for n, one in entries.items() if isinstance(one, Number))
    tables = tuple(_table(n, one) for n, one in entries.items() if isinstance(one, NumberTable))
    return NumberGroup(title, rows, tables) if entries else None


def _topic(name: str) -> str:
    if hasattr(body_numbers, name):
        return _BODY
    return next((title for title, begins in _TOPICS if name.startswith(begins)), _OTHER)


def _anchor(name: str) -> str:
    return f"number-{name.lower().replace('_', '-')}"


def _row(name: str, number: Number) -> NumberRow:
    value, unit = value_in_words(number)
    source = number.source
    sure = CERTAINTY_MEANINGS[source.certainty]
    return NumberRow(_anchor(name), value, unit, number, source, source_label(source), sure)


def _table(name: str, table: NumberTable) -> TableRow:
    columns = [_column(values) for values in zip(*table.rows.values(), strict=True)]
    lines = tuple(
        TableLine(
            row,
            values,
            table.source_of(row),
            source_label(table.source_of(row)),
            CERTAINTY_MEANINGS[table.source_of(row).certainty],
        )
        for row, values in zip(table.rows, zip(*columns, strict=True), strict=True)
    )
    return TableRow(_anchor(name), table, lines, lines[0] if len(_keys(table)) == 1 else None)
