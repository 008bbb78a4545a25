"""What the page of the next block shows."""

from django.urls import reverse

from sessions.next_block_reading import NextReading


def address(client):
    return reverse("sessions:next-block", args=[client.pk])


def reading_of(page) -> NextReading:
    """What the page rests on; there is a block to make it from."""
    assert page.reading is not None
    reading: NextReading = page.reading
    return reading


def lines_of(page):
    return [line for session in page.preview.sessions for line in session.lines]


def decided(page):
    """The lines that are decided about, each once."""
    return [line for line in lines_of(page) if not line.same_as]
