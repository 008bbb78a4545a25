"""Who may see whom: each function returns the object or raises 404."""

import secrets
from collections.abc import Sequence
from pathlib import Path

from django.conf import settings
from django.http import Http404, HttpRequest

from clients.models import Client, JointLimit, Role, User


def coach_or_404(user: User) -> User:
    """The signed-in coach; a client meets a page that does not exist."""
    if user.role != Role.COACH:
        raise Http404("This page is for coaches.")
    return user


def client_of_coach(user: User, client_id: int) -> Client:
    """A client of the signed-in coach."""
    own = Client.objects.filter(coach=coach_or_404(user)).select_related("coach")
    client = own.filter(pk=client_id).first()
    if client is None:
        raise Http404("You have no such client.")
    return client


def clients_of_coach(user: User, ids: Sequence[str]) -> list[Client]:
    """Clients of the signed-in coach in the order named, without those who left."""
    own = {str(row.pk): row for row in Client.objects.filter(coach=coach_or_404(user))}
    wanted = dict.fromkeys(ids)
    if not wanted.keys() <= own.keys():
        raise Http404("You have no such client.")
    return [own[pk] for pk in wanted if own[pk].archived_at is None]


def own_client_or_404(user: User) -> Client:
    """The client that the signed-in account is."""
    client = Client.objects.filter(user=user, archived_at__isnull=True).first()
    if client is None or user.role != Role.CLIENT:
        raise Http404("This page is for clients.")
    return client


def client_for(user: User, client_id: int | None) -> Client:
    """The client to log for: oneself, or for a coach one of the own clients."""
    if client_id is None:
        return own_client_or_404(user)
    return client_of_coach(user, client_id)


def joint_limit_of_coach(user: User, limit_id: int) -> JointLimit:
    """A joint limit of one of the coach's clients."""
    found = (
        JointLimit.objects.filter(pk=limit_id, client__coach=coach_or_404(user))
        .select_related("client")
        .first()
    )
    if found is None:
        raise Http404("You have no client with such a joint limit.")
    return found


def may_open_practice(request: HttpRequest, token: str) -> bool:
    """Whether this browser may make the first account: on this machine, or with the token.

    Behind a proxy everybody seems to come from this machine, so there only the token counts.
    """
    if token:
        return secrets.compare_digest(token.encode(), _setup_token().encode())
    forwarded = {"Forwarded", "X-Forwarded-For", "X-Forwarded-Proto", "X-Real-Ip"}
    behind_proxy = settings.SECURE_COOKIES or any(name in request.headers for name in forwarded)
    return not behind_proxy and request.META.get("REMOTE_ADDR") in {"127.0.0.1", "::1"}


def _setup_token() -> str:
    file = Path(settings.SETUP_TOKEN_FILE)
    kept = file.read_text(encoding="ascii").strip() if file.is_file() else ""
    return kept or secrets.token_urlsafe(48)
