"""The plan of a new block made from the usual week of an earlier one; nothing is written here."""

from collections.abc import Mapping
from datetime import date, timedelta
from uuid import uuid4

from coaching.blocks.snapshots import (
    Line,
    PairData,
    SessionData,
    Snapshot,
    WeekData,
    light_week_data,
    week_as_value,
)
from coaching.rules import plan
from coaching.rules.deload import light_week

Changed = Mapping[str, Line | None]
"""By a line's uid what stands in its place; none leaves it out, what is not named stays."""


def usual_week_of(snapshot: Snapshot) -> WeekData | None:
    """The last usual week of a block, of those with the most sessions; none without any."""
    built = [w for w in snapshot["weeks"] if w["kind"] == plan.WeekKind.BUILD and w["sessions"]]
    return max(built, key=lambda w: (len(w["sessions"]), w["starts_on"]), default=None)


def week_with(base: WeekData, changed: Changed, starts_on: date) -> WeekData:
    """That week from another day on, its lines changed; pairs and sessions left empty go too.

    Sessions stay on their weekdays; what was locked is open again. Uids stay those of the base, so
    that the two can be laid side by side.
    """
    made = [_session(one, changed, starts_on) for one in base["sessions"]]
    return {
        "starts_on": starts_on.isoformat(),
        "kind": plan.WeekKind.BUILD.value,
        "sessions": sorted((one for one in made if one["pairs"]), key=lambda one: one["on"]),
    }


def same_weekday(on: str, starts_on: date) -> date:
    """The day of a week that begins on a day, on which the weekday of another day falls.

    >>> same_weekday("2026-11-02", date(2026, 12, 2))
    datetime.date(2026, 12, 7)
    """
    ahead = date.fromisoformat(on) - starts_on
    return starts_on + ahead % timedelta(weeks=1)


def next_plan(
    first: WeekData,
    *,
    weeks: int,
    exercises: Mapping[int, plan.Exercise],
    keep: frozenset[str] = frozenset(),
    begins_light: bool = False,
) -> Snapshot:
    """A whole block from its first week: every week alike, the last one light.

    Args:
        first: The first week; the others follow it, with uids of their own.
        weeks: How many in all, the light one at the end included.
        exercises: Every exercise of the week by its row.
        keep: Keys of exercises that serve a movement goal; the light week does not drop them.
        begins_light: Whether one light week more comes before them.
    """
    day = date.fromisoformat(first["starts_on"])
    starts_on = day + timedelta(weeks=1) if begins_light else day
    built = [
        _with_own_uids(week_with(first, {}, starts_on + timedelta(weeks=n)))
        for n in range(weeks - 1)
    ]
    usual = week_as_value(built[-1], weeks - 1, exercises)

    def light(on: date) -> WeekData:
        return light_week_data(built[-1], light_week(usual, starts_on=on, keep=keep).week)

    before = [light(day)] if begins_light else []
    return {"weeks": [*before, *built, light(starts_on + timedelta(weeks=weeks - 1))]}


def _session(session: SessionData, changed: Changed, starts_on: date) -> SessionData:
    pairs = [_pair(one, changed) for one in session["pairs"]]
    return {
        "uid": session["uid"],
        "name": session["name"],
        "on": same_weekday(session["on"], starts_on).isoformat(),
        "pairs": [one for one in pairs if one["lines"]],
    }


def _pair(pair: PairData, changed: Changed) -> PairData:
    lines = (changed.get(line["uid"], line) for line in pair["lines"])
    kept = [one for one in lines if one is not None]
    return {"letter": pair["letter"], "part": pair["part"], "lines": kept}


def _with_own_uids(week: WeekData) -> WeekData:
    return {**week, "sessions": [_with_own_uid(one) for one in week["sessions"]]}


def _with_own_uid(session: SessionData) -> SessionData:
    pairs: list[PairData] = [
        {**pair, "lines": [{**line, "uid": str(uuid4())} for line in pair["lines"]]}
        for pair in session["pairs"]
    ]
    return {**session, "uid": str(uuid4()), "pairs": pairs}
