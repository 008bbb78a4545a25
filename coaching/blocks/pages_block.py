"""What the block's page shows: weeks, sessions around the spine, effects and versions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from django.urls import reverse

from clients.models import Client, User
from clients.queries import body_weight_on, screening_answers
from coaching.blocks.effects import (
    PlacedFinding,
    SessionEffect,
    WeekEffects,
    edit_sentence,
    plane_sentences,
    volume_sentences,
    week_effects,
)
from coaching.blocks.health import open_cautions
from coaching.blocks.limit_queries import joints_of, standing_overrides
from coaching.blocks.models import (
    Block,
    BlockVersion,
    JointLimitOverride,
    PlannedSession,
    Week,
)
from coaching.blocks.pages_limits import LimitedExercise, limited_in_plan
from coaching.blocks.queries import session_values, with_plan
from coaching.blocks.snapshots import Snapshot, lines_of, week_as_value
from coaching.blocks.words import detail_text, pair_rest_text
from coaching.library.queries import exercise_values
from coaching.rules import plan
from coaching.rules.joint_limits import CAUTION, Joints, LimitAction, override_for
from coaching.rules.screening import BreathCaution, Caution, breath_caution

MOST_VERSIONS = 20


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
class LimitNote:
    """What an exercise loads, at its place in the plan; ``is_open`` waits for the coach."""

    words: str
    is_open: bool


@dataclass(frozen=True)
class Cell:
    """One exercise beside the spine."""

    uid: str
    name: str
    detail: str
    side: str
    limits: tuple[LimitNote, ...] = ()


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
class VersionLine:
    """One version: what changed, who did it, when where the client lives, and why."""

    pk: int
    number: int
    what: str
    why: str
    by: str
    at: datetime


@dataclass(frozen=True)
class UndoButton:
    """The newest change, when there is something before it to go back to."""

    pk: int
    words: str


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
    versions: tuple[VersionLine, ...]
    undo: UndoButton | None
    last_edit: str
    changes: tuple[str, ...]
    edited: str
    limited: tuple[LimitedExercise, ...]
    overrides: tuple[JointLimitOverride, ...]
    cautions: tuple[Caution, ...]
    breath: BreathCaution | None
    caution: str = CAUTION

    @property
    def address(self) -> str:
        """Where the week that is shown can be opened again."""
        return f"{reverse('blocks:block', args=[self.block.pk])}?week={self.week.number}"

    @property
    def avoided(self) -> tuple[LimitedExercise, ...]:
        """What loads a joint that must be spared, and is not decided."""
        return tuple(one for one in self.limited if one.is_avoided)

    @property
    def regressed(self) -> tuple[LimitedExercise, ...]:
        """What loads a joint on which the client steps back a rung."""
        return tuple(one for one in self.limited if not one.is_avoided)

    @property
    def has_signed_in(self) -> bool:
        """Whether the client has ever opened the practice on a phone."""
        return self.client.user is not None and self.client.user.last_login is not None


def block_page(
    block: Block, *, coach: User, number: int | None, today: date, edited: str = ""
) -> BlockPage:
    """The page of a block with one week chosen; 12 queries, whatever its size.

    A client with joint limits costs 5 more, and 4 more when the plan loads one.

    ``edited`` is the uid of the prescription that was just changed: it gets the focus.
    """
    weeks = list(Week.objects.filter(block=block).order_by("number"))
    chosen = _chosen(weeks, number, today)
    rows = list(with_plan(chosen.planned_sessions.order_by("on", "position")))
    values = session_values(rows)
    versions = list(
        block.versions.select_related("by", "undoes")
        .defer("snapshot", "undoes__snapshot")
        .order_by("-number")[:MOST_VERSIONS]
    )
    newest, before = _newest_two(block)
    joints = joints_of(block.client)
    measured = _measure_for(block.client, today, joints, max(today, chosen.starts_on))
    week = _week_value(chosen, tuple(values[row.pk] for row in rows))
    effects = measured(week)
    changed = before is not None and newest != before
    return BlockPage(
        block=block,
        client=block.client,
        ends_on=weeks[-1].starts_on + timedelta(days=6),
        tabs=tuple(_tab(week, chosen, today) for week in weeks),
        week=_tab(chosen, chosen, today),
        sessions=_sessions(rows, values, effects, today, joints),
        effects=effects,
        volume=tuple(volume_sentences(effects)),
        planes=tuple(plane_sentences(effects.balance)),
        findings=effects.findings,
        versions=tuple(_version_line(one, block.client) for one in versions),
        undo=_undo_button(versions[0]) if changed else None,
        last_edit=_last_edit(chosen, before, effects, measured) if changed else "",
        changes=tuple(dict.fromkeys(_change_words(one) for one in block.changes_from_template)),
        edited=edited,
        limited=limited_in_plan(block.client, coach, today, joints=joints, block=block),
        overrides=tuple(standing_overrides([block.client])) if joints.overrides else (),
        cautions=() if block.published_at else open_cautions(block.client, today),
        breath=breath_caution(week.sessions, screening_answers(block.client)),
    )


def _newest_two(block: Block) -> tuple[Snapshot | None, Snapshot | None]:
    """The plan after the newest change and the plan before it; 1 query."""
    found = list(block.versions.order_by("-number").values_list("snapshot", flat=True)[:2])
    found += [None] * (2 - len(found))
    return found[0], found[1]


def _measure_for(
    client: Client, today: date, joints: Joints, day: date
) -> Callable[[plan.PlannedWeek], WeekEffects]:
    """What any week does for this client, with the limits of a day; 1 query, made once."""
    return partial(
        week_effects,
        level=plan.Level(client.level),
        body_weight=body_weight_on(client, today),
        minutes_budget=client.minutes,
        limits=joints.on(day),
        overrides=joints.overrides,
    )


def _week_value(week: Week, sessions: tuple[plan.PlannedSession, ...]) -> plan.PlannedWeek:
    return plan.PlannedWeek(week.number, plan.WeekKind(week.kind), week.starts_on, sessions)


def _last_edit(
    week: Week,
    before: Snapshot | None,
    effects: WeekEffects,
    measured: Callable[[plan.PlannedWeek], WeekEffects],
) -> str:
    """What the newest change did to the week that is shown; 2 queries."""
    starts_on = week.starts_on.isoformat()
    was = [data for data in (before or {"weeks": []})["weeks"] if data["starts_on"] == starts_on]
    if not was:
        return "This week is new."
    used = {ln["exercise"] for _, ln in lines_of({"weeks": was})}
    value = week_as_value(was[0], week.number, exercise_values(used))
    return edit_sentence(measured(value), effects)


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
    rows: Sequence[PlannedSession],
    values: Mapping[int, plan.PlannedSession],
    effects: WeekEffects,
    today: date,
    joints: Joints,
) -> tuple[SessionCard, ...]:
    by_key = {effect.key: effect for effect in effects.sessions}
    return tuple(
        SessionCard(
            name=row.name,
            on=row.on,
            locked=_locked(row, today),
            effect=by_key[str(row.uid)],
            rows=spine_rows(values[row.pk], Joints() if _locked(row, today) else joints),
        )
        for row in rows
    )


def _locked(row: PlannedSession, today: date) -> str:
    if row.started_at is not None:
        return "logged"
    return "past" if row.on < today else ""


def spine_rows(session: plan.PlannedSession, joints: Joints) -> tuple[SpineRow, ...]:
    """A session's letters as rows around the spine; pushes left, pulls right."""
    return tuple(_spine_row(pair, joints, session.on) for pair in session.pairs)


