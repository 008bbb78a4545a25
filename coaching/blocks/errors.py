"""What the services of blocks may refuse."""


class BlockError(Exception):
    """A block cannot be changed like that; the message names why and the remedy."""
