"""What a block can be made from: a template, or another block. Both fit a client alike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from django.db import transaction

from clients.models import Client, User
from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import Adaptation, ClientMeans, change_data
from coaching.blocks.client_means import made_for, means_of, with_own_loads
from coaching.blocks.errors import BlockError
from coaching.blocks.from_template import snapshot_from_template
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.services import create_block, create_block_from_template, template_fit
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    WrittenWeek,
    from_plan,
    written_plan,
)
from coaching.blocks.snapshots import Line, SessionData, Snapshot, WeekData
from coaching.blocks.template_services import without_loads
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.plan import Part, WeekKind


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

    @property
    def written(self) -> TemplatePlan:
        """Its weeks as they are written, before they fit anybody."""

    def fit(self, client: Client, means: ClientMeans, library: Library) -> Adaptation:
        """The block as a client would get it, and every change with its reason."""

    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""


@dataclass(frozen=True)
class TemplateSource:
    """A template: one week, repeated, its deload weeks made light; or every week as written."""

    template: BlockTemplate

    @property
    def name(self) -> str:
        """What the block will be called."""
        return self.template.name

    @property
    def level(self) -> str:
        """For whom it is made."""
        return self.template.level

    @property
    def written(self) -> TemplatePlan:
        """Its weeks as they are written, before they fit anybody."""
        return from_plan(self.template.plan)

    def fit(  # a template is nobody's, so it fits every client alike
        self,
        client: Client,  # noqa: ARG002
        means: ClientMeans,
        library: Library,
    ) -> Adaptation:
        """The block as a client would get it, and every change with its reason."""
        return template_fit(self.template, library.values, means)

    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""
        return create_block_from_template(
            client=client, template=self.template, starts_on=starts_on, by=by, adapt=True
        )


@dataclass(frozen=True)
class BlockSource:
    """Another block, week by week as it stands; loads are only kept for its own client."""

    block: Block
    plan: TemplatePlan

    @property
    def name(self) -> str:
        """What the block will be called."""
        return self.block.name

    @property
    def level(self) -> str:
        """The level of the client that it was made for."""
        return self.block.client.level

    @property
    def written(self) -> TemplatePlan:
        """Its weeks as they stand."""
        return self.plan

    def fit(self, client: Client, means: ClientMeans, library: Library) -> Adaptation:
        """The block as a client would get it, and every change with its reason."""
        if client.pk == self.block.client_id:
            return adapted(self.plan, library.values, with_own_loads(means))
        theirs = made_for(means, self.level)
        return adapted(without_loads(self.plan, library.values), library.values, theirs)

    @transaction.atomic
    def make(self, client: Client, *, starts_on: date, by: User) -> Block:
        """A draft of it for a client."""
        library = library_of(by)
        means = means_of(client, library.rows.values(), starts_on)
        fitted = self.fit(client, means, library)
        if fitted.plan.is_empty:
            message = f"Nothing of this block fits {client.name}; choose another."
            raise BlockError(message)
        snapshot = snapshot_from_template(fitted.plan, library.rows, starts_on)
        block = create_block(client=client, name=self.name, snapshot=snapshot)
        block.changes_from_template = [change_data(change) for change in fitted.changes]
        block.save(update_fields=["changes_from_template"])
        return block


def library_of(coach: User) -> Library:
    """A coach's exercises; 2 queries."""
    rows = exercises_by_key(coach)
    return Library(rows, {key: exercise_value(row) for key, row in rows.items()})


def block_source(block: Block, snapshot: Snapshot, library: Library) -> BlockSource:
    """A block as something to copy from.

    Raises:
        BlockError: It holds an exercise that is in the library no more.
    """
    return BlockSource(block, whole_plan(snapshot, library))


def whole_plan(snapshot: Snapshot, library: Library) -> TemplatePlan:
    """All weeks of a block as a template holds them, loads with them.

    Raises:
        BlockError: It holds an exercise that is in the library no more.
    """
    keys = {row.pk: key for key, row in library.rows.items()}
    first = date.fromisoformat(snapshot["weeks"][0]["starts_on"])
    weeks = [
        WrittenWeek((date.fromisoformat(week["starts_on"]) - first).days, _sessions(week, keys))
        for week in snapshot["weeks"]
    ]
    return written_plan([WeekKind(week["kind"]) for week in snapshot["weeks"]], weeks)


def template_plan(snapshot: Snapshot, number: int | None, library: Library) -> TemplatePlan:
    """A block as a template keeps it: whole, or one of its weeks and the kinds of all.

    Loads are left open, but for the course that they take over the weeks of a whole block.

    Raises:
        BlockError: It holds an exercise that is in the library no more.
    """
    whole = without_loads(whole_plan(snapshot, library), library.values)
    if number is None:
        return whole
    week = whole.written[number - 1]
    return without_loads(TemplatePlan(whole.week_kinds, week.sessions), library.values)


def _sessions(week: WeekData, keys: Mapping[int, str]) -> tuple[TemplateSession, ...]:
    starts_on = date.fromisoformat(week["starts_on"])
    sessions = sorted(week["sessions"], key=lambda one: one["on"])
    return tuple(_session(one, starts_on, keys) for one in sessions if _has_work(one))


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
