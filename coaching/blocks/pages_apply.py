"""A template or a block for several clients: what each of them would get, side by side."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from clients.models import Client, User
from clients.queries import clients_of
from coaching.blocks.block_findings import ClientFacts, block_findings
from coaching.blocks.block_sources import Library, Source, library_of
from coaching.blocks.client_means import means_of
from coaching.blocks.errors import BlockError
from coaching.blocks.health import open_cautions
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block
from coaching.blocks.pages_spine import SpineRow, spine_rows
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.template_values import week_from_template
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Level, PlannedWeek
from coaching.rules.screening import Caution
from coaching.rules.session_clock import fits, session_minutes


@dataclass(frozen=True)
class ClientChoice:
    """One client to choose."""

    pk: int
    name: str
    about: str
    is_chosen: bool


@dataclass(frozen=True)
class SessionLook:
    """One session of the first week as a client would get it."""

    name: str
    on: date
    minutes: int
    fits: bool
    rows: tuple[SpineRow, ...]


@dataclass(frozen=True)
class ClientLook:
    """What one client would get; ``refused`` says why nothing can be made."""

    client: Client
    changes: tuple[str, ...]
    findings: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    sessions: tuple[SessionLook, ...]
    refused: str = ""
    is_taken: bool = False
    """Whether another block is planned on those days: then the tick is the coach's to set."""


@dataclass(frozen=True)
class ApplyPage:
    """The clients to choose from, and what each chosen one would get."""

    name: str
    starts_on: date
    choices: tuple[ClientChoice, ...]
    looks: tuple[ClientLook, ...]

    @property
    def starts_on_text(self) -> str:
        """The first day as a date field holds it."""
        return self.starts_on.isoformat()

    @property
    def ready(self) -> int:
        """For how many of the chosen clients a draft can be made."""
        return sum(not look.refused for look in self.looks)


@dataclass(frozen=True)
class Made:
    """The drafts that were made, and for whom none could be, with the reason."""

    blocks: tuple[Block, ...]
    failed: tuple[tuple[str, str], ...]


def apply_page(source: Source, coach: User, *, chosen: Sequence[int], starts_on: date) -> ApplyPage:
    """Who may get it, and what each chosen client would get; 3 queries and 9 a chosen client."""
    clients = list(clients_of(coach))
    wanted = [one for one in clients if one.pk in set(chosen)]
    library = library_of(coach) if wanted else Library({}, {})
    return ApplyPage(
        name=source.name,
        starts_on=starts_on,
        choices=tuple(
            ClientChoice(one.pk, one.name, f"{one.level}, {one.minutes} min", one in wanted)
            for one in clients
        ),
        looks=tuple(_look(source, one, library, starts_on) for one in wanted),
    )


def make_drafts(source: Source, clients: Sequence[Client], *, starts_on: date, by: User) -> Made:
    """A draft for each client, each in a transaction of its own: one that fails stops no other."""
    blocks, failed = [], []
    for client in clients:
        try:
            blocks.append(source.make(client, starts_on=starts_on, by=by))
        except BlockError as error:
            failed.append((client.name, str(error)))
    return Made(tuple(blocks), tuple(failed))


def _look(source: Source, client: Client, library: Library, starts_on: date) -> ClientLook:
    joints = joints_of(client)
    means = means_of(client, library.rows.values(), starts_on, joints=joints)
    fitted = source.fit(client, means, library)
    week = week_from_template(fitted.first_week, library.values, starts_on)
    running = _running(client, starts_on)
    nothing = "Nothing of it fits this client; choose another." if not week.sessions else ""
    return ClientLook(
        client=client,
        changes=fitted.sentences,
        findings=_findings(week, client, joints),
        notes=(*(f"{one}, is still planned then" for one in running), *_notes(source, client)),
        cautions=open_cautions(client, starts_on),
        sessions=_sessions(week, client, joints),
        refused=nothing,
        is_taken=bool(running),
    )


def _sessions(week: PlannedWeek, client: Client, joints: Joints) -> tuple[SessionLook, ...]:
    clocks = [(one, session_minutes(one)) for one in week.sessions]
    return tuple(
        SessionLook(
            one.name,
            one.on,
            round(clock.total),
            fits(clock, client.minutes),
            spine_rows(one, joints),
        )
        for one, clock in clocks
    )


def _findings(week: PlannedWeek, client: Client, joints: Joints) -> tuple[str, ...]:
    """What our rules find in the first week, and between it and the same week again."""
    later = timedelta(weeks=1)
    following = replace(
        week,
        number=2,
        starts_on=week.starts_on + later,
        sessions=tuple(replace(one, on=one.on + later) for one in week.sessions),
    )
    facts = ClientFacts(Level(client.level), client.minutes, joints, week.starts_on)
    found = block_findings([week_figures(week), week_figures(following)], facts)
    return tuple(one.finding.sentence for one in found[0])


def _running(client: Client, starts_on: date) -> list[str]:
    """The published blocks that still plan something on that day or later."""
    blocks = client.blocks.filter(published_at__isnull=False).prefetch_related("weeks")
    return [
        f"Block {block.number}, {block.name}"
        for block in blocks
        if any(week.starts_on + timedelta(days=6) >= starts_on for week in block.weeks.all())
    ]


def _notes(source: Source, client: Client) -> tuple[str, ...]:
    """What a coach should know before saying yes."""
    if source.level in {"", client.level}:
        return ()
    return (f"Made for {source.level}, {client.name} is {client.level}",)
