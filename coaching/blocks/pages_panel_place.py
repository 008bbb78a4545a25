"""The panels of a session and of a week: what is done with them as a whole."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.editing.acts import EditSetting, apply_act
from coaching.blocks.editing.places import find_session, find_week
from coaching.blocks.editing.session_acts import end_of
from coaching.blocks.errors import BlockError
from coaching.blocks.pages_block_weeks import LOGGED, PAST, session_state
from coaching.blocks.pages_panel_line import WHY_FIXED, urls_of
from coaching.blocks.pages_panels import ActButton, Field, PlaceForm, PlacePanel, typed
from coaching.blocks.snapshots import SessionData, WeekData
from coaching.blocks.words import week_kind_text
from coaching.rules import plan

_TEMPLATE = "blocks/block/_panel_place.html"
_Raw = Mapping[str, str] | None


def session_panel(
    facts: BlockFacts, uid: str, shown: int, *, raw: _Raw = None, error: str = ""
) -> PlacePanel:
    """One session: rename, move to another day, copy, lock, order, remove; no query."""
    index, session = find_session(facts.draft.snapshot, uid)
    state = session_state(session, facts.past_before, facts.draft.begun)
    is_past = state in {LOGGED, PAST}
    week = facts.draft.snapshot["weeks"][index]
    copies = _copy_form(facts, index, session, raw)
    return PlacePanel(
        template=_TEMPLATE,
        place=uid,
        **urls_of(facts, shown),
        kind="session",
        error=error,
        title=f"{session['name']}, {date.fromisoformat(session['on']):%a %-d %b}",
        fixed=WHY_FIXED.get(state, ""),
        session_uid=uid,
        acts=() if is_past else tuple(_session_acts(session)),
        forms=(copies,) if is_past else (*_session_forms(facts, session, week, raw), copies),
    )


def _session_acts(session: SessionData) -> Iterator[ActButton]:
    if session.get("locked"):
        yield ActButton("unlock", "Unlock the session")
    else:
        yield ActButton("lock", "Lock the session")
    yield ActButton("arrange-session", "Put in order")
    yield ActButton("fix-pairing", "Pair by plane")
    yield ActButton("remove-session", "Remove the session")


def _session_forms(
    facts: BlockFacts, session: SessionData, week: WeekData, raw: _Raw
) -> Iterator[PlaceForm]:
    name = Field("name", "Name", typed(raw, "name", session["name"]))
    yield PlaceForm("rename-session", "Rename", (name,), reaches=True)
    day = Field("on", "Day", typed(raw, "on", session["on"]), options=_days(facts, week))
    yield PlaceForm("move-session", "Move", (day,), reaches=True)


def _copy_form(facts: BlockFacts, index: int, session: SessionData, raw: _Raw) -> PlaceForm:
    """The same weekday of the next week, else the first day from this week on that is free.

    Of the free days of this week the one with the fewest sessions on the days beside it.
    """
    weeks = facts.draft.snapshot["weeks"]
    held: dict[str, list[str]] = {}
    for week in weeks:
        for one in week["sessions"]:
            held.setdefault(one["on"], []).append(one["name"])
    days = [
        (day, f"week {n}, {words}" + (f", has {' and '.join(held[day])}" if day in held else ""))
        for n, week in enumerate(weeks, start=1)
        for day, words in _days(facts, week)
    ]
    next_week = (date.fromisoformat(session["on"]) + timedelta(weeks=1)).isoformat()
    free = [day for day, _ in days if day not in held]
    onward = [day for day in free if day >= weeks[index]["starts_on"]]
    here = {day for day, _ in _days(facts, weeks[index])}
    own = sorted(
        (day for day in onward if day in here), key=lambda day: len(_beside(day) & set(held))
    )
    usual = next_week if next_week in free else next(iter([*own, *onward, *free]), "")
    on = Field("on", "Copy it to", typed(raw, "on", usual), options=days)
    return PlaceForm("copy-session", "Copy", (on,))


def _beside(day: str) -> set[str]:
    """The day before a day and the day after it."""
    on, one = date.fromisoformat(day), timedelta(days=1)
    return {(on - one).isoformat(), (on + one).isoformat()}


def _days(facts: BlockFacts, week: WeekData) -> list[tuple[str, str]]:
    """The days of a week that are not past; it may be cut short, or be longer than seven days."""
    start, end = date.fromisoformat(week["starts_on"]), end_of(facts.draft.snapshot, week)
    days = [start + timedelta(days=n) for n in range((end - start).days)]
    return [(day.isoformat(), f"{day:%a %-d %b}") for day in days if day >= facts.today]


def week_panel(
    facts: BlockFacts, starts_on: str, shown: int, *, raw: _Raw = None, error: str = ""
) -> PlacePanel:
    """One week: copy, replace, make it light, move the light week, remove; no query."""
    weeks = facts.draft.snapshot["weeks"]
    index = find_week(facts.draft.snapshot, starts_on)
    week = weeks[index]
    return PlacePanel(
        template=_TEMPLATE,
        place="week",
        **urls_of(facts, shown),
        kind="week",
        error=error,
        title=f"Week {index + 1}",
        week_starts=starts_on,
        acts=tuple(one for one in _week_acts(week) if _can_be(facts, starts_on, one)),
        forms=tuple(_week_forms(weeks, index, raw)),
    )


def _can_be(facts: BlockFacts, starts_on: str, act: ActButton) -> bool:
    """Whether the act would be done; one that would be refused is not offered."""
    setting = EditSetting(facts.today, facts.draft.begun, facts.exercises, is_seen=facts.is_seen)
    raw = {"act": act.act, "week": starts_on, **dict(act.fields)}
    try:
        apply_act(facts.draft.snapshot, raw, setting)
    except BlockError:
        return False
    return True


def _week_acts(week: WeekData) -> Iterator[ActButton]:
    if week["kind"] == plan.WeekKind.DELOAD:
        yield ActButton(
            "light-week-anew", "Make it light anew from the usual week before it", reaches=False
        )
        yield ActButton("move-light-week", "One week earlier", (("by", "-1"),), reaches=False)
        yield ActButton("move-light-week", "One week later", (("by", "1"),), reaches=False)
    else:
        yield ActButton("lighten-week", "Make it a light week, with fewer sets", reaches=False)
    before = (("before", week["starts_on"]),)
    yield ActButton("insert-light-week", "Put a light week before it", before, reaches=False)
    yield ActButton("remove-week", "Remove the week", reaches=False)


def _week_forms(weeks: list[WeekData], index: int, raw: _Raw) -> Iterator[PlaceForm]:
    named = [
        (week["starts_on"], f"week {n}, {week_kind_text(week['kind'])}")
        for n, week in enumerate(weeks, 1)
    ]
    here = weeks[index]["starts_on"]
    after = Field("after", "Put a copy after", typed(raw, "after", here), options=named)
    yield PlaceForm("copy-week", "Copy", (after,))
    others = [one for one in named if one[0] != here]
    if others:
        source = Field("from", "Replace it with", typed(raw, "from", others[0][0]), options=others)
        yield PlaceForm("replace-week", "Replace", (source,))
    kinds = [(kind.value, f"{week_kind_text(kind)} week") for kind in plan.WeekKind]
    kind = Field(
        "kind",
        "Count it as (sets stay)",
        typed(raw, "kind", weeks[index]["kind"]),
        options=kinds,
    )
    yield PlaceForm("set-week-kind", "Set", (kind,))


def new_session_panel(
    facts: BlockFacts, starts_on: str, shown: int, *, raw: _Raw = None, error: str = ""
) -> PlacePanel:
    """A session to be added to a week; no query."""
    index = find_week(facts.draft.snapshot, starts_on)
    week = facts.draft.snapshot["weeks"][index]
    taken = {session["on"] for session in week["sessions"]}
    days = _days(facts, week)
    free = next((day for day, _ in days if day not in taken), "")
    fields = (
        Field("name", "Name", typed(raw, "name", "")),
        Field("on", "Day", typed(raw, "on", free), options=days),
    )
    return PlacePanel(
        template=_TEMPLATE,
        place="week",
        **urls_of(facts, shown),
        kind="add-session",
        error=error,
        title=f"A session for week {index + 1}",
        week_starts=starts_on,
        forms=(PlaceForm("add-session", "Add the session", fields, reaches=True),),
    )
