"""Who may see which exercise: returns the object or raises 404."""

from django.http import Http404

from clients.access import coach_or_404
from clients.models import User
from coaching.library.models import Exercise


def exercise_of_coach(user: User, key: str) -> Exercise:
    """An exercise of the coach's own or of the shared library, own first."""
    rows = (
        Exercise.objects.of_coach(coach_or_404(user))
        .filter(key=key)
        .select_related("ladder")
        .prefetch_related("muscle_shares")
    )
    found = sorted(rows, key=lambda row: row.coach_id is None)
    if not found:
        raise Http404("There is no such exercise.")
    return found[0]
