"""Every citation the rules rest on, by key.

``certainty`` says how sure we are of the number we took from it: read in the
publication itself, read in a secondary text, or written from memory.
"""

from dataclasses import dataclass
from enum import StrEnum


class Certainty(StrEnum):
    """How the number was checked."""

    VERIFIED = "verified"
    SECONDARY = "secondary text"
    MEMORY = "from memory"
    NOT_APPLICABLE = "no publication"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number or a rule comes from."""

    key: str
    citation: str
    certainty: Certainty


def _by_key(*sources: Source) -> dict[str, Source]:
    table = {source.key: source for source in sources}
    if len(table) != len(sources):
        message = "Two sources share a key."
        raise ValueError(message)
    return table


SOURCES = _by_key(
    Source(
        "common-practice",
        "Common practice among strength and calisthenics coaches; no published source.",
        Certainty.NOT_APPLICABLE,
    ),
    Source(
        "house",
        "A choice of this tool, made where neither a publication nor common practice decides.",
        Certainty.NOT_APPLICABLE,
    ),
    Source(
        "pelland-2024",
        "Pelland JC et al. The resistance training dose-response: meta-regressions of weekly "
        "set volume and frequency. SportRxiv preprint 2024. Fractional counting: direct set 1, "
        "indirect set 0.5.",
        Certainty.VERIFIED,
    ),
    Source(
        "acsm-2009",
        "Ratamess NA et al. Progression models in resistance training for healthy adults. "
        "Med Sci Sports Exerc 2009;41(3):687-708. doi 10.1249/MSS.0b013e3181915670.",
        Certainty.VERIFIED,
    ),
)
