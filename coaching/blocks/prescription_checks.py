"""What no session can hold, whoever asks for it."""

from collections.abc import Mapping
from typing import Any

from coaching.blocks.editing.values import LONGEST_SET, MOST_SETS
from coaching.blocks.errors import BlockError
from coaching.rules.plan import Tempo


def check_prescription(fields: Mapping[str, Any]) -> None:
    """Refuse values that no session can hold, naming the field and the remedy."""
    targets = fields.get("targets")
    if targets is not None and not 1 <= len(targets) <= MOST_SETS:
        message = f"Sets: {len(targets)} is not between 1 and {MOST_SETS}."
        raise BlockError(message)
    if targets is not None and not all(1 <= t <= LONGEST_SET for t in targets):
        message = f"Targets: each set needs a number from 1 to {LONGEST_SET}."
        raise BlockError(message)
    if "tempo" in fields:
        try:
            Tempo.parse(fields["tempo"])
        except ValueError as error:
            raise BlockError(str(error)) from error
