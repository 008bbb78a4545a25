"""What the list of templates shows: the coach's own, those removed, and the shared ones."""

from collections.abc import Iterable
from dataclasses import dataclass

from clients.models import User
from coaching.blocks.from_template import LEVELS
from coaching.blocks.models import BlockTemplate
from coaching.blocks.queries import templates_for


@dataclass(frozen=True)
class TemplateRow:
    """One template in the list."""

    pk: int
    name: str
    level: str
    minutes: int
    sessions: int
    weeks: int
    description: str
    is_written: bool
    """Whether every week is kept as it was written, instead of one that is repeated."""


@dataclass(frozen=True)
class TemplatesPage:
    """All templates of a coach; ``removed`` can be brought back."""

    own: tuple[TemplateRow, ...]
    removed: tuple[TemplateRow, ...]
    shared: tuple[TemplateRow, ...]


def templates_page(coach: User) -> TemplatesPage:
    """The coach's own templates first, then the shared ones; 2 queries."""
    rows = list(templates_for(coach))
    gone = BlockTemplate.objects.filter(coach=coach, removed_at__isnull=False)
    return TemplatesPage(
        own=_rows(row for row in rows if row.coach_id is not None),
        removed=_rows(gone.order_by("-removed_at")),
        shared=_rows(sorted((row for row in rows if row.coach_id is None), key=_by_level)),
    )


def _by_level(template: BlockTemplate) -> tuple[int, str]:
    return (LEVELS.index(template.level), template.name)


def _rows(templates: Iterable[BlockTemplate]) -> tuple[TemplateRow, ...]:
    return tuple(
        TemplateRow(
            pk=one.pk,
            name=one.name,
            level=one.level,
            minutes=one.minutes,
            sessions=len(one.plan["sessions"]),
            weeks=len(one.plan["weeks"]),
            description=one.description,
            is_written=bool(one.plan.get("written")),
        )
        for one in templates
    )
