"""Writes of the intake: who the client is, the health screen, joint limits, leaving."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Q

from clients.errors import IntakeError
from clients.models import Client, JointLimit, SignInLink, User
from clients.queries import body_weight_on
from clients.services import add_joint_limit, create_client, record_body_weight
from coaching.rules.screening import Topic

PERSON_FIELDS = frozenset(
    {
        "name",
        "level",
        "time_zone",
        "sex",
        "stature_cm",
        "born_in",
        "minutes",
        "asks_rir",
        "steps_up_by_itself",
        "goal_words",
    }
)


@transaction.atomic
def add_client(
    *, coach: User, now: datetime, email: str = "", body_weight: Decimal | None = None, **said: Any
) -> Client:
    """A new client on the coach's roster; raises AccountError when the address is taken."""
    refuse_unknown_fields(said)
    client = create_client(coach=coach, email=email, **said)
    weigh_client(client=client, on=client.local_date(now), kg=body_weight)
    return client


@transaction.atomic
def weigh_client(*, client: Client, on: date, kg: Decimal | None) -> None:
    """Record the body weight of a day unless nothing was typed or nothing changed."""
    if kg is not None and body_weight_on(client, on) != float(kg):
        record_body_weight(client=client, on=on, kg=float(kg))


def refuse_unknown_fields(fields: Mapping[str, Any]) -> None:
    """Raise IntakeError when something is no part of what is written down of a client."""
    for unknown in fields.keys() - PERSON_FIELDS:
        message = f"{unknown}: this is not part of what is written down of a client."
        raise IntakeError(message)


@transaction.atomic
def update_client(*, client: Client, **fields: Any) -> Client:
    """Change what is written down of a client; the account carries the same name."""
    refuse_unknown_fields(fields)
    for field, value in fields.items():
        setattr(client, field, value)
    client.save(update_fields=list(fields))
    if "name" in fields and client.user_id:
        User.objects.filter(pk=client.user_id).update(name=client.name)
    return client


@transaction.atomic
def record_screening(
    *,
    client: Client,
    answers: Mapping[Topic, bool],
    on: date,
    note: str = "",
    cleared_on: date | None = None,
) -> Client:
    """Keep the answers of the health screen and the day of a practitioner's clearance.

    Raises IntakeError when a question is left open or the clearance lies in the future.
    """
    _refuse_open_questions(answers)
    if cleared_on is not None and cleared_on > on:
        message = "Clearance: the day lies in the future; write the day you saw it."
        raise IntakeError(message)
    client.screening_answers = {topic.value: answers[topic] for topic in Topic if topic in answers}
    client.screening_note = note
    client.screened_on = on
    client.cleared_on = cleared_on
    client.save(update_fields=["screening_answers", "screening_note", "screened_on", "cleared_on"])
    return client


def _refuse_open_questions(answers: Mapping[Topic, bool]) -> None:
    needed = [topic for topic in Topic if topic is not Topic.CONSENT or answers.get(Topic.MINOR)]
    missing = [topic.value for topic in needed if topic not in answers]
    if missing:
        message = f"Health screen: answer every question; open: {', '.join(missing)}."
        raise IntakeError(message)


@transaction.atomic
def limit_joint(*, client: Client, stress: str, since: date, **said: str) -> JointLimit:
    """Add a joint limit; raises IntakeError when that loading is already limited."""
    side = said.get("side", "")
    holds = JointLimit.objects.filter(client=client, stress=stress).filter(
        Q(until__isnull=True) | Q(until__gt=since)
    )
    overlapping = holds if not side else holds.filter(side__in=["", side])
    if found := overlapping.first():
        where = f"{found.stress} ({found.side})" if found.side else found.stress
        message = f"Loading: “{where}” is already limited ({found.action}); end that one first."
        raise IntakeError(message)
    return add_joint_limit(client=client, stress=stress, since=since, **said)


@transaction.atomic
def reopen_joint_limit(*, limit: JointLimit) -> JointLimit:
    """A limit that was ended holds again; raises IntakeError when another took its place."""
    others = JointLimit.objects.filter(
        client=limit.client, stress=limit.stress, until__isnull=True
    ).exclude(pk=limit.pk)
    if any(not (one.side and limit.side) or one.side == limit.side for one in others):
        message = f"Loading: “{limit.stress}” is limited again already; end that one first."
        raise IntakeError(message)
    limit.until = None
    limit.save(update_fields=["until"])
    return limit


@transaction.atomic
def archive_client(*, client: Client, now: datetime) -> Client:
    """The client left the practice: off the roster and signed out; everything is kept."""
    client.archived_at = now
    client.save(update_fields=["archived_at"])
    if client.user is not None:
        SignInLink.objects.filter(user=client.user).delete()
        client.user.is_active = False
        client.user.save(update_fields=["is_active"])
    return client


@transaction.atomic
def restore_client(*, client: Client) -> Client:
    """The client is back on the roster and may sign in again."""
    client.archived_at = None
    client.save(update_fields=["archived_at"])
    if client.user is not None:
        client.user.is_active = True
        client.user.save(update_fields=["is_active"])
    return client
