"""What the guide holds: sections for coaches and for clients, with the numbers they speak of."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from coaching.library.pages_sources import value_in_words
from coaching.rules import log_numbers, numbers, return_numbers
from coaching.rules.red_flags import RED_FLAGS, RedFlag
from coaching.rules.review_order import ORDER, TIES, OrderPart


@dataclass(frozen=True)
class Section:
    """One section: its anchor, its title and who reads it; its text is the template so named."""

    anchor: str
    title: str
    for_clients: bool = False

    @property
    def template(self) -> str:
        """The template that holds the text."""
        return f"library/guide/_{self.anchor}.html"


SECTIONS = (
    Section("care", "When to stop and refer", for_clients=True),
    Section("client", "A new client"),
    Section("block", "Writing a block"),
    Section("loads", "What an exercise loads"),
    Section("phone", "Logging on the phone", for_clients=True),
    Section("monday", "Monday: the review"),
    Section("notes", "Notes and answers", for_clients=True),
    Section("signals", "What the signals mean"),
    Section("deload", "A light week"),
    Section("keys", "Keyboard"),
    Section("backups", "Backups"),
    Section("words", "Words", for_clients=True),
)

_SPOKEN_OF = {
    "deload_share": numbers.DELOAD_SHARE,
    "deload_from": numbers.DELOAD_DUE_FROM,
    "deload_until": numbers.DELOAD_DUE_UNTIL,
    "deload_days": numbers.DELOAD_DAYS_SHORTEST,
    "return_reserve": return_numbers.RETURN_RESERVE,
    "return_days": return_numbers.RETURN_DAYS,
    "return_sure": return_numbers.RETURN_SURE,
    "return_least": return_numbers.RETURN_LEAST,
    "pain_limit": numbers.PAIN_LIMIT,
    "pacing_drop": numbers.PACING_DROP,
    "effort_sessions": log_numbers.EFFORT_SESSIONS,
    "stall_exposures": numbers.STALL_EXPOSURES,
    "sets_low": numbers.WEEKLY_SETS_LOW,
    "sets_high": numbers.WEEKLY_SETS_HIGH,
    "indirect_share": numbers.INDIRECT_SHARE,
    "balance": numbers.BALANCE_TOLERANCE,
}


@dataclass(frozen=True)
class GuidePage:
    """The sections for whoever reads, and the numbers of the rules as they are now."""

    sections: tuple[Section, ...]
    numbers: Mapping[str, str]
    data_folder: Path
    order: tuple[OrderPart, ...] = ORDER
    ties: str = TIES
    red_flags: tuple[RedFlag, ...] = RED_FLAGS


def guide_page(*, for_coach: bool) -> GuidePage:
    """The guide of a coach, or the part of it that is for clients; no query."""
    return GuidePage(
        sections=tuple(one for one in SECTIONS if for_coach or one.for_clients),
        numbers={word: value_in_words(number)[0] for word, number in _SPOKEN_OF.items()},
        data_folder=Path(settings.DATA_DIR),
    )
