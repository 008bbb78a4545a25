"""A template or a block for several clients: what each of them would get, side by side."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from clients.queries import clients_of, screening_answers
from clients.templatetags import in_words
from coaching.blocks.adaptation_values import NO_CHANGES, Adaptation, ToldChanges
from coaching.blocks.block_sources import Library, Source, library_of
from coaching.blocks.changes_alike import AlikeChanges, alike_changes
from coaching.blocks.client_means import means_of
from coaching.blocks.errors import BlockError
from coaching.blocks.forms_templates import day_field
from coaching.blocks.health import open_cautions
from coaching.blocks.last_block import newest_block_of
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.pages_template_look import (
    FoundInPlan,
    SessionLook,
    WeekLook,
    found_in_plan,
    lost_to_fit,
    names_to_choose,
    session_looks,
    sessions_note,
    week_looks,
)
from coaching.blocks.plan_figures import WeekFigures, week_figures
from coaching.blocks.planned_days import (
    PlannedSpan,
    first_free_day,
    planned_spans,
    taken_by,
    waiting_draft,
)
from coaching.blocks.template_values import weeks_from_template
from coaching.rules.plan import Level, PlannedWeek
from coaching.rules.screening import BreathCaution, Caution, breath_caution


@dataclass(frozen=True)
class ClientChoice:
    """One client to choose."""

    pk: int
    name: str
    about: str
    is_chosen: bool


@dataclass(frozen=True)
class Asked:
    """What the coach chose: whose look is shown, who is ticked, from which day for each.

    Without ``ticked`` everybody is ticked; ``held`` are those left out until their day is
    changed; ``faults`` are days that cannot be. While one only looks, nobody is ticked whose
    day cannot be.
    """

    shown: Sequence[int] = ()
    ticked: Collection[int] | None = None
    days: Mapping[int, date] = field(default_factory=dict)
    faults: Mapping[int, str] = field(default_factory=dict)
    held: Collection[int] = ()
    is_look: bool = True
    looked: Mapping[int, str] = field(default_factory=dict)
    """The day that each look on the page was of."""

    def wants(self, pk: int) -> bool:
        """Whether a draft is wanted for a client, today or once the day can be."""
        return self.ticked is None or pk in self.ticked or pk in self.held

    def ticks(self, pk: int, fault: str) -> bool:
        """Whether a client is ticked: at a look who is wanted and can, else who was ticked."""
        if self.is_look:
            return self.wants(pk) and not fault
        return self.ticked is None or pk in self.ticked


@dataclass(frozen=True)
class ClientLook:
    """What one client would get from a day on; ``refused`` says why nothing can be made.

    ``fault`` says why nothing can be made from that day on.
    """

    client: Client
    starts_on: date
    changes: ToldChanges
    findings: FoundInPlan
    lost: str
    """The sets that fitting it costs, and the muscles that leave their range by it."""
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    breath: BreathCaution | None
    sessions: tuple[SessionLook, ...]
    weeks: tuple[WeekLook, ...]
    to_choose: tuple[str, ...]
    """The exercises whose load is chosen in the draft."""
    refused: str = ""
    fault: str = ""
    is_ticked: bool = True
    is_held: bool = False
    """Whether it is left out for its day alone, and ticked again once that can be."""
    is_other_day: bool = False
    """Whether the day was changed since the coach looked."""
    is_little_left: bool = False
    """Whether most of what is copied is left out or swapped, so that another fits better."""
    own: ToldChanges = NO_CHANGES
    """What of the changes is not told for several clients at once."""
    as_others: int = 0
    """How many changes are told for several clients at once."""

    @property
    def day_field(self) -> str:
        """The name of the field with the first day."""
        return day_field(self.client.pk)

    @property
    def starts_on_text(self) -> str:
        """The first day as a date field holds it."""
        return self.starts_on.isoformat()

    @property
    def cannot(self) -> str:
        """Why no draft can be made as it is asked; empty when it can."""
        return self.refused or self.fault


@dataclass(frozen=True)
class ApplyPage:
    """The clients to choose from, and what each chosen one would get."""

    name: str
    starts_on: date
    choices: tuple[ClientChoice, ...]
    looks: tuple[ClientLook, ...]
    alike: tuple[AlikeChanges, ...] = ()
    """What changes in the same way for several of the clients, told once."""

    @property
    def starts_on_text(self) -> str:
        """The earliest first day as a date field holds it."""
        return self.starts_on.isoformat()

    @property
    def ready(self) -> int:
        """For how many of the chosen clients a draft can be made."""
        return sum(not look.cannot for look in self.looks)

    @property
    def ticked(self) -> tuple[ClientLook, ...]:
        """Those for whom a draft is asked."""
        return tuple(look for look in self.looks if look.is_ticked)

    @property
    def is_possible(self) -> bool:
        """Whether each draft that is asked can be made, and one is."""
        return bool(self.ticked) and not any(one.cannot or one.is_other_day for one in self.ticked)

    @property
    def other_days(self) -> tuple[str, ...]:
        """Who is ticked with a day that nobody has looked at."""
        return tuple(one.client.name for one in self.ticked if one.is_other_day)

    @property
    def is_one_day(self) -> bool:
        """Whether all would start on the same day."""
        return len({look.starts_on for look in self.looks}) == 1


@dataclass(frozen=True)
class _Setting:
    """What every look shares."""

    source: Source
    library: Library
    earliest: date
    asked: Asked


def apply_page(source: Source, coach: User, *, asked: Asked, earliest: date) -> ApplyPage:
    """Who may get it, and what each chosen client would get; 3 queries and 16 a chosen client."""
    clients = list(clients_of(coach))
    wanted = [one for one in clients if one.pk in set(asked.shown)]
    library = library_of(coach) if wanted else Library({}, {})
    setting = _Setting(source, library, earliest, asked)
    looks = [_look(one, setting) for one in wanted]
    told = {one.client.pk: one.changes for one in looks}
    alike = alike_changes(told, {one.client.pk: one.client.name for one in looks})
    return ApplyPage(
        name=source.name,
        starts_on=earliest,
        choices=tuple(
            ClientChoice(one.pk, one.name, f"{one.level}, {one.minutes} min", one in wanted)
            for one in clients
        ),
        looks=tuple(_with_alike(one, alike) for one in looks),
        alike=alike,
    )


def _with_alike(look: ClientLook, alike: Sequence[AlikeChanges]) -> ClientLook:
    mine = [words for one in alike if look.client.pk in one.clients for words in one.words]
    return replace(look, own=look.changes.without(mine), as_others=len(mine))


@transaction.atomic
def make_drafts(source: Source, looks: Sequence[ClientLook], *, by: User) -> tuple[Block, ...]:
    """A draft for each client from its own day on: all of them, or none.

    Raises:
        BlockError: One cannot be made; it names the client.
    """
    blocks = []
    for look in looks:
        try:
            blocks.append(source.make(look.client, starts_on=look.starts_on, by=by))
        except BlockError as error:
            message = f"{look.client.name}: {error} No draft was made for anybody."
            raise BlockError(message) from error
    return tuple(blocks)


def _look(client: Client, setting: _Setting) -> ClientLook:
    asked, library = setting.asked, setting.library
    today = client.local_date(timezone.now())
    spans = planned_spans(client, today)
    earliest = max(setting.earliest, today)
    starts_on = asked.days.get(client.pk) or first_free_day(spans, earliest)
    joints = joints_of(client)
    means = means_of(client, library.rows.values(), starts_on, joints=joints)
    fitted = setting.source.fit(client, means, library)
    weeks = weeks_from_template(fitted.plan, library.values, starts_on)
    first = next((one for one in weeks if one.sessions), None)
    figures, last = [week_figures(one) for one in weeks], newest_block_of(client)
    days = [session.on for week in weeks for session in week.sessions]
    fault = asked.faults.get(client.pk) or taken_by(spans, starts_on, max(days, default=starts_on))
    refused = "" if days else "Nothing of it fits this client; choose another."
    is_ticked = not refused and asked.ticks(client.pk, fault)
    return ClientLook(
        client=client,
        starts_on=starts_on,
        changes=fitted.told,
        findings=found_in_plan(figures, client, joints, means.equipment, last),
        lost=lost_to_fit(_written(setting, starts_on), figures, Level(client.level)),
        notes=(
            *_often(figures, client, last),
            *_notes(setting, client, spans, starts_on),
            *_too_little(fitted, setting, client),
        ),
        cautions=open_cautions(client, starts_on),
        breath=breath_caution(first.sessions, screening_answers(client)) if first else None,
        sessions=session_looks(first, client, joints),
        weeks=week_looks(figures, client.minutes),
        to_choose=names_to_choose(weeks),
        refused=refused,
        fault=fault,
        is_ticked=is_ticked,
        is_other_day=asked.looked.get(client.pk, starts_on.isoformat()) != starts_on.isoformat(),
        is_little_left=fitted.is_little_left,
        is_held=bool(fault) and not is_ticked and asked.wants(client.pk),
    )


def _written(setting: _Setting, starts_on: date) -> tuple[PlannedWeek, ...]:
    return weeks_from_template(setting.source.written, setting.library.values, starts_on)


def _often(
    figures: Sequence[WeekFigures], client: Client, last: LastBlock | None
) -> tuple[str, ...]:
    note = sessions_note(figures, client.name, last)
    return (note,) if note else ()


def _notes(
    setting: _Setting, client: Client, spans: Sequence[PlannedSpan], starts_on: date
) -> tuple[str, ...]:
    """What a coach should know before saying yes; 1 query."""
    level = setting.source.level
    last = max(spans, key=lambda one: one.last_session, default=None)
    notes = []
    if last and last.free_from <= starts_on:
        notes.append(f"{last.block}, ends on {in_words.day(last.ends_on)}; this starts after it")
    if draft := waiting_draft(client):
        notes.append(draft)
    if level not in {"", client.level}:
        notes.append(f"Made for {level}, {client.name} is {client.level}")
    return tuple(notes)


def _too_little(fitted: Adaptation, setting: _Setting, client: Client) -> tuple[str, ...]:
    """That another template fits better, where most of this one is gone."""
    if not fitted.is_little_left:
        return ()
    is_other = setting.source.level not in {"", client.level}
    better = f"a template for {client.level} fits" if is_other else "another template may fit"
    return (f"Most of it is left out or swapped; {better} better",)
