"""A light week made from a usual one: less work, the same loads, the same exercises.

Sets and repetitions go down, load, frequency and exercises stay, and more is left
in reserve (rogerson-2024 for practice, bosquet-2007 for intensity and frequency kept).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from math import ceil

from coaching.rules.deload_able import Able
from coaching.rules.deload_search import Room, Window, cheapest
from coaching.rules.deload_shares import (
    DeloadChange,
    DeloadProposal,
    MuscleShareLine,
    Slot,
    Wishes,
    muscle_work,
    must_hold,
    proposal_of,
    usual_work,
)
from coaching.rules.numbers import (
    DELOAD_DAYS_LONGEST,
    DELOAD_DAYS_SHORTEST,
    DELOAD_DAYS_USUAL,
    DELOAD_MUSCLE_SETS,
    DELOAD_PREHAB_SHARE,
    DELOAD_REP_FLOOR,
    DELOAD_RESERVE,
    DELOAD_SHARE,
    DELOAD_TOLERANCE,
    HOLD_SECONDS_PER_REP,
)
from coaching.rules.plan import (
    Measure,
    Muscle,
    Pair,
    Part,
    Pattern,
    PlannedSession,
    PlannedWeek,
    Prescription,
    WeekKind,
)

__all__ = ["DeloadChange", "DeloadProposal", "MuscleShareLine", "Wishes", "light_week"]


def light_week(
    usual: PlannedWeek,
    *,
    starts_on: date,
    share: float = DELOAD_SHARE.value,
    keep: frozenset[str] = frozenset(),
    fixed: Mapping[str, tuple[int, ...] | int] | None = None,
    days: int = int(DELOAD_DAYS_USUAL.value),
    wishes: Wishes | None = None,
    able: Mapping[str, Able] | None = None,
) -> DeloadProposal:
    """Write the light week that keeps loads and balance and loses as little as possible.

    Args:
        usual: The week to lighten.
        starts_on: First day of the light week.
        share: Wanted part of the usual repetitions [0-1].
        keep: Keys of exercises that serve a movement goal; they are never dropped.
        fixed: The coach's own wish by prescription key: the sets themselves
            (an empty tuple drops the exercise), or only how many.
        days: Length of the light spell [days], 5 to 10.
        wishes: What the coach wants kept in, and on which days.
        able: What fell short, by prescription key: load and sets are held against it.

    Raises:
        ValueError: When the share, the length or a fixed value is not possible.
    """
    own, wishes, able = fixed or {}, wishes or Wishes(), able or {}
    _check(usual, share, days, own)
    _check_wishes(usual, days, wishes)
    slots = [
        Slot(
            usual=p,
            session=at,
            keep=p.exercise.key in keep,
            fixed=own.get(p.key),
            wished=p.key in wishes.keep,
            able=able.get(p.key),
        )
        for at, session in enumerate(usual.sessions)
        for p in session.prescriptions
        if p.part is not Part.WARM_UP and any(t > 0 for t in p.targets)
    ]
    rooms = _rooms(slots, share)
    found = cheapest(rooms, _windows(slots, rooms, share))
    after = {
        slot.usual.key: _sets_of(slot, room, count, units)
        for slot, room, count, units in zip(slots, rooms, found.sets, found.units, strict=True)
    }
    week = _week(usual, (after, able), starts_on, _days_of(usual, starts_on, days, wishes.on))
    return proposal_of(week, slots, after, share, proven=found.proven)


def _check(
    usual: PlannedWeek, share: float, days: int, fixed: Mapping[str, tuple[int, ...] | int]
) -> None:
    if not 0 < share <= 1:
        raise ValueError(f"A share of {share} is not possible; ask for more than 0 and up to 1.")
    low, high = int(DELOAD_DAYS_SHORTEST.value), int(DELOAD_DAYS_LONGEST.value)
    if not low <= days <= high:
        raise ValueError(f"{days} days are no light spell; choose {low} to {high} days.")
    keys = [p.key for session in usual.sessions for p in session.prescriptions]
    if len(set(keys)) != len(keys):
        raise ValueError("Two prescriptions of the week share a key.")
    for key, wish in fixed.items():
        if key not in keys:
            raise ValueError(f"“{key}” is no prescription of this week.")
        if min((wish,) if isinstance(wish, int) else wish, default=0) < 0:
            raise ValueError(f"Sets below zero were asked for “{key}”; enter 0 or more.")


def _check_wishes(usual: PlannedWeek, days: int, wishes: Wishes) -> None:
    sessions = {session.key for session in usual.sessions}
    lines = {p.key for session in usual.sessions for p in session.prescriptions}
    for key in (*(wishes.keep - lines), *(wishes.on.keys() - sessions)):
        raise ValueError(f"“{key}” is not in this week.")
    for offset in wishes.on.values():
        if not 0 <= offset < days:
            raise ValueError(f"Day {offset + 1} is not within {days} days.")


def _rooms(slots: Sequence[Slot], share: float) -> list[Room]:
    anchors = _anchors(slots)
    return [_room(slot, share, anchor=i in anchors) for i, slot in enumerate(slots)]


def _anchors(slots: Sequence[Slot]) -> set[int]:
    """The first exercise of each session that the coach left open: it always stays."""
    anchors: dict[int, int] = {}
    for i, slot in enumerate(slots):
        if slot.fixed is None:
            anchors.setdefault(slot.session, i)
    return set(anchors.values())


def _room(slot: Slot, share: float, *, anchor: bool) -> Room:
    side = {Pattern.PUSH: 1, Pattern.PULL: -1}.get(slot.usual.exercise.pattern, 0)
    is_hold = slot.usual.exercise.measure is Measure.SECONDS
    per_unit = slot.unit / HOLD_SECONDS_PER_REP.value if is_hold else 1.0
    if isinstance(slot.fixed, tuple):
        own = tuple(t for t in slot.fixed if t > 0)
        # The coach's own seconds need not fit the steps: they are counted one by one.
        per_unit = 1 / HOLD_SECONDS_PER_REP.value if is_hold else 1.0
        n = len(own)
        return Room(own, 0, n, n, 0, n, sum(own), side, per_unit, not is_hold, sum(own))
    caps, least = _caps(slot, share)
    usual_units = sum(t // slot.unit for t in slot.usual.targets)
    part = max(share, DELOAD_PREHAB_SHARE.value) if slot.is_prehab else share
    wanted = part * usual_units
    fewest, most = _set_limits(slot, len(caps), anchor=anchor)
    if most > len(caps):
        caps += (caps[-1],) * (most - len(caps))
    half = ceil(usual_units * DELOAD_PREHAB_SHARE.value) if slot.is_prehab else 0
    return Room(
        caps=caps,
        floor=least,
        min_sets=fewest,
        max_sets=most,
        min_units=half if slot.fixed is None else 0,
        wanted_sets=min(wanted / (sum(caps) / len(caps)), len(caps)),
        wanted_units=wanted,
        side=side,
        reps_per_unit=per_unit,
        counts_reps=not is_hold,
    )


def _set_limits(slot: Slot, usual_sets: int, *, anchor: bool) -> tuple[int, int]:
    if isinstance(slot.fixed, int):
        return slot.fixed, slot.fixed
    if slot.is_prehab:
        return ceil(usual_sets * DELOAD_PREHAB_SHARE.value), usual_sets
    return int(anchor or slot.keep or slot.wished), usual_sets


def _caps(slot: Slot, share: float) -> tuple[tuple[int, ...], int]:
    """The most that each set may hold, largest first, and the least that any may.

    At a kept load more reserve means fewer repetitions, so a set gives up as many as
    its reserve lacks; a large share may need some of them back.
    """
    usual = sorted((t // slot.unit for t in slot.usual.targets if t > 0), reverse=True)
    is_reps = slot.usual.exercise.measure is Measure.REPS
    rir = slot.usual.rir
    lacking = max(0, int(DELOAD_RESERVE.value) - rir) if is_reps and rir is not None else 0
    least = min(ceil(DELOAD_REP_FLOOR.value * usual[-1]), usual[-1] - lacking)
    least = max(1, least)
    back = share + DELOAD_TOLERANCE.value
    caps = tuple(min(t, max(least, t - lacking, ceil(t * back))) for t in usual)
    if slot.able is not None:
        most = max(1, slot.able.most // slot.unit)
        caps, least = tuple(min(cap, most) for cap in caps), min(least, most)
    return caps, least


def _weight(slot: Slot, room: Room, muscle: Muscle) -> float:
    """What one unit of a prescription gives a muscle [fractional reps]."""
    share = sum(m.share for m in slot.usual.exercise.muscles if m.muscle is muscle)
    return share * room.reps_per_unit


def _windows(slots: Sequence[Slot], rooms: Sequence[Room], share: float) -> list[Window]:
    """The week in repetitions, its holds in seconds, and each large muscle."""
    wide = DELOAD_TOLERANCE.value
    rows: list[tuple[list[float], float]] = []
    for measure in Measure:
        of = [float(s.usual.exercise.measure is measure) for s in slots]
        sets = sum(w * s.usual.sets for w, s in zip(of, slots, strict=True))
        if measure is Measure.REPS or sets >= DELOAD_MUSCLE_SETS.value:
            scale = [r.reps_per_unit if measure is Measure.SECONDS else 1.0 for r in rooms]
            rows.append(
                ([w * f for w, f in zip(of, scale, strict=True)], usual_work(slots, measure))
            )
    rows.extend(
        (
            [_weight(s, r, muscle) for s, r in zip(slots, rooms, strict=True)],
            muscle_work(slots, muscle, lambda s: s.usual.targets),
        )
        for muscle in must_hold(slots)
    )
    return [
        Window(tuple(w / total for w in weights), share - wide, share + wide)
        for weights, total in rows
        if total > 0
    ]


def _sets_of(slot: Slot, room: Room, count: int, units: int) -> tuple[int, ...]:
    """Lay the work out over the kept sets as evenly as their caps allow."""
    if isinstance(slot.fixed, tuple):
        return tuple(t for t in slot.fixed if t > 0)
    sets = [room.floor] * count
    for _ in range(units - room.floor * count):
        open_sets = [i for i in range(count) if sets[i] < room.caps[i]]
        sets[min(open_sets, key=lambda i: sets[i])] += 1
    return tuple(t * slot.unit for t in sets)


_Lighter = tuple[Mapping[str, tuple[int, ...]], Mapping[str, Able]]
"""What becomes of each set, and what fell short."""


def _week(
    usual: PlannedWeek,
    after: _Lighter,
    starts_on: date,
    offsets: Sequence[int],
) -> PlannedWeek:
    sessions = (
        replace(session, on=starts_on + timedelta(days=offset), pairs=_pairs(session, after))
        for session, offset in zip(usual.sessions, offsets, strict=True)
    )
    kept = sorted((s for s in sessions if s.pairs), key=lambda s: s.on)
    return replace(usual, kind=WeekKind.DELOAD, starts_on=starts_on, sessions=tuple(kept))


def _days_of(
    usual: PlannedWeek, starts_on: date, days: int, wished: Mapping[str, int]
) -> list[int]:
    """The day of each session: the wished one, else the spread one or the nearest still free."""
    offsets = [(s.on - usual.starts_on).days for s in usual.sessions]
    if usual.starts_on.weekday() != starts_on.weekday():
        # A week of light days from another weekday on: training stays on its weekdays.
        offsets = [
            (s.on - starts_on) % timedelta(weeks=1) // timedelta(days=1) for s in usual.sessions
        ]
    spread = _offsets(offsets, days)
    if not wished:
        return spread
    taken = set(wished.values())
    found: list[int] = []
    for session, offset in zip(usual.sessions, spread, strict=True):
        free = [day for day in range(days) if day not in taken] or range(days)
        nearest = min(free, key=lambda day, at=offset: abs(day - at))
        found.append(wished.get(session.key, nearest))
        taken.add(found[-1])
    return found


def _offsets(usual: Sequence[int], days: int) -> list[int]:
    """Spread the days of training over the light spell, in order and on different days."""
    inside = [min(max(offset, 0), 6) for offset in usual]
    different = sorted(set(inside))
    moved: dict[int, int] = {}
    for place, offset in enumerate(different):
        earliest = moved[different[place - 1]] + 1 if place else 0
        latest = days - (len(different) - place)
        moved[offset] = max(0, min(max(offset * days // 7, earliest), latest, days - 1))
    return [moved[offset] for offset in inside]


def _pairs(session: PlannedSession, lighter: _Lighter) -> tuple[Pair, ...]:
    pairs: list[Pair] = []
    after, able = lighter
    for pair in session.pairs:
        light = tuple(
            _lightened(p, after[p.key], able.get(p.key)) if p.key in after else p
            for p in pair.prescriptions
        )
        kept = tuple(p for p in light if p.targets)
        if kept:
            pairs.append(replace(pair, prescriptions=kept))
    works = [p.key in after for p in session.prescriptions]
    left = [p.key in after for pair in pairs for p in pair.prescriptions]
    return tuple(pairs) if any(left) or not any(works) else ()


def _lightened(usual: Prescription, targets: tuple[int, ...], able: Able | None) -> Prescription:
    """The same load for fewer repetitions; what was taken off is left in reserve.

    What fell short has the load that is light enough, and says what it leaves in reserve.
    """
    rir = usual.rir
    if able is not None and usual.exercise.measure is Measure.REPS and targets:
        return replace(usual, targets=targets, load=able.load, rir=able.reserve(targets))
    if rir is None:
        return replace(usual, targets=targets, rir=int(DELOAD_RESERVE.value))
    if usual.exercise.measure is Measure.SECONDS or not targets:
        return replace(usual, targets=targets, rir=max(rir, int(DELOAD_RESERVE.value)))
    before = sorted(usual.targets, reverse=True)
    left = [
        rir + was - now for was, now in zip(before, sorted(targets, reverse=True), strict=False)
    ]
    return replace(usual, targets=targets, rir=max(rir, min(left, default=rir)))