def _spine_row(pair: plan.Pair, joints: Joints, on: date) -> SpineRow:
    cells = [_cell(one, limit_notes(one.exercise, joints, on)) for one in pair.prescriptions]
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


def _cell(one: plan.Prescription, limits: tuple[LimitNote, ...]) -> Cell:
    pattern = one.exercise.pattern.value
    side = pattern if pattern in {"push", "pull"} else ""
    return Cell(one.key, one.exercise.name, detail_text(one), side, limits)


def limit_notes(exercise: plan.Exercise, joints: Joints, on: date) -> tuple[LimitNote, ...]:
    """What an exercise loads that the client avoids, regresses or watches on a day."""
    notes = []
    for limit in joints.on(on):
        if limit.stress not in exercise.joint_stresses:
            continue
        avoided = limit.action is LimitAction.AVOID
        override = override_for(exercise, limit, joints.overrides) if avoided else None
        words = f"Loads {limit}, {_AT_ITS_PLACE[limit.action]}"
        if override is not None:
            words = f"Loads {limit}; {override}"
        notes.append(LimitNote(words, avoided and override is None))
    return tuple(notes)


_AT_ITS_PLACE = {
    LimitAction.AVOID: "which is avoided: not decided",
    LimitAction.REGRESS: "which is regressed",
    LimitAction.WATCH: "which is watched: ask how it felt",
}


def _version_line(version: BlockVersion, client: Client) -> VersionLine:
    return VersionLine(
        pk=version.pk,
        number=version.number,
        what=version.what,
        why=version.why,
        by=version.by.name if version.by else "nobody known",
        at=version.at.astimezone(ZoneInfo(client.time_zone)),
    )


def _undo_button(newest: BlockVersion) -> UndoButton:
    """Undoing an undo brings the change back, so it is called that."""
    if newest.undoes is not None:
        return UndoButton(newest.pk, f"Bring back: {newest.undoes.what}")
    return UndoButton(newest.pk, f"Undo: {newest.what}")


def _change_words(change: dict[str, str]) -> str:
    if change.get("sentence"):
        return change["sentence"]
    if not change["given"]:
        return f"{change['asked']} is left out: {change['why']}, and nothing fits instead."
    return f"{change['given']} instead of {change['asked']}: {change['why']}."
