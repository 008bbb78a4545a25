"""What the services of sessions may refuse."""


class EntryError(Exception):
    """An entry from a phone cannot be kept as it is; the message says how to mend it."""


class ReviewError(Exception):
    """A decision cannot be carried out; the message names why and the remedy."""
