"""What the block's page shows: weeks, sessions around the spine, effects and versions."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from clients.models import Client
from clients.queries import body_weight_on, joint_limits_of
from coaching.blocks.effects import (
    PlacedFinding,
    SessionEffect,
    WeekEffects,
    edit_sentence,
    plane_sentences,
    volume_sentences,
    week_effects,
)
from coaching.blocks.models import Block, BlockVersion, PlannedSession, Week
from coaching.blocks.queries import session_values, with_plan
from coaching.blocks.words import detail_text, pair_rest_text
from coaching.rules import plan


@dataclass(frozen=True)
class WeekTab:
    """One week across the top."""

    number: int
    kind: str
    starts_on: date
    ends_on: date
    is_chosen: bool
    is_past: bool
    is_light: bool


@dataclass(frozen=True)
class Cell:
    """One exercise beside the spine."""

    uid: str
    name: str
    detail: str
    side: str


@dataclass(frozen=True)
class SpineRow:
    """One letter: two exercises facing each other, or one alone."""

    letter: str
    part: str
    rest: str
    left: Cell | None
    right: Cell | None
    centre: Cell | None


@dataclass(frozen=True)
class SessionCard:
    """One planned session of the chosen week."""

    name: str
    on: date
    locked: str
    effect: SessionEffect
    rows: tuple[SpineRow, ...]


@dataclass(frozen=True)
class BlockPage:
    """Everything on the block's page for one chosen week."""

    block: Block
    client: Client
    ends_on: date
    tabs: tuple[WeekTab, ...]
    week: WeekTab
    sessions: tuple[SessionCard, ...]
    effects: WeekEffects
    volume: tuple[str, ...]
    planes: tuple[str, ...]
    findings: tuple[PlacedFinding, ...]
    versions: tuple[BlockVersion, ...]
    undoable: BlockVersion | None
    last_edit: str
    changes: tuple[str, ...]


def block_page(
    block: Block, *, number: int | None, today: date, before: WeekEffects | None = None
) -> BlockPage:
    """The page of a block with one week chosen; about 12 queries, whatever its size.

    ``before`` is what the week did before an edit, to say what the edit changed.
    """
    weeks = list(Week.objects.filter(block=block).order_by("number"))
    chosen = _chosen(weeks, number, today)
    rows = list(with_plan(chosen.planned_sessions.order_by("on", "position")))
    effects = effects_of(block.client, chosen, rows, today)
    versions = tuple(block.versions.select_related("by").order_by("-number")[:20])
    return BlockPage(
        block=block,
        client=block.client,
        ends_on=weeks[-1].starts_on + timedelta(days=6),
        tabs=tuple(_tab(week, chosen, today) for week in weeks),
        week=_tab(chosen, chosen, today),
        sessions=_sessions(rows, effects, today),
        effects=effects,
        volume=tuple(volume_sentences(effects)),
        planes=tuple(plane_sentences(effects.balance)),
        findings=effects.findings,
        versions=versions,
        undoable=_undoable(versions),
        last_edit=edit_sentence(before, effects) if before else "",
        changes=tuple(_change_words(one) for one in block.changes_from_template),
    )


def effects_of(
    client: Client, week: Week, rows: Sequence[PlannedSession], today: date
) -> WeekEffects:
    """What a week does for this client; 4 queries."""
    values = session_values(rows)
    return week_effects(
        plan.PlannedWeek(
            number=week.number,
            kind=plan.WeekKind(week.kind),
            starts_on=week.starts_on,
            sessions=tuple(values[row.pk] for row in rows),
        ),
        level=plan.Level(client.level),
        body_weight=body_weight_on(client, today),
        minutes_budget=client.minutes,
        limits=joint_limits_of(client, today),
    )


def week_effects_now(block: Block, number: int, today: date) -> WeekEffects:
    """What a week of a block does as it stands in the rows; 8 queries."""
    week = _chosen(list(Week.objects.filter(block=block).order_by("number")), number, today)
    rows = list(with_plan(week.planned_sessions.order_by("on", "position")))
    return effects_of(block.client, week, rows, today)


def _chosen(weeks: Sequence[Week], number: int | None, today: date) -> Week:
    """The asked week, else the running one, else the first that is still to come."""
    asked = [week for week in weeks if week.number == number]
    running = [week for week in weeks if week.starts_on <= today]
    return (asked or running[-1:] or list(weeks))[0]


def _tab(week: Week, chosen: Week, today: date) -> WeekTab:
    ends_on = week.starts_on + timedelta(days=6)
    return WeekTab(
        number=week.number,
        kind=week.kind,
        starts_on=week.starts_on,
        ends_on=ends_on,
        is_chosen=week.pk == chosen.pk,
        is_past=ends_on < today,
        is_light=week.kind == plan.WeekKind.DELOAD,
    )


def _sessions(
    rows: Sequence[PlannedSession], effects: WeekEffects, today: date
) -> tuple[SessionCard, ...]:
    values = session_values(rows)
    by_key = {effect.key: effect for effect in effects.sessions}
    return tuple(
        SessionCard(
            name=row.name,
            on=row.on,
            locked=_locked(row, today),
            effect=by_key[str(row.uid)],
            rows=spine_rows(values[row.pk]),
        )
        for row in rows
    )


def _locked(row: PlannedSession, today: date) -> str:
    if row.started_at is not None:
        return "logged"
    return "past" if row.on < today else ""


def spine_rows(session: plan.PlannedSession) -> tuple[SpineRow, ...]:
    """A session's letters as rows around the spine; pushes left, pulls right."""
    return tuple(_spine_row(pair) for pair in session.pairs)


def _spine_row(pair: plan.Pair) -> SpineRow:
    cells = [_cell(one) for one in pair.prescriptions]
    sides = [cell.side for cell in cells]
    left = right = centre = None
    if len(cells) == 2:
        first_is_left = not (sides[0] == "pull" and sides[1] != "pull")
        left, right = cells if first_is_left else reversed(cells)
    elif sides[0] == "push":
        left = cells[0]
    elif sides[0] == "pull":
        right = cells[0]
    else:
        centre = cells[0]
    return SpineRow(pair.letter, pair.part.value, pair_rest_text(pair), left, right, centre)


def _cell(one: plan.Prescription) -> Cell:
    pattern = one.exercise.pattern.value
    side = pattern if pattern in {"push", "pull"} else ""
    return Cell(uid=one.key, name=one.exercise.name, detail=detail_text(one), side=side)


def _undoable(versions: Sequence[BlockVersion]) -> BlockVersion | None:
    """The newest change, when there is something before it to go back to."""
    if len(versions) < 2 or versions[0].snapshot == versions[1].snapshot:
        return None
    return versions[0]


def _change_words(change: dict[str, str]) -> str:
    if not change["given"]:
        return f"{change['asked']} is left out: {change['why']}, and nothing fits instead."
    return f"{change['given']} instead of {change['asked']}: {change['why']}."
