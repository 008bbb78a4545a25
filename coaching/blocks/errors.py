"""What the services of blocks may refuse."""

from collections.abc import Mapping


class BlockError(Exception):
    """A block cannot be changed like that; the message names why and the remedy."""


class FieldsError(BlockError):
    """What was typed is wrong; ``by_field`` says of every field why, and the remedy."""

    def __init__(self, by_field: Mapping[str, str]) -> None:
        super().__init__(" ".join(by_field.values()))
        self.by_field = by_field
