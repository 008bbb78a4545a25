"""Writes of people: accounts, clients, and the links that sign clients in."""

import hashlib
import secrets
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from clients.errors import AccountError
from clients.models import BodyWeight, Client, Equipment, JointLimit, Role, SignInLink, User

LINK_LASTS = timedelta(days=30)


@transaction.atomic
def create_coach(*, email: str, name: str, password: str) -> User:
    """An account for a coach; raises AccountError when the address is taken."""
    if User.objects.filter(email__iexact=email).exists():
        message = "E-mail: there is an account with this address; sign in instead."
        raise AccountError(message)
    return User.objects.create_account(email=email, name=name, role=Role.COACH, password=password)


@transaction.atomic
def create_client(*, coach: User, name: str, email: str = "", **fields: Any) -> Client:
    """A client of a coach, with an account when an address is given."""
    client = Client.objects.create(coach=coach, name=name, **fields)
    if email:
        give_account(client=client, email=email)
    return client


@transaction.atomic
def give_account(*, client: Client, email: str) -> User:
    """An account with which the client signs in; raises AccountError if it is taken."""
    try:
        with transaction.atomic():
            user = User.objects.create_account(email=email, name=client.name, role=Role.CLIENT)
    except IntegrityError as error:
        message = f"E-mail: {email} already has an account; use another address."
        raise AccountError(message) from error
    client.user = user
    client.save(update_fields=["user"])
    return user


def token_hash(token: str) -> str:
    """What is kept of a link's token: enough to know it again, not to make it."""
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def make_sign_in_link(*, user: User) -> str:
    """A new token that signs an account in; older links of it stop working."""
    SignInLink.objects.filter(user=user).delete()
    token = secrets.token_urlsafe(24)
    SignInLink.objects.create(
        user=user, token_hash=token_hash(token), expires_at=timezone.now() + LINK_LASTS
    )
    return token


def user_of_link(token: str) -> User | None:
    """Whose link this is, or none when it is unknown, replaced or too old."""
    link = (
        SignInLink.objects.filter(
            token_hash=token_hash(token), expires_at__gt=timezone.now(), user__is_active=True
        )
        .select_related("user")
        .first()
    )
    return link.user if link else None


@transaction.atomic
def record_body_weight(*, client: Client, on: date, kg: float) -> BodyWeight:
    """The body weight of a day; a second one on that day replaces the first."""
    row, _ = BodyWeight.objects.update_or_create(client=client, on=on, defaults={"kg": kg})
    return row


@transaction.atomic
def set_equipment(*, client: Client, items: Sequence[Mapping[str, Any]]) -> None:
    """What the client can train with, in place of what was written down before.

    Each item holds ``kind`` and, where it has loads, ``pieces`` [kg] and ``bar_kg``.
    """
    Equipment.objects.filter(client=client).delete()
    Equipment.objects.bulk_create(Equipment(client=client, **item) for item in items)


@transaction.atomic
def add_joint_limit(
    *, client: Client, stress: str, action: str, since: date, side: str = "", note: str = ""
) -> JointLimit:
    """Write down a loading that the client avoids, regresses or watches."""
    return JointLimit.objects.create(
        client=client, stress=stress, action=action, since=since, side=side, note=note
    )


@transaction.atomic
def end_joint_limit(*, limit: JointLimit, on: date) -> JointLimit:
    """The limit no longer holds from that day on; it stays in the history."""
    limit.until = max(on, limit.since)
    limit.save(update_fields=["until"])
    return limit
