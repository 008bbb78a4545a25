"""The first session after a light week: which one it is, and what it checks."""

from collections.abc import Sequence

from coaching.blocks.models import PlannedSession
from coaching.rules.plan import Part, WeekKind
from coaching.rules.return_check import return_words


def return_line(session: PlannedSession, around: Sequence[PlannedSession]) -> str:
    """What the client is told of a return session, nothing of another; 1 query at most.

    ``session`` comes with its plan; ``around`` holds the sessions near it with their weeks.
    """
    if session.week.kind == WeekKind.DELOAD.value or not _follows_light(session, around):
        return ""
    pairs = [pair for pair in session.pairs.all() if pair.part != Part.WARM_UP.value]
    lines = pairs[0].prescriptions.all() if pairs else []
    return return_words([line.exercise.name for line in lines])


def _follows_light(session: PlannedSession, around: Sequence[PlannedSession]) -> bool:
    """Whether the session before it, however long ago, is of a light week."""
    before = [one for one in around if _place(one) < _place(session)]
    if before:
        return bool(before[-1].week.kind == WeekKind.DELOAD.value)
    earlier = PlannedSession.objects.filter(
        week__block__client=session.week.block.client_id,
        week__block__published_at__isnull=False,
        on__lt=session.on,
    )
    last = earlier.order_by("-on", "-position").values_list("week__kind", flat=True).first()
    return last == WeekKind.DELOAD.value


def _place(session: PlannedSession) -> tuple[object, int]:
    return session.on, session.position
