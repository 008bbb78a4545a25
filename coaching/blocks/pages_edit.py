"""What an edit answers with: the parts of the block's page that changed, and no other."""

from collections.abc import Iterable
from dataclasses import dataclass

from coaching.blocks.editing.places import Edited
from coaching.blocks.pages_block import BlockPage
from coaching.blocks.pages_block_weeks import SessionCard
from coaching.blocks.snapshots import Snapshot


@dataclass(frozen=True)
class EditAnswer:
    """The page after an edit; ``whole`` when weeks or sessions came, went or changed places."""

    page: BlockPage
    whole: bool
    cards: tuple[SessionCard, ...]
    says: str
    focus: str
    skipped: tuple[str, ...]


def edit_answer(page: BlockPage, before: Snapshot, edited: Edited) -> EditAnswer:
    """Which parts changed between two plans, for the week that is shown."""
    after = page.draft.snapshot
    number = page.week.number
    names = _names(before, edited.touched) | _names(after, edited.touched)
    return EditAnswer(
        page=page,
        whole=_frame(before, number) != _frame(after, number),
        cards=page.cards({one["uid"] for one in page.data["sessions"] if one["name"] in names}),
        says=edited.what,
        focus=edited.focus,
        skipped=edited.skipped,
    )


def _names(snapshot: Snapshot, uids: Iterable[str]) -> set[str]:
    """What those sessions are called: strips go through all of one name."""
    touched = set(uids)
    sessions = (one for week in snapshot["weeks"] for one in week["sessions"])
    return {one["name"] for one in sessions if one["uid"] in touched}


def _frame(snapshot: Snapshot, number: int) -> tuple[object, ...]:
    """The weeks of the block and the sessions of one, in their order."""
    weeks = [(week["starts_on"], week["kind"]) for week in snapshot["weeks"]]
    shown = snapshot["weeks"][number - 1 : number]
    sessions = [(one["uid"], one["on"]) for week in shown for one in week["sessions"]]
    return tuple(weeks), tuple(sessions)
