"""The act that makes a session end on time, by the rule of what goes first."""

from collections.abc import Mapping
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
from coaching.rules.next_block_volume import Kept, harm_of_cutting, sets_of
from coaching.rules.plan import Level, PlannedSession, WeekKind
from coaching.rules.shorter_session import ShorterSession, shorter_session
from coaching.rules.volume_range import weekly_range


@lru_cache(maxsize=KEPT_SESSIONS)
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
    if level is None:
        return shorter_session(session, minutes, rests=True)
    before = sets_of((session, *beside))
    kept = Kept(before, *weekly_range(level), beside=COUNTED_ONLY)
    return shorter_session(session, minutes, rests=True, harm=harm_of_cutting(kept, beside))


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
