"""Writes of working copies: edit, undo, redo, publish; each is one transaction."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.db import IntegrityError, transaction
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.editing import opening, stepping, working_copy
from coaching.blocks.editing.acts import Edited, apply_act
from coaching.blocks.editing.compare import differences, in_words
from coaching.blocks.editing.draft_queries import (
    NOBODY,
    Draft,
    EditLine,
    KeptLine,
    draft_row,
    draft_value,
    first_value,
    kept_line,
    kept_lines,
    plan_at,
    plan_now,
    since,
)
from coaching.blocks.editing.opening import Opened, opened
from coaching.blocks.editing.publish_guard import refuse_unfit
from coaching.blocks.editing.sent_acts import Sent, done_before, fields_of, is_own, kept_before
from coaching.blocks.editing.settings_of_acts import refuse_brought_in, setting_for
from coaching.blocks.editing.settling import changed_sessions
from coaching.blocks.editing.values import refuse_unshowable
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockDraft, BlockVersion, KeptEdit
from coaching.blocks.services import hold_block, keep_version
from coaching.blocks.snapshot_writer import write_snapshot
from coaching.blocks.snapshots import Snapshot
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Exercise

MOST_TOLD = 3
LONGEST_WHAT = 200
LONGEST_WHY = 500


@dataclass(frozen=True)
class DraftEdited:
    """A working copy after an edit, the plan before it, and what the edit did.

    ``exercises`` holds by row id what the edit has fetched: none after an undo or a redo; and
    ``joints`` the client's, if it asked for them.
    """

    draft: Draft
    before: Snapshot
    edited: Edited
    exercises: Mapping[int, Exercise]
    joints: Joints | None = None


class Stale(BlockError):  # noqa: N818 - the coach did nothing wrong
    """The plan was changed meanwhile: nothing is overwritten, and the edit is kept."""

    def __init__(self, meanwhile: tuple[EditLine, ...], kept: KeptLine | None) -> None:
        words = "Somebody else, or another window of yours, has changed this block meanwhile."
        super().__init__(f"{words} Your change is kept." if kept else f"{words} Look at it first.")
        self.meanwhile = meanwhile
        self.kept = kept


def draft_of(block: Block, today: date) -> Draft:
    """The working copy of a block; 2 queries, also where nothing was ever edited.

    What was published meanwhile by another way is merged in first, as an edit of its own.
    """
    return opened(block, today).value()


def plan_before(block: Block, revision: int) -> Snapshot | None:
    """The plan before the change that made a revision, none where that is not known; 2 queries."""
    row = draft_row(block)
    return plan_at(block, row, revision - 1) if row else None


def edit_block(
    *,
    block: Block,
    raw: Mapping[str, str],
    revision: int,
    today: date,
    by: User,
    sent: Sent | None = None,
) -> DraftEdited:
    """Put an act to the working copy; the client sees nothing of it.

    Raises BlockError when the act cannot be done, and Stale when the plan was changed since
    that ``revision`` by another window than the one that ``sent`` the act: then it is kept.
    """
    try:
        with transaction.atomic():
            now = opened(block, today, locked=True)
            done = _acted(now, revision, sent, lambda: edited_now(now, raw, today, by, sent))
            if done is not None:
                return done
    except working_copy.MadeMeanwhile:
        now = opened(block, today)
        done = _told_again(now, revision, sent)
        if done is not None:
            return done
    raise _kept(now, raw, revision, today, by, sent)


def _acted(
    now: Opened, revision: int, sent: Sent | None, act: Callable[[], DraftEdited]
) -> DraftEdited | None:
    """Act on the plan that a window saw, or on what it made of that without being told.

    What was done already is told once more; none where the plan has moved on otherwise.
    """
    if now.revision == revision:
        return act()
    again = _told_again(now, revision, sent)
    if again is not None or not is_own(now.row, revision, sent):
        return again
    return _seen_from(now, revision, act())


def _told_again(now: Opened, revision: int, sent: Sent | None) -> DraftEdited | None:
    """What an act did whose answer was lost; none where it was not done."""
    edit = done_before(now.block, sent)
    if edit is None or now.row is None:
        return None
    return _seen_from(now, revision, after(now, now.row, edit.what))


def _seen_from(now: Opened, revision: int, done: DraftEdited) -> DraftEdited:
    """What was done, beside the plan that its window saw last."""
    seen = plan_at(now.block, now.row, revision) or done.before
    touched = changed_sessions(seen, done.draft.snapshot)
    return replace(done, before=seen, edited=replace(done.edited, touched=touched))


def edited_now(
    now: Opened, raw: Mapping[str, str], today: date, by: User, sent: Sent | None = None
) -> DraftEdited:
    """Put an act to a working copy that is open; call it in a transaction."""
    client = now.block.client
    setting = setting_for(now.block, now.plan, raw, today=today, begun=now.begun)
    edited = apply_act(now.plan, raw, setting)
    joints = refuse_brought_in(client, raw, edited)
    row = opening.made(now)
    edit = working_copy.appended(row, edited.snapshot, act=raw, what=edited.what, by=by, sent=sent)
    if now.row is None:
        draft = first_value(row, edit, now.begun, kept=now.has_kept)
    else:
        draft = draft_value(row, now.begun, now.fixed_before)
    return DraftEdited(draft, now.plan, edited, setting.exercises, joints)


@transaction.atomic
def _kept(
    now: Opened,
    raw: Mapping[str, str],
    revision: int,
    today: date,
    by: User,
    sent: Sent | None,
) -> Stale:
    """Keep an act with the plan that its window saw; raises BlockError when it does not go there."""
    block, row = now.block, now.row
    again = kept_before(block, sent)
    if again is not None:
        return Stale((), kept_line(again))
    seen = plan_at(block, row, revision) or now.base
    setting = setting_for(block, seen, raw, today=today, begun=now.begun)
    edited = apply_act(seen, raw, setting)
    meanwhile = since(row, revision) if row else _published_since(block, revision)
    kept = KeptEdit.objects.create(
        block=block,
        by=by,
        revision=revision,
        act=dict(raw),
        what=edited.what[: working_copy.MOST_WORDS],
        plan=edited.snapshot,
        meanwhile=[{"what": one.what, "by": one.by, "at": one.at.isoformat()} for one in meanwhile],
        **fields_of(sent),
    )
    return Stale(meanwhile, kept_line(kept))


def _published_since(block: Block, number: int) -> tuple[EditLine, ...]:
    versions = block.versions.filter(number__gt=number).select_related("by").defer("snapshot")
    return tuple(EditLine(one.what, one.by.name if one.by else NOBODY, one.at) for one in versions)


def undo_edit(
    *, block: Block, revision: int, today: date, by: User, sent: Sent | None = None
) -> DraftEdited:
    """Take the last own edit back, also one that is published: that is still to be published then.

    What was published meanwhile by another way stays in the plan.
    """
    return _moved(block, revision, today, sent, lambda now: _stepped(now, by, sent, back=True))


def redo_edit(
    *, block: Block, revision: int, today: date, by: User, sent: Sent | None = None
) -> DraftEdited:
    """Do again what was undone last."""
    return _moved(block, revision, today, sent, lambda now: _stepped(now, by, sent, back=False))


def _moved(
    block: Block,
    revision: int,
    today: date,
    sent: Sent | None,
    move: Callable[[Opened], DraftEdited],
) -> DraftEdited:
    """Move a working copy on from a revision; Stale, and nothing is kept, where it moved already."""
    with transaction.atomic():
        now = opened(block, today, locked=True)
        done = _acted(now, revision, sent, lambda: move(now))
        if done is not None:
            return done
    raise stale(now, revision)


def _stepped(now: Opened, by: User, sent: Sent | None, *, back: bool) -> DraftEdited:
    if now.row is None:
        message = f"There is nothing to {'undo' if back else 'redo'}."
        raise BlockError(message)
    edit = stepping.stepped(now.row, back=back, by=by, settle=now.settle, sent=sent)
    what = f"{'Undid' if back else 'Done again'}: {edit.what}"
    done = after(now, now.row, what)
    if done.draft.snapshot != now.plan:
        return done
    return after(now, now.row, f"{what} (past or begun by now: the plan stays as it is)")


def after(now: Opened, row: BlockDraft, what: str) -> DraftEdited:
    """What has become of a working copy that was open."""
    draft = draft_value(row, now.begun, now.fixed_before)
    touched = changed_sessions(now.plan, draft.snapshot)
    return DraftEdited(draft, now.plan, Edited(draft.snapshot, what, touched), {})


def stale(now: Opened, revision: int) -> Stale:
    """That a working copy has moved on since a revision."""
    meanwhile = since(now.row, revision) if now.row else _published_since(now.block, revision)
    return Stale(meanwhile, None)


def discard_changes(
    *, block: Block, revision: int, today: date, by: User, sent: Sent | None = None
) -> DraftEdited:
    """Go back to the plan as it is published; this can be undone."""
    return _moved(block, revision, today, sent, lambda now: _discarded(now, by, sent))


def _discarded(now: Opened, by: User, sent: Sent | None) -> DraftEdited:
    if now.row is None or now.plan == now.base:
        message = "Nothing is changed; there is nothing to discard."
        raise BlockError(message)
    what = f"Discarded: {_told(now.base, now.plan)}"
    act = {"act": "discard-changes"}
    working_copy.appended(now.row, now.base, act=act, what=what, by=by, sent=sent)
    now.row.published_revision = now.row.revision
    working_copy.save(now.row)
    working_copy.mark_published(now.row)
    return after(now, now.row, what)


@transaction.atomic
def publish_changes(
    *,
    block: Block,
    by: User,
    today: date,
    why: str = "",
    revision: int | None = None,
    waiting: Collection[int] | None = None,
) -> BlockVersion:
    """Write the working copy into the block as one version; the first time the client sees it.

    ``waiting`` are the kept edits that the coach has seen, where that is known.

    Raises BlockError when nothing is changed, when the plan brings in what the client must
    avoid or lacks the equipment for, starts before today without having been seen, or runs into
    the next block, or an edit was kept that the coach has not seen; and Stale when it was changed
    since ``revision``.
    """
    refuse_unshowable([why], "Why")
    if block.published_at is None:
        # Two drafts of one client are published one after the other: the second is refused.
        Client.objects.select_for_update().get(pk=block.client_id)
    hold_block(block)
    now = opened(block, today, locked=True)
    if revision is not None and revision != now.revision:
        raise stale(now, revision)
    if waiting is not None:
        _refuse_unseen(block, waiting)
    first = block.published_at is None
    if not first and now.plan == now.base:
        message = "Nothing is changed; there is nothing to publish."
        raise BlockError(message)
    refuse_unfit(now, today, first=first)
    what = "Published" if first else _told(now.base, now.plan)[:LONGEST_WHAT]
    if now.plan != now.base:
        # Nothing of a plan that nobody has seen is past yet.
        write_snapshot(block=block, snapshot=now.plan, today=now.fixed_before)
    _mark_block(block, now.plan, first=first)
    try:
        with transaction.atomic():
            version = keep_version(block, by=by, what=what, why=why.strip()[:LONGEST_WHY])
    except IntegrityError as error:
        message = "This block was published in another window at the same moment. Look at it first."
        raise BlockError(message) from error
    if now.row is not None:
        _based_on(now, now.row, version)
    return version


def _refuse_unseen(block: Block, seen: Collection[int]) -> None:
    """Refuse while a change of another window waits that this one was never told of; 1 query."""
    unseen = [one for one in kept_lines(block.pk) if one.pk not in seen]
    if unseen:
        told = "; ".join(f"{one.what} ({one.by})" for one in unseen)
        message = (
            f"Not published: {told} was done in another window meanwhile and waits for a decision. "
            "Decide it, or publish once more without it."
        )
        raise BlockError(message)


def _mark_block(block: Block, plan: Snapshot, *, first: bool) -> None:
    block.starts_on = date.fromisoformat(plan["weeks"][0]["starts_on"])
    if first:
        block.published_at = timezone.now()
    block.save(update_fields=["starts_on", "published_at"])


def _based_on(now: Opened, row: BlockDraft, version: BlockVersion) -> None:
    """After publishing, the list of edits goes on from the plan as it stands in the rows."""
    row.base, row.based_on = version.snapshot, version
    if plan_now(row, now.begun, now.fixed_before) != version.snapshot:
        act, what = {"act": "published"}, "As it stands since it was published"
        working_copy.appended(row, version.snapshot, act=act, what=what, by=version.by)
    row.published_revision = row.revision
    working_copy.save(row)
    working_copy.mark_published(row)


def _told(before: Snapshot, after: Snapshot) -> str:
    """What differs between two plans in one line: A; B; C; and 2 more."""
    words = in_words(differences(before, after))
    more = len(words) - MOST_TOLD
    told = "; ".join(words[:MOST_TOLD])
    return f"{told}; and {more} more" if more > 0 else told or "Changed"
