"""What the library may refuse."""


class LibraryError(Exception):
    """An exercise or ladder cannot be kept; the message names why and the remedy."""
