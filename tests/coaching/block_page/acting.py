"""What a coach does on the block's page, as the page does it."""

from django.urls import reverse
from django.utils import timezone

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.snapshots import lines_of
from tests.conftest import signed_in

PART = {"HX-Request": "true"}


def open_page(coach, block, query="?week=1"):
    return signed_in(coach).get(reverse("blocks:block", args=[block.pk]) + query)


def act(coach, block, to="edit-block", *, shown="1", revision=None, headers=None, **fields):
    """Post an act as the page does."""
    today = block.client.local_date(timezone.now())
    known = draft_of(block, today).revision if revision is None else revision
    url = reverse(f"blocks:{to}", args=[block.pk])
    sent = {"revision": known, "shown": shown, **fields}
    return signed_in(coach).post(url, sent, headers=PART if headers is None else headers)


def change(coach, block, line, **fields):
    more = {"act": "change-line", "line": line.uid, "reach": "onward", **fields}
    return act(coach, block, **more)


def plan_of(block):
    return draft_of(block, block.client.local_date(timezone.now())).snapshot


def lines(block):
    return [one for _, one in lines_of(plan_of(block))]
