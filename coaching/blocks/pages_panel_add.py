"""Exercises to add to a session: searched by name, muscle or joint action, and by pattern."""

from collections.abc import Iterator, Mapping

from django.urls import reverse

from clients.queries import equipment_of
from coaching.blocks.adaptation import why_not
from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.editing.places import days_of_session, find_session
from coaching.blocks.pages_limits import avoided_later
from coaching.blocks.pages_panel_line import urls_of
from coaching.blocks.pages_panels import AddPanel, FoundExercise
from coaching.blocks.snapshots import SessionData
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan

MOST_FOUND = 12
_LEVELS = [level.value for level in plan.Level]


def add_panel(
    facts: BlockFacts, uid: str, shown: int, sent: Mapping[str, str], *, error: str = ""
) -> AddPanel:
    """The exercises that answer a search, those that the client can do first; 3 queries."""
    _, session = find_session(facts.draft.snapshot, uid)
    after, query, pattern = (sent.get(name, "").strip() for name in ("after", "q", "pattern"))
    found = sorted(
        _found(facts, session, query, pattern),
        key=lambda one: (one.why_not != "", one.comes_later, one.name),
    )
    near = _near(session, after)
    return AddPanel(
        template="blocks/block/_panel_add.html",
        place=after or uid,
        **urls_of(facts, shown),
        kind="add",
        error=error,
        session_uid=uid,
        where=f"{session['name']}, {f'after {near[0]}' if near else 'at its place'}",
        after=after,
        query=query,
        pattern=pattern,
        patterns=[one.value for one in plan.Pattern],
        part=near[1] if near else "",
        parts=["", *(one.value for one in plan.Part)],
        found=found[:MOST_FOUND],
        found_words=_words(len(found)),
        add_url=reverse("blocks:add-line", args=[facts.block.pk, uid]),
    )


def _near(session: SessionData, after: str) -> tuple[str, str] | None:
    """The exercise after which one is added, and its part."""
    for pair in session["pairs"]:
        for line in pair["lines"]:
            if line["uid"] == after:
                return line["name"], pair["part"]
    return None


def _words(count: int) -> str:
    if count > MOST_FOUND:
        return f"{MOST_FOUND} of {count} exercises; write more of the name to see fewer"
    return f"{count} exercise{'' if count == 1 else 's'}"


def _found(
    facts: BlockFacts, session: SessionData, query: str, pattern: str
) -> Iterator[FoundExercise]:
    rows = exercises_by_key(facts.coach)
    kinds = frozenset(item.kind for item in equipment_of(facts.client))
    joints = facts.joints
    on, *later = days_of_session(facts.draft.snapshot, session["uid"])
    on = max(facts.today, on)
    limits, overrides = joints.on(on), joints.overrides
    there = {line["exercise"] for pair in session["pairs"] for line in pair["lines"]}
    highest = _LEVELS.index(facts.client.level)
    for row in rows.values():
        value = exercise_value(row)
        if not _answers(value, query, pattern):
            continue
        is_there, is_hard = row.pk in there, _LEVELS.index(row.level) > highest
        also = avoided_later(value, joints, on, later)
        yield FoundExercise(
            pk=row.pk,
            name=row.name,
            pattern=row.pattern,
            reason=_reason(row, value, is_hard=is_hard, is_there=is_there, also=also),
            why_not=why_not(value, limits, kinds, overrides),
            comes_later=is_there or is_hard or also != "",
        )


def _answers(value: plan.Exercise, query: str, pattern: str) -> bool:
    if pattern and value.pattern != pattern:
        return False
    words = query.casefold().split()
    muscles = " ".join(share.muscle for share in value.muscles)
    text = f"{value.name} {muscles} {' '.join(value.joint_actions)} {value.plane}".casefold()
    return all(word in text for word in words)


def _reason(
    row: Exercise, value: plan.Exercise, *, is_hard: bool, is_there: bool, also: str
) -> str:
    movers = ", ".join(share.muscle.value for share in value.muscles if share.is_direct)
    words = (
        "in the session already" if is_there else "",
        f"trains {movers}" if movers else "",
        f"for the level {row.level}" if is_hard else "",
        also,
    )
    return ", ".join(word for word in words if word)
