"""What the page for a new block shows: templates that fit first, and a look at week 1."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client, User
from clients.queries import screening_answers
from coaching.blocks.adaptation_values import Adaptation, ClientMeans, ToldChanges
from coaching.blocks.client_means import means_of
from coaching.blocks.effects import WeekEffects, week_effects
from coaching.blocks.health import open_cautions
from coaching.blocks.last_block import newest_block_of
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import BlockTemplate
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
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.planned_days import first_free_day, next_monday, planned_spans, taken_by
from coaching.blocks.queries import templates_for
from coaching.blocks.services import template_fit
from coaching.blocks.shared_templates import from_plan
from coaching.blocks.template_values import weeks_from_template
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules.plan import Exercise, Level, PlannedWeek
from coaching.rules.screening import BreathCaution, Caution, breath_caution

_LEVELS = [level.value for level in Level]


@dataclass(frozen=True)
class TemplateCard:
    """One template as it would be for this client."""

    pk: int
    name: str
    level: str
    minutes: int
    sessions: int
    weeks: int
    description: str
    changes: ToldChanges
    notes: tuple[str, ...]
    is_chosen: bool

    @property
    def pk_text(self) -> str:
        """The row id as an address holds it."""
        return str(self.pk)


@dataclass(frozen=True)
class NewBlockPage:
    """Templates for one client, and the chosen one's first week."""

    client: Client
    starts_on: date
    cards: tuple[TemplateCard, ...]
    chosen: TemplateCard | None
    sessions: tuple[SessionLook, ...]
    weeks: tuple[WeekLook, ...]
    to_choose: tuple[str, ...]
    """The exercises whose load is chosen in the draft."""
    findings: FoundInPlan
    lost: str
    """The sets that fitting it costs, and the muscles that leave their range by it."""
    often: str
    """How often a week the client would train, where that is new."""
    taken: str
    """Why the block cannot be published from that day on; empty when it can."""
    effects: WeekEffects | None
    cautions: tuple[Caution, ...]
    breath: BreathCaution | None

    @property
    def starts_on_text(self) -> str:
        """The first day as an address or a date field holds it."""
        return self.starts_on.isoformat()


def new_block_page(
    client: Client, coach: User, *, template_id: int | None, starts_on: date | None, today: date
) -> NewBlockPage:
    """Templates ranked by how well they fit, one looked at; 14 queries, 1 more with joint limits, 2 with a block.

    Without a first day it is the first Monday, or the first day after what is planned.
    """
    spans = planned_spans(client, today)
    starts_on = starts_on or first_free_day(spans, next_monday(today))
    rows = exercises_by_key(coach)
    joints = joints_of(client)
    library = {key: exercise_value(row) for key, row in rows.items()}
    means = means_of(client, rows.values(), starts_on, joints=joints)
    ranked = _ranked(client, coach, library, means)
    ids = [template.pk for template, _ in ranked]
    wanted = template_id if template_id in ids else next(iter(ids), None)
    cards = tuple(_card(template, fit, client, wanted) for template, fit in ranked)
    own, chosen = next((one for one in ranked if one[0].pk == wanted), (None, None))
    plans = [chosen.plan, from_plan(own.plan)] if chosen and own else []
    weeks, written = [weeks_from_template(one, library, starts_on) for one in plans] or [(), ()]
    week = next((one for one in weeks if one.sessions), None)
    effects = _effects(client, week) if week else None
    figures, last = [week_figures(one) for one in weeks], newest_block_of(client)
    return NewBlockPage(
        client=client,
        starts_on=starts_on,
        cards=cards,
        chosen=next((card for card in cards if card.is_chosen), None),
        sessions=session_looks(week, client, joints),
        weeks=week_looks(figures, client.minutes),
        findings=found_in_plan(figures, client, joints, means.equipment, last),
        lost=lost_to_fit(written, figures, Level(client.level)),
        often=sessions_note(figures, client.name, last),
        to_choose=names_to_choose(weeks),
        taken=taken_by(spans, starts_on, _last_day(weeks, starts_on)),
        effects=effects,
        cautions=open_cautions(client, starts_on),
        breath=breath_caution(week.sessions, screening_answers(client)) if week else None,
    )


def _ranked(
    client: Client, coach: User, library: Mapping[str, Exercise], means: ClientMeans
) -> list[tuple[BlockTemplate, Adaptation]]:
    """All templates as the client would get them, what fits best first; 1 query."""
    fits = [(one, template_fit(one, library, means)) for one in templates_for(coach)]
    return sorted(fits, key=lambda item: ranking_key(item[0], item[1], client))


def _last_day(weeks: Sequence[PlannedWeek], starts_on: date) -> date:
    return max((one.on for week in weeks for one in week.sessions), default=starts_on)


def ranking_key(
    template: BlockTemplate, fit: Adaptation, client: Client
) -> tuple[int, int, int, int, str]:
    """How well a template fits, in words: left out, level, swaps, minutes over, name."""
    level = abs(_LEVELS.index(template.level) - _LEVELS.index(client.level))
    over = max(0, template.minutes - client.minutes)
    return (fit.left_out, level, fit.told.count, over, template.name)


def _card(
    template: BlockTemplate, fit: Adaptation, client: Client, wanted: int | None
) -> TemplateCard:
    notes = []
    if template.level != client.level:
        notes.append(f"made for {template.level}, {client.name} is {client.level}")
    if template.minutes > client.minutes:
        has = f"{client.name} has {client.minutes}"
        notes.append(f"takes {template.minutes} min as it is, {has}: sessions are made shorter")
    if fit.is_little_left:
        notes.append("most of it is left out or swapped; another of the list fits better")
    return TemplateCard(
        pk=template.pk,
        name=template.name,
        level=template.level,
        minutes=template.minutes,
        sessions=len(fit.plan.sessions),
        weeks=len(fit.plan.week_kinds),
        description=template.description,
        changes=fit.told,
        notes=tuple(notes),
        is_chosen=template.pk == wanted,
    )


def _effects(client: Client, week: PlannedWeek) -> WeekEffects:
    return week_effects(
        week,
        level=Level(client.level),
        minutes_budget=client.minutes,
        title=f"Week {week.number}, sets per muscle",
    )
