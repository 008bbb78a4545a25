"""The act that makes a session end on time, by the rule of what goes first."""

from collections.abc import Mapping
from functools import lru_cache

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
from coaching.rules.plan import PlannedSession
from coaching.rules.shorter_session import ShorterSession, shorter_session


@lru_cache(maxsize=KEPT_SESSIONS)
def made_shorter(session: PlannedSession, minutes: int) -> ShorterSession:
    """A session that ends within so many minutes [min], or as near as sets and rests let it."""
    return shorter_session(session, minutes, rests=True)


def shorten_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Rests, sets and pairs taken from a session until it ends within so many minutes."""
    uid, reach = text_of(raw, "session", "Session"), reach_of(raw)
    minutes = whole(text_of(raw, "minutes", "Minutes"), "Minutes", 1, LONGEST_SESSION)
    at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        one = session_in(week, here[uid])
        refuse_fixed(one, setting)
        (value,) = week_as_value({**week, "sessions": [one]}, 1, setting.exercises).sessions
        pairs = _left(one, made_shorter(value, minutes).session)
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
