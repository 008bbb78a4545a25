"""Reads of people; rows become the values that the rules work on."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db.models import Q

from clients.kept_query import KeptQuery, next_in
from clients.models import (
    BodyWeight,
    Client,
    ClientQuerySet,
    Equipment,
    JointLimit,
    SignInLink,
    User,
)
from coaching.rules.joint_limits import JointLimit as JointLimitValue
from coaching.rules.joint_limits import LimitAction
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, JointStress
from coaching.rules.screening import Topic


def clients_of(coach: User) -> ClientQuerySet:
    """The coach's roster by name, without those who left; 1 query."""
    return Client.objects.filter(coach=coach).active()


def equipment_values(rows: Iterable[Equipment]) -> tuple[EquipmentItem, ...]:
    """The rules' values of equipment rows."""
    return tuple(
        EquipmentItem(
            kind=EquipmentKind(row.kind),
            pieces=tuple(float(kg) for kg in row.pieces if not isinstance(kg, list)),
            bar=float(row.bar_kg),
            ranges=tuple((float(low), float(high)) for low, high in _pairs(row.pieces)),
        )
        for row in rows
    )


def _pairs(pieces: Iterable[Any]) -> list[list[float]]:
    """Bands that are written down with what they give at both ends of a movement."""
    return [kg for kg in pieces if isinstance(kg, list)]


def equipment_of(client: Client) -> tuple[EquipmentItem, ...]:
    """What a client can train with; 1 query."""
    rows = (next_in(iter(row), Equipment) for row in _EQUIPMENT.rows(client.pk))
    return equipment_values(rows)


_EQUIPMENT = KeptQuery(lambda client: Equipment.objects.filter(client=client))


def joint_limits_of(client: Client, on: date) -> tuple[JointLimitValue, ...]:
    """The joint limits that hold on a day; 1 query."""
    rows = JointLimit.objects.filter(client=client, since__lte=on).filter(
        Q(until__isnull=True) | Q(until__gt=on)
    )
    return tuple(
        JointLimitValue(
            stress=JointStress(row.stress),
            action=LimitAction(row.action),
            side=row.side,
            note=row.note,
        )
        for row in rows
    )


def body_weight_on(client: Client, on: date) -> float | None:
    """The newest body weight on or before a day [kg]; 1 query."""
    row = BodyWeight.objects.filter(client=client, on__lte=on).order_by("-on").first()
    return float(row.kg) if row else None


def newest_link(user: User) -> SignInLink | None:
    """The link that was made last for an account, whether it still works or not; 1 query."""
    return SignInLink.objects.filter(user=user).order_by("-created_at").first()


def joint_limit_rows(client: Client) -> list[JointLimit]:
    """All joint limits of a client, those that ended too, newest first; 1 query."""
    return list(JointLimit.objects.filter(client=client).order_by("-since", "-pk"))


def usual_time_zone(coach: User) -> str:
    """The time zone of the coach's newest client, empty without one; 1 query."""
    newest = Client.objects.filter(coach=coach).order_by("-created_at").first()
    return newest.time_zone if newest else ""


def screening_answers(client: Client) -> dict[Topic, bool]:
    """The answers of the health screen; no query."""
    return {Topic(key): answer for key, answer in client.screening_answers.items()}
