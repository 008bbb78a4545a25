"""A block's plan as it stands in the rows, read by one query, so that it is of one moment."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Any

from django.db.models import Exists, Subquery

from coaching.blocks.models import Block, BlockVersion, KeptEdit, Week
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData

_WEEK = ("starts_on", "kind")
_SESSION = tuple(
    f"planned_sessions__{name}" for name in ("uid", "name", "on", "locked", "started_at")
)
_PAIR = tuple(f"planned_sessions__pairs__{name}" for name in ("pk", "letter", "part", "locked"))
_LINE = tuple(
    f"planned_sessions__pairs__prescriptions__{name}"
    for name in (
        *("uid", "exercise", "exercise__name", "targets", "load_kg", "tempo", "rest_s", "rir"),
    )
)
_ORDER = (
    "starts_on",
    *("planned_sessions__on", "planned_sessions__position"),
    "planned_sessions__pairs__position",
    "planned_sessions__pairs__prescriptions__position",
)
_SESSION_AT = len(_WEEK)
_PAIR_AT = _SESSION_AT + len(_SESSION)
_LINE_AT = _PAIR_AT + len(_PAIR)
_END = _LINE_AT + len(_LINE)


@dataclass(frozen=True)
class Standing:
    """A plan as it stands: ``begun`` are the uids of its sessions in which a set is logged.

    ``version`` is the row id of its newest version, ``number`` that one's number (0 without
    any), ``has_kept`` whether an edit of it waits for a decision.
    """

    snapshot: Snapshot
    begun: frozenset[str]
    version: int | None
    number: int
    has_kept: bool


def snapshot_of(block: Block) -> Snapshot:
    """The block as it stands in the rows; 1 query."""
    return _plan(list(_rows(block)))


def snapshots_of(blocks: Collection[int]) -> dict[int, Snapshot]:
    """Several blocks as they stand in the rows, by row id; those without a week lack; 1 query."""
    found = Week.objects.filter(block__in=blocks).order_by("block_id", *_ORDER)
    rows = found.values_list(*_WEEK, *_SESSION, *_PAIR, *_LINE, "block_id").iterator()
    return {block: _plan(list(own)) for block, own in groupby(rows, itemgetter(_END))}


def standing_of(block: Block) -> Standing:
    """The same, with what working copies start from; 1 query."""
    versions = BlockVersion.objects.filter(block=block).order_by("-number")
    kept = KeptEdit.objects.filter(block=block, decided_at__isnull=True)
    rows = list(
        _rows(
            block,
            newest=Subquery(versions.values("pk")[:1]),
            newest_number=Subquery(versions.values("number")[:1]),
            has_kept=Exists(kept),
        )
    )
    version, number, has_kept = rows[0][_END:]
    sessions = (row[_SESSION_AT:_PAIR_AT] for row in rows)
    begun = frozenset(str(uid) for uid, *_, started_at in sessions if started_at)
    return Standing(_plan(rows), begun, version, number or 0, has_kept)


def _rows(block: Block, **also: Any) -> Iterator[tuple[Any, ...]]:
    found = Week.objects.filter(block=block).annotate(**also).order_by(*_ORDER)
    return found.values_list(*_WEEK, *_SESSION, *_PAIR, *_LINE, *also).iterator()


def _plan(rows: Sequence[tuple[Any, ...]]) -> Snapshot:
    weeks: list[WeekData] = [
        {"starts_on": starts_on.isoformat(), "kind": kind, "sessions": _sessions(list(of_week))}
        for (starts_on, kind), of_week in groupby(rows, itemgetter(slice(_SESSION_AT)))
    ]
    return {"weeks": weeks}


def _sessions(rows: Sequence[tuple[Any, ...]]) -> list[SessionData]:
    sessions: list[SessionData] = []
    for head, of_session in groupby(rows, itemgetter(slice(_SESSION_AT, _PAIR_AT))):
        uid, name, on, locked, _ = head
        if uid is None:
            continue
        data: SessionData = {
            "uid": str(uid),
            "name": name,
            "on": on.isoformat(),
            "pairs": _pairs(list(of_session)),
        }
        if locked:
            data["locked"] = True
        sessions.append(data)
    return sessions


def _pairs(rows: Sequence[tuple[Any, ...]]) -> list[PairData]:
    pairs: list[PairData] = []
    for head, of_pair in groupby(rows, itemgetter(slice(_PAIR_AT, _LINE_AT))):
        pk, letter, part, locked = head
        if pk is None:
            continue
        lines = [_line(row[_LINE_AT:_END]) for row in of_pair]
        data: PairData = {"letter": letter, "part": part, "lines": [ln for ln in lines if ln]}
        if locked:
            data["locked"] = True
        pairs.append(data)
    return pairs


def _line(values: tuple[Any, ...]) -> Line | None:
    uid, exercise, name, targets, load_kg, tempo, rest_s, rir = values
    if uid is None:
        return None
    return {
        "uid": str(uid),
        "exercise": exercise,
        "name": name,
        "targets": list(targets),
        "load_kg": float(load_kg),
        "tempo": tempo,
        "rest_s": rest_s,
        "rir": rir,
    }
