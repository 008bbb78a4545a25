"""Until when a page showed words, as its forms send it back."""

from contextlib import suppress
from datetime import UTC, datetime

from clients.models import Client
from clients.page_or_part import SignedInRequest
from sessions.word_services import coach_has_read


def moment_sent(request: SignedInRequest) -> datetime:
    """Up to when a page showed words. Raises ValueError or OverflowError when it is no moment."""
    return datetime.fromisoformat(request.POST.get("until", "")).astimezone(UTC)


def read_what_was_shown(request: SignedInRequest, client: Client) -> None:
    """Who closes a week has read what the page showed; what came in meanwhile stays unread."""
    with suppress(ValueError, OverflowError):
        coach_has_read(client=client, until=moment_sent(request))
