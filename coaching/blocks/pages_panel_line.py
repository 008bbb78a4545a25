"""The panel of one exercise in one week: its values, and every other act on it."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from django.urls import reverse

from clients.queries import equipment_of
from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.editing.notation import examples_of
from coaching.blocks.editing.places import find_line, line_at
from coaching.blocks.errors import BlockError, FieldsError
from coaching.blocks.pages_block_weeks import LOGGED, PAST, session_state
from coaching.blocks.pages_panels import ActButton, Choice, Field, LinePanel, typed
from coaching.blocks.snapshots import Line, PairData, SessionData, WeekData
from coaching.blocks.words import rest_text, short_targets
from coaching.rules import plan
from coaching.rules.equipment_missing import needs_words
from coaching.rules.joint_limits import limit_finding
from coaching.rules.load_to_choose import is_to_choose
from coaching.rules.loads import available_loads
from coaching.rules.planned_load import unmade_words

WHY_FIXED = {
    LOGGED: "This session is begun: it stays as it was asked for. Change a coming one.",
    PAST: "This session is past: it stays as it was asked for. Change a coming one.",
    "locked": "This session is locked; unlock it first.",
}
_LABELS = (
    ("targets", "Targets", ""),
    ("load_kg", "Load, kg", "decimal"),
    ("tempo", "Tempo", ""),
    ("rest_s", "Rest", ""),
    ("rir", "RIR", "numeric"),
)


class Found(NamedTuple):
    """Where a line stands."""

    number: int
    week: WeekData
    session: SessionData
    pair: PairData
    line: Line


def found_line(facts: BlockFacts, uid: str) -> Found:
    """A line of the working copy; BlockError when it is no longer there."""
    at = find_line(facts.draft.snapshot, uid)
    week = facts.draft.snapshot["weeks"][at.week]
    return Found(at.week + 1, week, *line_at(facts.draft.snapshot, at))


def urls_of(facts: BlockFacts, shown: int) -> dict[str, Any]:
    """What every panel of a block is told."""
    pk = facts.block.pk
    return {
        "edit_url": reverse("blocks:edit-block", args=[pk]),
        "back": f"{reverse('blocks:block', args=[pk])}?week={shown}",
        "revision": facts.draft.revision,
        "shown": shown,
    }


def line_panel(
    facts: BlockFacts,
    uid: str,
    shown: int,
    *,
    raw: Mapping[str, str] | None = None,
    error: BlockError | None = None,
) -> LinePanel:
    """One exercise to change; 1 query. ``raw`` and ``error`` are an act that was refused."""
    wrong = error.by_field if isinstance(error, FieldsError) else {}
    found = found_line(facts, uid)
    exercise = facts.exercises[found.line["exercise"]]
    loads = available_loads(exercise, equipment_of(facts.client))
    state = session_state(found.session, facts.past_before, facts.draft.begun)
    urls = urls_of(facts, shown)
    pk, session = facts.block.pk, found.session["uid"]
    return LinePanel(
        template="blocks/block/_panel_line.html",
        place=uid,
        **urls,
        kind="line",
        error=str(error) if error and not wrong else "",
        reach=typed(raw, "reach", ""),
        line=uid,
        name=found.line["name"],
        week=found.number,
        session=found.session["name"],
        fixed=_why_fixed(state, found.pair),
        is_past=state in {LOGGED, PAST},
        fields=_fields(found.line, exercise, loads, raw, wrong),
        loads=loads,
        limits=_limits(facts, exercise, found.session),
        acts=tuple(_acts(found)),
        choices=tuple(_choices(found)),
        swap_url=reverse("blocks:swap-line", args=[pk, uid]),
        swap_page=f"{urls['back']}&swap={uid}",
        add_url=f"{reverse('blocks:add-line', args=[pk, session])}?after={uid}",
        add_page=f"{urls['back']}&add={session}&after={uid}",
        begins="load_kg" if is_to_choose(exercise, found.line["load_kg"]) else "targets",
    )


def _why_fixed(state: str, pair: PairData) -> str:
    if state:
        return WHY_FIXED[state]
    return f"{pair['letter']} is locked; unlock it first." if pair.get("locked") else ""


def _fields(
    line: Line,
    exercise: plan.Exercise,
    loads: tuple[float, ...],
    raw: Mapping[str, str] | None,
    wrong: Mapping[str, str],
) -> tuple[Field, ...]:
    """What is planned, written as the cell shows it; what was refused, as it was typed."""
    unit = " s" if exercise.measure is plan.Measure.SECONDS else ""
    planned = {
        "targets": f"{short_targets(line['targets'])}{unit}",
        "load_kg": f"{line['load_kg']:g}",
        "tempo": line["tempo"],
        "rest_s": rest_text(line["rest_s"]),
        "rir": "" if line["rir"] is None else str(line["rir"]),
    }
    helped = {"targets": ", or ".join(examples_of(exercise.measure))}
    to_choose = is_to_choose(exercise, line["load_kg"])
    if to_choose:
        helped["load_kg"] = "not chosen yet"
    elif unmade := unmade_words(exercise, line["load_kg"], loads):
        helped["load_kg"] = unmade
    takes_load = to_choose or loads != (0.0,) or line["load_kg"]
    return tuple(
        Field(
            name,
            label,
            typed(raw, name, planned[name]),
            helped.get(name, ""),
            keys,
            error=wrong.get(name, ""),
        )
        for name, label, keys in _LABELS
        if name != "load_kg" or takes_load
    )


def _limits(facts: BlockFacts, exercise: plan.Exercise, session: SessionData) -> tuple[str, ...]:
    limits = facts.joints.on(max(facts.today, _day(session)))
    loaded = [limit for limit in limits if limit.stress in exercise.joint_stresses]
    told = [limit_finding(exercise, one, facts.joints.overrides).sentence for one in loaded]
    lacks = needs_words(exercise, facts.shelf.kinds)
    return (*told, f"{lacks}. Swap it, or remove it.") if lacks else tuple(told)


def _day(session: SessionData) -> date:
    return date.fromisoformat(session["on"])


def _acts(found: Found) -> Iterator[ActButton]:
    pair = found.pair
    if len(pair["lines"]) > 1:
        yield ActButton("unpair", "Unpair")
        yield ActButton("turn-pair", "Change which goes first")
    yield ActButton("order-pair", "Move up", (("by", "-1"),))
    yield ActButton("order-pair", "Move down", (("by", "1"),))
    if found.session.get("locked") or pair.get("locked"):
        yield ActButton("unlock", "Unlock")
    else:
        yield ActButton("lock", f"Lock {pair['letter']}")
    yield ActButton("remove-line", "Remove")


def _choices(found: Found) -> Iterator[Choice]:
    alone = [
        (pair["lines"][0]["uid"], f"{pair['letter']} {pair['lines'][0]['name']}")
        for pair in found.session["pairs"]
        if len(pair["lines"]) == 1 and pair["lines"][0]["uid"] != found.line["uid"]
    ]
    if len(found.pair["lines"]) == 1 and alone:
        yield Choice("pair-lines", "with", "Pair with", "Pair", alone)
    others = [
        (one["uid"], f"{date.fromisoformat(one['on']):%a} {one['name']}")
        for one in found.week["sessions"]
        if one["uid"] != found.session["uid"]
    ]
    if others:
        yield Choice("move-line", "session", "Move to", "Move", others)
    parts = [(part.value, part.value) for part in plan.Part]
    yield Choice("set-part", "part", "Part", "Set", parts, found.pair["part"])
