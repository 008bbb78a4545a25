"""Words of a client that call for somebody licensed before training goes on."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coaching.rules.findings import Finding
from coaching.rules.red_flags import caution_of, flags_in, red_flag_finding
from sessions.word_models import Word


def caution_words(text: str) -> str:
    """What a client's words call for when one of them is a warning; else empty."""
    found = flags_in(text)
    return f"Speaks of {', '.join(one.name for one in found)}. {caution_of(found)}" if found else ""


@dataclass(frozen=True, slots=True)
class Said:
    """What a client wrote to the coach on a day, by the client's calendar."""

    on: date
    text: str


def words_of_clients(clients: Collection[Client], since: date) -> Mapping[int, tuple[Said, ...]]:
    """What those clients wrote to the coach since a day, oldest first; 1 query."""
    by_id = {client.pk: client for client in clients}
    rows = Word.objects.filter(
        client__in=by_id, from_client=True, removed_at=None, said_at__date__gte=since
    )
    found: dict[int, list[Said]] = defaultdict(list)
    for client, at, text in rows.order_by("said_at", "pk").values_list("client", "said_at", "text"):
        found[client].append(Said(by_id[client].local_date(at), text))
    return {client: tuple(said) for client, said in found.items()}


def warnings_in(said: Iterable[Said], first: date, last: date) -> tuple[Finding, ...]:
    """A finding for each of these words that is a warning, from the first to the last day."""
    found = (
        red_flag_finding(one.text, on=one.on, about="A message")
        for one in said
        if first <= one.on <= last
    )
    return tuple(one for one in found if one is not None)
