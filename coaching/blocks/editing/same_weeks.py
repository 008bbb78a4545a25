"""Which week of one plan is which of another: weeks move on when one is put in before them."""

from coaching.blocks.snapshots import Snapshot, WeekData


def same_weeks(before: Snapshot, after: Snapshot) -> dict[int, int]:
    """The index of each week of ``after`` that ``before`` holds too, with its index there.

    A week is the same when it holds most of its sessions, else, where none of its sessions is
    known, when it starts on the same day and nothing else claims that.
    """
    where = {s["uid"]: i for i, week in enumerate(before["weeks"]) for s in week["sessions"]}
    claims = sorted(
        (
            (-_shared(week, where, old), new, old)
            for new, week in enumerate(after["weeks"])
            for old in {where[s["uid"]] for s in week["sessions"] if s["uid"] in where}
        ),
    )
    found: dict[int, int] = {}
    for _, new, old in claims:
        if new not in found and old not in found.values():
            found[new] = old
    starts = {week["starts_on"]: i for i, week in enumerate(before["weeks"])}
    for new, week in enumerate(after["weeks"]):
        same_day = starts.get(week["starts_on"])
        if new not in found and same_day is not None and same_day not in found.values():
            found[new] = same_day
    return found


def _shared(week: WeekData, where: dict[str, int], old: int) -> int:
    return sum(where.get(session["uid"]) == old for session in week["sessions"])
