"""The act that makes a session end on time, by the rule of what goes first."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from functools import lru_cache

from coaching.blocks.charts import COUNTED_ONLY
from coaching.blocks.editing.pair_acts import with_pairs
from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    find_session,
    refuse_fixed,
    refuse_locked,
    session_in,
    spread,
    with_session,
)
from coaching.blocks.editing.values import LONGEST_SESSION, Raw, reach_of, text_of, whole
from coaching.blocks.plan_figures import KEPT_SESSIONS
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData, week_as_value
from coaching.rules.next_block_volume import Kept, harm_beside, sets_of
from coaching.rules.plan import Level, Muscle, PlannedSession, Prescription, WeekKind
from coaching.rules.shorter_session import ShorterSession, shorter_session
from coaching.rules.volume_range import weekly_range


def made_shorter(
    session: PlannedSession,
    minutes: int,
    beside: tuple[PlannedSession, ...] = (),
    level: Level | None = None,
) -> ShorterSession:
    """A session that ends within so many minutes [min], or as near as sets and rests let it.

    At a ``level`` that is known, muscles stay in their range where they can, with what the other
    sessions of the week give them ``beside``.
    """
    lines = {str(at): one for at, one in enumerate(session.prescriptions)}
    keys = {one.key: at for at, one in lines.items()}
    bare = _with_lines(session, lambda one: replace(one, key=keys[one.key], load=0.0))
    others = frozenset(sets_of(beside).items()) if level else frozenset()
    short = _made_shorter(replace(bare, key="", name="", on=date.min), minutes, others, level)

    def as_it_was(one: Prescription) -> Prescription:
        return replace(lines[one.key], targets=one.targets, rest=one.rest)

    return replace(
        short, session=replace(session, pairs=_with_lines(short.session, as_it_was).pairs)
    )


@lru_cache(maxsize=KEPT_SESSIONS)
def _made_shorter(
    session: PlannedSession,
    minutes: int,
    others: frozenset[tuple[Muscle, float]],
    level: Level | None,
) -> ShorterSession:
    """Once for the same session of several weeks: neither names nor days nor loads matter."""
    if level is None:
        return shorter_session(session, minutes, rests=True)
    beside, before = dict(others), sets_of((session,))
    every = {one: before.get(one, 0.0) + beside.get(one, 0.0) for one in {*before, *beside}}
    kept = Kept(every, *weekly_range(level), beside=COUNTED_ONLY)
    return shorter_session(session, minutes, rests=True, harm=harm_beside(kept, beside))


def _with_lines(
    session: PlannedSession, change: Callable[[Prescription], Prescription]
) -> PlannedSession:
    pairs = (
        replace(pair, prescriptions=tuple(change(one) for one in pair.prescriptions))
        for pair in session.pairs
    )
    return replace(session, pairs=tuple(pairs))


def shorten_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Rests, sets and pairs taken from a session until it ends within so many minutes."""
    uid, reach = text_of(raw, "session", "Session"), reach_of(raw)
    minutes = whole(text_of(raw, "minutes", "Minutes"), "Minutes", 1, LONGEST_SESSION)
    at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        one = session_in(week, here[uid])
        refuse_fixed(one, setting)
        sessions = week_as_value(week, 1, setting.exercises).sessions
        (value,) = (each for each in sessions if each.key == one["uid"])
        beside = tuple(each for each in sessions if each is not value)
        level = setting.level if week["kind"] == WeekKind.BUILD else None
        pairs = _left(one, made_shorter(value, minutes, beside, level).session)
        return with_session(week, one["uid"], lambda each: with_pairs(each, pairs))

    return spread(
        snapshot,
        at,
        reach,
        [uid],
        change,
        said=f"{session['name']} shortened to {minutes} min",
        focus=uid,
        values_only=True,
        unchanged=f"{session['name']} ends within {minutes} min already, or as near as sets allow.",
    )


def _left(session: SessionData, shorter: PlannedSession) -> list[PairData]:
    """The pairs with the sets and rests of the shorter session; what is locked must not change."""
    left = {one.key: one for one in shorter.prescriptions}
    pairs: list[PairData] = []
    for pair in session["pairs"]:
        lines: list[Line] = [
            {
                **line,
                "targets": line["targets"][: left[line["uid"]].sets],
                "rest_s": left[line["uid"]].rest,
            }
            for line in pair["lines"]
            if line["uid"] in left
        ]
        if lines != pair["lines"]:
            refuse_locked(session, pair)
        pairs.append({**pair, "lines": lines})
    return pairs
