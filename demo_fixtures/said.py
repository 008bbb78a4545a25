"""What the invented clients answer to the notes of their coach."""

from datetime import date, datetime, timedelta
from uuid import UUID, uuid5

from clients.models import Client
from sessions.services import record_entry
from sessions.word_services import client_has_seen, coach_has_read

SEEN_AFTER = timedelta(minutes=70)
ANSWERED_AFTER = timedelta(minutes=95)
READ_AFTER = timedelta(hours=9)
OURS = UUID("5f2c8a54-0f0e-4b7e-9a53-8d1f6c1d2b11")


def answer(client: Client, week: date, text: str, sent: datetime, *, is_read: bool) -> None:
    """The client saw the note of a week, and answered it if there is a text."""
    client_has_seen(client=client, until=sent, week=week, at=sent + SEEN_AFTER)
    if not text:
        return
    said = sent + ANSWERED_AFTER
    entry = {
        "kind": "word",
        "uid": str(uuid5(OURS, f"{client.name} {week}")),
        "revision": 1,
        "week": week.isoformat(),
        "text": text,
        "done_at": said.isoformat(),
    }
    record_entry(client=client, entry=entry, by=client.user)
    client.words.filter(said_at=said).update(received_at=said)
    if is_read:
        coach_has_read(client=client, until=said, at=sent + READ_AFTER)
