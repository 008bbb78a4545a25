"""What the page of a block's versions shows: all of them, and two compared."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from coaching.blocks.editing.compare import differences, in_words
from coaching.blocks.editing.draft_queries import Draft
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import Block, BlockVersion, KeptEdit
from coaching.blocks.pages_conflict import SaidEdit, said
from coaching.blocks.side_by_side import BothWeeks, side_by_side
from coaching.blocks.snapshots import Snapshot, lines_of
from coaching.library.queries import exercise_values

MOST_VERSIONS = 50
NOW, VERSION, KEPT = "now", "v", "kept-"


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One plan that can be compared: the working copy, a version, or what was kept.

    ``key`` names it in the address; ``pk`` is the row of a version, which can be gone back to
    unless the working copy is like it.
    """

    key: str
    name: str
    what: str
    why: str
    by: str
    at: datetime | None
    pk: int | None = None
    is_as_it_is: bool = False


@dataclass(frozen=True)
class VersionsPage:
    """All versions of a block, newest first, and two plans beside each other."""

    block: Block
    draft: Draft
    plans: tuple[PlanLine, ...]
    unpublished: tuple[SaidEdit, ...]
    before: PlanLine | None
    after: PlanLine | None
    weeks: tuple[BothWeeks, ...]
    words: tuple[str, ...]
    """What the later plan has otherwise, each thing told once for all weeks."""
    more: int | None
    """The number below which there are more versions."""

    @property
    def differing(self) -> tuple[BothWeeks, ...]:
        """The weeks in which the two plans differ."""
        return tuple(week for week in self.weeks if week.differs)

    @property
    def alike(self) -> tuple[BothWeeks, ...]:
        """The weeks in which they are the same."""
        return tuple(week for week in self.weeks if not week.differs)


def versions_page(
    block: Block, *, today: date, a: str = "", b: str = "", below: int | None = None
) -> VersionsPage:
    """The versions of a block, ``a`` compared with ``b``; at most 13 queries.

    Without a choice what is unpublished is compared with what the client sees, else the newest
    version with the one before it.
    """
    draft = draft_of(block, today)
    zone = ZoneInfo(block.client.time_zone)
    versions = _versions(block, below)
    as_it_is = versions[0] if versions and below is None and not draft.is_changed else None
    lines = (_version_line(one, zone, is_as_it_is=one is as_it_is) for one in versions)
    plans = [*_kept(block, zone), *lines]
    if draft.is_changed or not versions:
        plans.insert(0, _working_copy(block, draft, zone))
    first, second = _chosen(plans, a, b)
    two = [_plan(block, draft, one) for one in (first, second) if one is not None]
    weeks = _compared(*two) if len(two) == 2 else ()
    words = in_words(differences(*two)) if len(two) == 2 else ()
    return VersionsPage(
        block=block,
        draft=draft,
        plans=tuple(plans),
        unpublished=tuple(said(one, zone) for one in draft.unpublished),
        before=first,
        after=second,
        weeks=weeks,
        words=words,
        more=versions[-1].number if versions and versions[-1].number > 1 else None,
    )


def _versions(block: Block, below: int | None) -> list[BlockVersion]:
    rows = block.versions.select_related("by").defer("snapshot").order_by("-number")
    if below is not None:
        rows = rows.filter(number__lt=below)
    return list(rows[:MOST_VERSIONS])


def _kept(block: Block, zone: ZoneInfo) -> list[PlanLine]:
    rows = KeptEdit.objects.filter(block=block, decided_at__isnull=True).select_related("by")
    return [
        PlanLine(
            key=f"{KEPT}{one.pk}",
            name="Kept, not decided",
            what=one.what,
            why="",
            by=one.by.name if one.by else "nobody known",
            at=one.at.astimezone(zone),
        )
        for one in rows.defer("plan", "act", "meanwhile").order_by("-at")
    ]


def _version_line(version: BlockVersion, zone: ZoneInfo, *, is_as_it_is: bool) -> PlanLine:
    return PlanLine(
        key=f"{VERSION}{version.number}",
        name=f"Version {version.number}",
        what=version.what,
        why=version.why,
        by=version.by.name if version.by else "nobody known",
        at=version.at.astimezone(zone),
        pk=version.pk,
        is_as_it_is=is_as_it_is,
    )


def _working_copy(block: Block, draft: Draft, zone: ZoneInfo) -> PlanLine:
    last = said(draft.unpublished[-1], zone) if draft.unpublished else None
    count = len(draft.unpublished)
    what = f"{count} change{'s'[: count != 1]}, {block.client.name} does not see them yet"
    if not draft.is_changed:
        what = "As it was made"
    return PlanLine(
        key=NOW,
        name="Working copy",
        what=what,
        why="",
        by=last.by if last else "",
        at=last.at if last else None,
    )


def _chosen(plans: Sequence[PlanLine], a: str, b: str) -> tuple[PlanLine | None, PlanLine | None]:
    """The two plans asked for; otherwise the newest and the one before it."""
    by_key = {one.key: one for one in plans}
    newest = [one for one in plans if not one.key.startswith(KEPT)]
    second = by_key.get(b) or (newest[0] if newest else None)
    others = [one for one in newest if one != second]
    first = by_key.get(a) or (others[0] if others else None)
    return first, second


def _plan(block: Block, draft: Draft, line: PlanLine) -> Snapshot:
    """The plan behind a line; at most 1 query."""
    if line.key == NOW:
        return draft.snapshot
    plan: Snapshot
    if line.pk is not None:
        plan = BlockVersion.objects.values_list("snapshot", flat=True).get(pk=line.pk)
    else:
        kept = KeptEdit.objects.filter(block=block, pk=line.key.removeprefix(KEPT))
        plan = kept.values_list("plan", flat=True).get()
    return plan


def _compared(before: Snapshot, after: Snapshot) -> tuple[BothWeeks, ...]:
    used = {line["exercise"] for plan in (before, after) for _, line in lines_of(plan)}
    return side_by_side(before, after, exercise_values(used))
