"""What an edit answers with: the parts of the block's page that changed, and no other."""

from collections.abc import Iterable
from dataclasses import dataclass

from coaching.blocks.editing.places import Edited
from coaching.blocks.pages_block import BlockPage
from coaching.blocks.pages_block_strip import SessionPlace, session_places
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
    places = _places(before, edited.touched) | _places(after, edited.touched)
    shown = session_places(after["weeks"][number - 1])
    return EditAnswer(
        page=page,
        whole=_frame(before, number) != _frame(after, number),
        cards=tuple(card for card in page.sessions if shown[card.uid] in places),
        says=edited.what,
        focus=edited.focus,
        skipped=edited.skipped,
    )


def _places(snapshot: Snapshot, uids: Iterable[str]) -> set[SessionPlace]:
    touched = set(uids)
    return {
        place
        for week in snapshot["weeks"]
        for uid, place in session_places(week).items()
        if uid in touched
    }


def _frame(snapshot: Snapshot, number: int) -> tuple[object, ...]:
    """The weeks of the block and the sessions of one, in their order."""
    weeks = [(week["starts_on"], week["kind"]) for week in snapshot["weeks"]]
    shown = snapshot["weeks"][number - 1 : number]
    sessions = [(one["uid"], one["on"]) for week in shown for one in week["sessions"]]
    return tuple(weeks), tuple(sessions)
