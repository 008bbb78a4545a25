"""A word as a phone sends it, for tests of words."""

from uuid import uuid4

from django.utils import timezone

from sessions.services import record_entry


def said(week=None, **fields):
    """A word as a phone sends it."""
    return {
        "kind": "word",
        "uid": str(uuid4()),
        "revision": 1,
        "edit": str(uuid4()),
        "week": week.isoformat() if week else None,
        "text": "Six hours, mostly.",
        "removed": False,
        "done_at": timezone.now().isoformat(),
        **fields,
    }


def keep(client, entry):
    return record_entry(client=client, entry=entry, by=client.user)
