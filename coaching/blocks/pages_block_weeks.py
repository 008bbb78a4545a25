"""The weeks across the top of the block's page, and the sessions of the one that is shown."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.blocks.block_effects import WeekColumn
from coaching.blocks.effects import SessionEffect
from coaching.blocks.pages_block_strip import StripCell
from coaching.blocks.pages_spine import SpineRow, spine_rows
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData
from coaching.blocks.words import week_kind_text
from coaching.rules import plan
from coaching.rules.joint_limits import Joints

LOGGED, PAST, LOCKED = "logged", "past", "locked"


@dataclass(frozen=True)
class WeekTab:
    """One week across the top, with its working sets and their repetitions."""

    number: int
    kind: str
    starts_on: date
    ends_on: date
    is_chosen: bool
    is_past: bool
    is_light: bool
    is_changed: bool
    sets: int
    reps: int

    @property
    def starts(self) -> str:
        """The week's address: its first day."""
        return self.starts_on.isoformat()


@dataclass(frozen=True)
class SessionCard:
    """One planned session of the chosen week; ``state`` is empty while it may be changed."""

    uid: str
    name: str
    on: date
    state: str
    effect: SessionEffect
    changed: str
    rows: tuple[SpineRow, ...]

    @property
    def is_open(self) -> bool:
        """Whether it may be changed."""
        return not self.state


def chosen_number(snapshot: Snapshot, number: int | None, today: date) -> int:
    """The asked week, else the running one, else the first that is still to come."""
    weeks = snapshot["weeks"]
    if number is not None and 1 <= number <= len(weeks):
        return number
    running = [n for n, week in enumerate(weeks, 1) if week["starts_on"] <= today.isoformat()]
    return running[-1] if running else 1


def week_tabs(columns: Sequence[WeekColumn], today: date) -> tuple[WeekTab, ...]:
    """Every week of the block."""
    return tuple(_tab(column, today) for column in columns)


def _tab(column: WeekColumn, today: date) -> WeekTab:
    ends_on = column.starts_on + timedelta(days=6)
    return WeekTab(
        number=column.number,
        kind=week_kind_text(column.kind),
        starts_on=column.starts_on,
        ends_on=ends_on,
        is_chosen=column.is_chosen,
        is_past=ends_on < today,
        is_light=column.is_light,
        is_changed=column.is_changed,
        sets=column.working_sets,
        reps=column.reps,
    )


@dataclass(frozen=True)
class CardSetting:
    """What the cards of a week need besides its plan."""

    today: date
    begun: frozenset[str]
    joints: Joints
    strips: Mapping[str, tuple[StripCell, ...]]
    effects: Mapping[str, SessionEffect]
    changed: Mapping[str, str]
    """By how many minutes the last edit changed a session: +2."""
    equipment: frozenset[plan.EquipmentKind] | None = None
    """What the client has; none where it is not to be told."""


def session_cards(
    week: WeekData, values: Sequence[plan.PlannedSession], setting: CardSetting, uids: Set[str]
) -> tuple[SessionCard, ...]:
    """Those sessions of a week as cards; the setting has their strips."""
    return tuple(
        _card(data, value, setting)
        for data, value in zip(week["sessions"], values, strict=True)
        if data["uid"] in uids
    )


def _card(data: SessionData, value: plan.PlannedSession, setting: CardSetting) -> SessionCard:
    state = session_state(data, setting.today, setting.begun)
    is_over = state in {LOGGED, PAST}
    joints = Joints() if is_over else setting.joints
    equipment = None if is_over else setting.equipment
    locked = frozenset(pair["letter"] for pair in data["pairs"] if pair.get("locked"))
    return SessionCard(
        uid=data["uid"],
        name=data["name"],
        on=value.on,
        state=state,
        effect=setting.effects[data["uid"]],
        changed=setting.changed.get(data["uid"], ""),
        rows=spine_rows(value, joints, setting.strips, locked, equipment),
    )


def session_state(data: SessionData, today: date, begun: frozenset[str]) -> str:
    """Why a session may not be changed; empty when it may."""
    if data["uid"] in begun:
        return LOGGED
    if data["on"] < today.isoformat():
        return PAST
    return LOCKED if data.get("locked") else ""
