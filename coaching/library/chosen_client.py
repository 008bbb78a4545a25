"""The client whose loads a page of the library shows, and a second one beside them."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import Http404
from django.utils import timezone

from clients.access import client_of_coach
from clients.models import Client, User
from clients.queries import clients_of
from coaching.library.client_body import body_of
from coaching.rules.body import Body
from coaching.rules.findings import NoAnswer

_NAMES = ("client", "beside")


@dataclass(frozen=True)
class ChosenClient:
    """A client and their body, or why it is not known."""

    client: Client
    body: Body | NoAnswer

    @property
    def known(self) -> Body | None:
        """The body, if it is known."""
        return self.body if isinstance(self.body, Body) else None

    @property
    def in_words(self) -> str:
        """What the estimates start from, or why there are none."""
        if isinstance(self.body, NoAnswer):
            return self.body.reason
        sex = "" if self.client.sex == "unstated" else f", {self.client.sex}"
        return f"{self.client.stature_cm} cm, {self.body.mass_kg:.0f} kg{sex}"

    @property
    def is_named(self) -> bool:
        """Whether those words begin with the client's name already."""
        return self.in_words.startswith(self.client.name)


@dataclass(frozen=True)
class ClientChoice:
    """Who may be chosen, who is, and who stands beside them."""

    clients: tuple[Client, ...]
    chosen: tuple[ChosenClient, ...]

    @property
    def first(self) -> ChosenClient | None:
        """The client whose loads are shown."""
        return self.chosen[0] if self.chosen else None

    @property
    def second(self) -> ChosenClient | None:
        """The client beside them."""
        return self.chosen[1] if len(self.chosen) > 1 else None

    @property
    def keeps(self) -> str:
        """The end of an address that keeps the choice on the next page; empty without one.

        >>> ClientChoice((), ()).keeps
        ''
        """
        asked = zip(_NAMES, (str(one.client.pk) for one in self.chosen), strict=False)
        return KeptChoice(dict(asked)).keeps


@dataclass(frozen=True)
class KeptChoice:
    """A choice that a page without loads hands on unread; the next page looks whose it is."""

    asked: dict[str, str]

    @classmethod
    def of(cls, asked: Mapping[str, str]) -> "KeptChoice":
        """What an address says of clients, numbers only."""
        words = {name: asked.get(name, "") for name in _NAMES}
        return cls({name: word for name, word in words.items() if word.isdecimal()})

    @property
    def query(self) -> str:
        """The choice as it stands in an address; empty without one.

        >>> KeptChoice.of({"client": "3", "beside": "x"}).query
        'client=3'
        """
        return urlencode(self.asked)

    @property
    def keeps(self) -> str:
        """The end of an address that has no other conditions."""
        return f"?{self.query}" if self.asked else ""


def client_choice(coach: User, asked: Mapping[str, str]) -> ClientChoice:
    """The choice that an address makes; 1 query and 1 for each client who is chosen.

    Raises:
        Http404: No such client of this coach.
    """
    clients = tuple(clients_of(coach))
    words = [asked.get(name, "") for name in _NAMES]
    wanted = dict.fromkeys(_client(coach, clients, word) for word in words if word)
    return ClientChoice(
        clients,
        tuple(ChosenClient(one, body_of(one, one.local_date(timezone.now()))) for one in wanted),
    )


def _client(coach: User, clients: tuple[Client, ...], word: str) -> Client:
    # Only what the database can hold as an id is looked for.
    if not (word.isascii() and word.isdigit() and len(word) < 10):
        message = "An address names a client by a number."
        raise Http404(message)
    found = {client.pk: client for client in clients}.get(int(word))
    return found or client_of_coach(coach, int(word))
