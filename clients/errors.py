"""What the services of clients may refuse."""


class AccountError(Exception):
    """An account cannot be made or opened like that; the message says the remedy."""


class IntakeError(Exception):
    """What was said of a client cannot be kept; the message names the field."""
