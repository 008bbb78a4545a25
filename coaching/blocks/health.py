"""What the health screen asks before a client trains, where a block is made or published."""

from datetime import date

from clients.models import Client
from clients.queries import screening_answers
from coaching.rules.screening import Caution, cautions, still_open


def open_cautions(client: Client, on: date) -> tuple[Caution, ...]:
    """What nobody settled yet before training on a day, strictest first; no query."""
    found = cautions(screening_answers(client), born_in=client.born_in, year=on.year)
    return still_open(found, cleared=client.cleared_on is not None)
