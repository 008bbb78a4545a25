"""Who may see which exercise: returns the object or raises 404."""

from django.http import Http404

from clients.access import coach_or_404
from clients.models import User
from coaching.library.models import Exercise, Ladder


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


def own_exercise_of_coach(user: User, key: str) -> Exercise:
    """An exercise of the coach's own, retired or not; shared ones are not found."""
    found = (
        Exercise.objects.filter(coach=coach_or_404(user), key=key)
        .select_related("ladder", "coach")
        .prefetch_related("muscle_shares")
        .first()
    )
    if found is None:
        raise Http404("You have no such exercise of your own.")
    return found


def ladder_of_library(user: User, key: str) -> Ladder:
    """A ladder; all coaches share them."""
    coach_or_404(user)
    found = Ladder.objects.filter(key=key).first()
    if found is None:
        raise Http404("There is no such ladder.")
    return found
