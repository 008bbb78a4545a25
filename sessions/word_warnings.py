"""Words of a client that call for somebody licensed before training goes on."""

import re

from coaching.rules.care import CAUTION, RED_FLAGS


def caution_words(text: str) -> str:
    """What a client's words call for when one of them is a warning; else empty."""
    found = [word for word, pattern in RED_FLAGS if re.search(pattern, text.lower())]
    return f"Speaks of {', '.join(found)}. {CAUTION}" if found else ""
