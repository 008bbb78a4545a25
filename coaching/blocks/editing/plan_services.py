"""Writes that put a whole plan into the working copy: an edit that was kept, or an older version."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from clients.models import User
from coaching.blocks.editing.draft_services import DraftEdited, after, edited_now, stale
from coaching.blocks.editing.opening import Opened, made, opened
from coaching.blocks.editing.working_copy import appended
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockVersion, KeptEdit
from coaching.blocks.snapshots import Snapshot

ON_TOP, INSTEAD, LET_GO = "on top", "instead", "let go"


def put_on_top(*, kept: KeptEdit, revision: int, today: date, by: User) -> DraftEdited:
    """Put a kept edit to the plan as it is now.

    Raises BlockError when it no longer goes there, and Stale when the plan has moved on again;
    either way it stays kept.
    """
    with transaction.atomic():
        now = opened(kept.block, today, locked=True)
        if now.revision == revision:
            _decided(kept, ON_TOP)
            return edited_now(now, kept.act, today, by)
    raise stale(now, revision)


def use_instead(*, kept: KeptEdit, revision: int, today: date, by: User) -> DraftEdited:
    """Put the plan as it was in the window of a kept edit in the place of what is there now."""
    with transaction.atomic():
        now = opened(kept.block, today, locked=True)
        if now.revision == revision:
            _decided(kept, INSTEAD)
            act = {"act": "use-instead", "kept": str(kept.pk)}
            return _put(now, kept.plan, act, f"The plan of the other window: {kept.what}", by)
    raise stale(now, revision)


@transaction.atomic
def let_go(*, kept: KeptEdit) -> None:
    """Decide against a kept edit; the record of it stays."""
    _decided(kept, LET_GO)


def go_back(*, version: BlockVersion, revision: int, today: date, by: User) -> DraftEdited:
    """Put the plan of a version into the working copy; what is past or begun stays."""
    with transaction.atomic():
        now = opened(version.block, today, locked=True)
        if now.revision == revision:
            act = {"act": "go-back", "version": str(version.number)}
            what = f"Back to version {version.number}: {version.what}"
            return _put(now, version.snapshot, act, what, by)
    raise stale(now, revision)


def _put(now: Opened, plan: Snapshot, act: dict[str, str], what: str, by: User) -> DraftEdited:
    wanted = now.settle(plan, now.base)
    if wanted == now.plan:
        message = "The plan is like that already; nothing is changed."
        raise BlockError(message)
    row = made(now)
    appended(row, wanted, act=act, what=what, by=by)
    return after(now, row, what)


def _decided(kept: KeptEdit, decision: str) -> None:
    waiting = KeptEdit.objects.filter(pk=kept.pk, decided_at__isnull=True)
    if not waiting.update(decided_at=timezone.now(), decision=decision):
        message = "This is decided already."
        raise BlockError(message)
