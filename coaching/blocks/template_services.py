"""A coach's own templates: kept from a block, named anew, removed, brought back."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify

from clients.models import User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockTemplate
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    as_plan,
    each_line,
    from_plan,
)
from coaching.blocks.template_values import weeks_from_template
from coaching.library.toml_fields import CatalogueError
from coaching.rules.load_to_choose import needs_load
from coaching.rules.plan import Exercise, LoadKind, Part
from coaching.rules.session_clock import session_minutes

MOST_OWN = 200


@transaction.atomic
def keep_template(
    *,
    coach: User,
    plan: TemplatePlan,
    library: Mapping[str, Exercise],
    name: str,
    level: str,
    description: str,
) -> BlockTemplate:
    """Keep a block, or one week of it, as one of the coach's own templates.

    Raises:
        BlockError: There is nothing to keep, the name is taken, or there are too many.
    """
    if not plan.sessions:
        message = "There is no session to keep; choose a week that holds one."
        raise BlockError(message)
    own = BlockTemplate.objects.filter(coach=coach)
    if own.count() >= MOST_OWN:
        message = f"You keep {MOST_OWN} templates, which is the most; remove one first."
        raise BlockError(message)
    _refuse_taken(coach, name)
    _refuse_unreadable(plan)
    return BlockTemplate.objects.create(
        coach=coach,
        key=_free_key(coach, name),
        name=name,
        level=level,
        description=description,
        minutes=_longest(plan, library),
        plan=as_plan(plan),
    )


@transaction.atomic
def name_template(
    *, template: BlockTemplate, name: str, level: str, description: str
) -> BlockTemplate:
    """Change what an own template is called, for whom it is and what it says.

    Raises:
        BlockError: Another own template has that name.
    """
    _refuse_taken(template.coach, name, but=template.pk)
    template.name, template.level, template.description = name, level, description
    template.save(update_fields=["name", "level", "description"])
    return template


def remove_template(*, template: BlockTemplate) -> None:
    """Offer an own template no more; blocks made from it stay, and it can be brought back."""
    template.removed_at = timezone.now()
    template.save(update_fields=["removed_at"])


@transaction.atomic
def bring_back_template(*, template: BlockTemplate) -> None:
    """Offer a removed template again.

    Raises:
        BlockError: Another own template has its name by now.
    """
    _refuse_taken(template.coach, template.name, but=template.pk)
    template.removed_at = None
    template.save(update_fields=["removed_at"])


def without_loads(plan: TemplatePlan, library: Mapping[str, Exercise]) -> TemplatePlan:
    """The plan with every load left open: kilograms are found with each client.

    Where the load of an exercise goes up or down over written weeks, each keeps the part it
    takes of the first one, or the kilograms more or less than it, so that the course of the loads
    stays: body weight has no part that a load could be, and help taken off it neither.
    """
    first: dict[tuple[str, Part, str], float] = {}

    def line(session: TemplateSession, pair: TemplatePair, one: TemplateLine) -> TemplateLine:
        exercise = library[one.exercise_key]
        kind = exercise.load_kind
        left_open = replace(one, load=0.0, load_share=1.0, load_step=0.0)
        place = (session.name, pair.part, one.exercise_key)
        is_known = one.load > 0 and kind is not LoadKind.NONE
        is_known = is_known or (kind is LoadKind.ADDED and not needs_load(exercise))
        if not (plan.written and is_known):
            return left_open
        at_first = first.setdefault(place, one.load)
        if kind is LoadKind.EXTERNAL:
            return replace(left_open, load_share=round(one.load / at_first, 3))
        return replace(left_open, load_step=one.load - at_first)

    return each_line(plan, line)


def _refuse_taken(coach: User | None, name: str, *, but: int = 0) -> None:
    same = BlockTemplate.objects.filter(coach=coach, name__iexact=name, removed_at__isnull=True)
    if same.exclude(pk=but).exists():
        message = f"You have a template called “{name}”; choose another name."
        raise BlockError(message)


def _refuse_unreadable(plan: TemplatePlan) -> None:
    """A plan that a template cannot hold, such as two sessions on one day."""
    try:
        from_plan(as_plan(plan))
    except CatalogueError as error:
        message = f"This cannot be kept as a template: {error}"
        raise BlockError(message) from error


def _free_key(coach: User, name: str) -> str:
    stem = slugify(name)[:60] or "template"
    taken = set(BlockTemplate.objects.filter(coach=coach).values_list("key", flat=True))
    keys = (stem if number == 1 else f"{stem}-{number}" for number in range(1, MOST_OWN + 2))
    return next(key for key in keys if key not in taken)


def _longest(plan: TemplatePlan, library: Mapping[str, Exercise]) -> int:
    weeks = weeks_from_template(plan, library, _ANY_DAY)
    sessions = [session for week in weeks for session in week.sessions]
    return max(round(session_minutes(session).total) for session in sessions)


_ANY_DAY = date.min
"""How long a session takes does not depend on its day."""
