"""What the page of sources shows: every number of the trade and where it comes from."""

from dataclasses import dataclass

from coaching.rules.numbers import Number, NumberKind, all_numbers
from coaching.rules.sources import SOURCES, Source


@dataclass(frozen=True)
class NumberRow:
    """One number in words."""

    name: str
    value: str
    number: Number


@dataclass(frozen=True)
class NumberGroup:
    """The numbers that rest on the same kind of ground."""

    kind: NumberKind
    title: str
    rows: tuple[NumberRow, ...]


@dataclass(frozen=True)
class SourcesPage:
    """All numbers by kind, and the bibliography."""

    groups: tuple[NumberGroup, ...]
    sources: tuple[Source, ...]
    count: int


TITLES = {
    NumberKind.EVIDENCE: "From publications",
    NumberKind.CONVENTION: "Common practice among coaches",
    NumberKind.HOUSE_CHOICE: "Chosen here",
}


def sources_page() -> SourcesPage:
    """Every entry of the registers; no query."""
    numbers = all_numbers()
    groups = tuple(
        NumberGroup(
            kind,
            title,
            tuple(
                NumberRow(name, f"{one.value:g}", one)
                for name, one in sorted(numbers.items(), key=lambda item: item[1].meaning)
                if one.kind is kind
            ),
        )
        for kind, title in TITLES.items()
    )
    sources = tuple(sorted(SOURCES.values(), key=lambda source: source.citation))
    return SourcesPage(groups=groups, sources=sources, count=len(numbers))
