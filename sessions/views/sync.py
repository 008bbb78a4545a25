"""Where a phone hands in what it kept: one entry a request, one receipt back."""

import json
from typing import Any

from django.http import Http404, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from clients.access import client_for
from clients.page_or_part import SignedInRequest
from sessions.automatic_steps import step_up_after_entry
from sessions.errors import EntryError
from sessions.services import record_entry

LONGEST_ENTRY = 20_000


@require_POST
@never_cache
def sync(request: SignedInRequest, client_id: int | None = None) -> JsonResponse:
    """Keep one entry; the phone may forget it only after this answer."""
    entry = _entry_of(request)
    try:
        client = client_for(request.user, client_id)
    except Http404:
        # A coach on the browser of a client; an entry to a client of theirs stays a 404.
        if client_id is None and entry and entry.get("client"):
            return _signed_in_as_another()
        raise
    if entry is None:
        return JsonResponse({"error": "This is no entry of a phone.", "uid": None}, status=400)
    if entry.get("client") not in (None, client.pk):
        return _signed_in_as_another()
    try:
        receipt = record_entry(client=client, entry=entry, by=request.user)
    except EntryError as error:
        return JsonResponse({"error": str(error), "uid": str(entry.get("uid"))}, status=422)
    step_up_after_entry(client=client, entry=entry, now=timezone.now())
    told = {"uid": receipt.uid, "revision": receipt.revision}
    return JsonResponse(told if receipt.now is None else {**told, "now": receipt.now})


def _entry_of(request: SignedInRequest) -> dict[str, Any] | None:
    try:
        entry = json.loads(request.body) if len(request.body) <= LONGEST_ENTRY else None
    except (ValueError, RecursionError):
        return None
    return entry if isinstance(entry, dict) else None


def _signed_in_as_another() -> JsonResponse:
    """The page of somebody who has signed out since is still open: its entries wait for them."""
    message = "This phone is signed in as somebody else; sign in again to go on."
    return JsonResponse({"error": message, "uid": None}, status=409)
