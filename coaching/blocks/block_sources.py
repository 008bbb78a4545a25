"""What a block can be made from: a template, or another block. Both fit a client alike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

from django.db import transaction

from clients.models import Client, User
from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans, LineChange, change_data
from coaching.blocks.client_means import means_of, with_own_loads
from coaching.blocks.errors import BlockError
from coaching.blocks.from_template import snapshot_from_template
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.services import create_block, create_block_from_template
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    from_plan,
)
from coaching.blocks.snapshots import Line, SessionData, Snapshot, WeekData
from coaching.blocks.template_services import without_loads
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.plan import Part, WeekKind


@dataclass(frozen=True)
class Fitted:
    """A block as one client would get it: the first week and every change with its reason."""

    first_week: TemplatePlan
    changes: tuple[LineChange, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """Every change in words, once."""
        return tuple(dict.fromkeys(change.sentence for change in self.changes))


@dataclass(frozen=True)
class Library:
    """A coach's exercises by key, as rows and as values."""

    rows: Mapping[str, Exercise]
    values: Mapping[str, plan.Exercise]


class Source(Protocol):
    """What a block can be made from."""

    @property
    def name(self) -> str:
        """What the block will be called."""

    @property
    def level(self) -> str:
        """For whom it is made; empty when it says nothing of it."""

    def fit(self, client: Client, means: ClientMeans, library: Library) -> Fitted:
        """The block as a client would get it."""

    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""


@dataclass(frozen=True)
class TemplateSource:
    """A template: one week, repeated, its deload weeks made light."""

    template: BlockTemplate

    @property
    def name(self) -> str:
        """What the block will be called."""
        return self.template.name

    @property
    def level(self) -> str:
        """For whom it is made."""
        return self.template.level

    def fit(  # a template is nobody's, so it fits every client alike
        self,
        client: Client,  # noqa: ARG002
        means: ClientMeans,
        library: Library,
    ) -> Fitted:
        """The block as a client would get it."""
        found = adapted(from_plan(self.template.plan), library.values, means)
        return Fitted(found.plan, found.changes)

    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""
        return create_block_from_template(
            client=client, template=self.template, starts_on=starts_on, by=by, adapt=True
        )


@dataclass(frozen=True)
class BlockSource:
    """Another block, week by week as it stands; loads are only kept for its own client."""

    block: Block
    weeks: tuple[tuple[int, TemplatePlan], ...]
    """Days after the first one, and what is done."""

    @property
    def name(self) -> str:
        """What the block will be called."""
        return self.block.name

    @property
    def level(self) -> str:
        """A block says nothing of a level."""
        return ""

    def fit(self, client: Client, means: ClientMeans, library: Library) -> Fitted:
        """The block as a client would get it."""
        weeks, changes = self._fitted(client, means, library)
        usual = (week for week in weeks if week.week_kinds[0] is WeekKind.BUILD)
        return Fitted(next(usual, weeks[0]), changes)

    @transaction.atomic
    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""
        library = library_of(by)
        means = means_of(client, library.rows.values(), starts_on)
        weeks, changes = self._fitted(client, means, library)
        if not any(week.sessions for week in weeks):
            message = f"Nothing of this block fits {client.name}; choose another."
            raise BlockError(message)
        made: list[WeekData] = []
        for (days, _), week in zip(self.weeks, weeks, strict=True):
            first_day = starts_on + timedelta(days=days)
            made += snapshot_from_template(week, library.rows, first_day)["weeks"]
        block = create_block(client=client, name=self.name, snapshot={"weeks": made})
        block.changes_from_template = [change_data(change) for change in changes]
        block.save(update_fields=["changes_from_template"])
        return block

    def _fitted(
        self, client: Client, means: ClientMeans, library: Library
    ) -> tuple[list[TemplatePlan], tuple[LineChange, ...]]:
        """Every week as the client can do it; a change that several weeks share is told once."""
        is_own = client.pk == self.block.client_id
        if is_own:
            means = with_own_loads(means)
        weeks, changes = [], list[LineChange]()
        for _, week in self.weeks:
            found = adapted(week if is_own else without_loads(week), library.values, means)
            weeks.append(found.plan)
            changes += found.changes
        return weeks, tuple({change.sentence: change for change in changes}.values())


def library_of(coach: User) -> Library:
    """A coach's exercises; 2 queries."""
    rows = exercises_by_key(coach)
    return Library(rows, {key: exercise_value(row) for key, row in rows.items()})


def block_source(block: Block, snapshot: Snapshot, library: Library) -> BlockSource:
    """A block as something to copy from.

    Raises:
        BlockError: It holds an exercise that is in the library no more.
    """
    keys = {row.pk: key for key, row in library.rows.items()}
    first = date.fromisoformat(snapshot["weeks"][0]["starts_on"])
    weeks = []
    for week in snapshot["weeks"]:
        starts_on = date.fromisoformat(week["starts_on"])
        weeks.append(((starts_on - first).days, week_plan(week, keys)))
    return BlockSource(block, tuple(weeks))


def template_plan(snapshot: Snapshot, number: int, library: Library) -> TemplatePlan:
    """One week of a block, and the kinds of all its weeks, as a template keeps them.

    Raises:
        BlockError: It holds an exercise that is in the library no more.
    """
    keys = {row.pk: key for key, row in library.rows.items()}
    kinds = tuple(WeekKind(week["kind"]) for week in snapshot["weeks"])
    week = week_plan(snapshot["weeks"][number - 1], keys)
    return replace(without_loads(week), week_kinds=kinds)


def week_plan(week: WeekData, keys: Mapping[int, str]) -> TemplatePlan:
    """A week of a block as a template's week; ``keys`` names each exercise's row."""
    starts_on = date.fromisoformat(week["starts_on"])
    sessions = sorted(week["sessions"], key=lambda one: one["on"])
    made = tuple(_session(one, starts_on, keys) for one in sessions if _has_work(one))
    return TemplatePlan((WeekKind(week["kind"]),), made)


def _has_work(session: SessionData) -> bool:
    return any(pair["lines"] for pair in session["pairs"])


def _session(session: SessionData, first_day: date, keys: Mapping[int, str]) -> TemplateSession:
    return TemplateSession(
        name=session["name"],
        day=(date.fromisoformat(session["on"]) - first_day).days,
        pairs=tuple(
            TemplatePair(pair["letter"], Part(pair["part"]), _lines(pair["lines"], keys))
            for pair in session["pairs"]
            if pair["lines"]
        ),
    )


def _lines(lines: Sequence[Line], keys: Mapping[int, str]) -> tuple[TemplateLine, ...]:
    return tuple(
        TemplateLine(
            _key(line, keys),
            tuple(line["targets"]),
            line["load_kg"],
            line["tempo"],
            line["rest_s"],
            line["rir"],
        )
        for line in lines
    )


def _key(line: Line, keys: Mapping[int, str]) -> str:
    if line["exercise"] not in keys:
        message = f"{line['name']} is in your library no more; swap it in the block first."
        raise BlockError(message)
    return keys[line["exercise"]]
