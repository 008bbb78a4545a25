"""Which plans and logs somebody may open: each function returns the object or raises 404."""

from collections.abc import Sequence
from datetime import date, timedelta
from uuid import UUID

from django.http import Http404
from django.utils import timezone

from clients.access import coach_or_404
from clients.models import Client, User
from coaching.blocks.models import PlannedSession
from coaching.library.models import Exercise, MovementGoal
from sessions.models import Decision, LoggedSession, LoggedSet
from sessions.shown_session import DAYS_OPEN, Shown, logged_of
from sessions.word_models import PrivateNote, Word


def session_of(client: Client, uid: str) -> Shown:
    """A published planned session of a client, or one that was logged without a plan."""
    wanted = _uuid_or_404(uid)
    of_client = PlannedSession.objects.filter(
        week__block__client=client, week__block__published_at__isnull=False
    ).select_related("week__block", "logged_session")
    planned = of_client.filter(uid=wanted).first()
    planned = planned or of_client.filter(logged_session__uid=wanted).first()
    if planned is not None:
        return Shown(planned, logged_of(planned))
    logged = LoggedSession.objects.filter(client=client, uid=wanted).first()
    if logged is None:
        raise Http404("There is no such session in this plan.")
    return Shown(None, logged)


def day_ahead(client: Client, text: str) -> date:
    """A day from today to a week ahead, by the client's calendar."""
    today = client.local_date(timezone.now())
    try:
        asked = date.fromisoformat(text)
    except ValueError:
        asked = date.min
    if not today <= asked <= today + timedelta(days=DAYS_OPEN):
        raise Http404("Today can be opened for the coming week only.")
    return asked


def exercise_in_log_of(client: Client, exercise_id: int) -> Exercise:
    """An exercise that a client has logged."""
    logged = LoggedSet.objects.filter(logged_session__client=client, exercise=exercise_id)
    found = Exercise.objects.filter(pk=exercise_id).first() if logged.exists() else None
    if found is None:
        raise Http404("This exercise is not in this log.")
    return found


def goal_of_coach(user: User, goal_id: int) -> MovementGoal:
    """A movement goal of one of the coach's clients."""
    goals = MovementGoal.objects.filter(pk=goal_id, client__coach=coach_or_404(user))
    found = goals.select_related("client", "exercise__ladder").first()
    if found is None:
        raise Http404("You have no client with such a goal.")
    return found


def decisions_of_coach(user: User, ids: Sequence[str]) -> list[Decision]:
    """Decisions about the coach's own clients; all of them, or a page that does not exist."""
    wanted = {int(one) for one in ids if one.isdecimal()}
    found = Decision.objects.filter(pk__in=wanted, review__client__coach=coach_or_404(user))
    rows = list(found.select_related("version", "review__client").order_by("pk"))
    if not wanted or len(rows) != len(wanted):
        raise Http404("There is no such decision.")
    return rows


def word_of_coach(user: User, uid: UUID) -> Word:
    """A word that was written to one of the coach's clients."""
    words = Word.objects.filter(uid=uid, from_client=False, client__coach=coach_or_404(user))
    found = words.first()
    if found is None:
        raise Http404("You have written no such word.")
    return found


def private_note_of_coach(user: User, note_id: int) -> PrivateNote:
    """A private note about one of the coach's clients."""
    found = PrivateNote.objects.filter(pk=note_id, client__coach=coach_or_404(user)).first()
    if found is None:
        raise Http404("You have no such note.")
    return found


def _uuid_or_404(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError as error:
        raise Http404("There is no such session in this plan.") from error
