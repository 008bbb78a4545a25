"""Reads of people; rows become the values that the rules work on."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Q

from clients.models import BodyWeight, Client, ClientQuerySet, Equipment, JointLimit, User
from coaching.rules.joint_limits import JointLimit as JointLimitValue
from coaching.rules.joint_limits import LimitAction
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, JointStress


def clients_of(coach: User) -> ClientQuerySet:
    """The coach's roster by name, without those who left; 1 query."""
    return Client.objects.filter(coach=coach).active()


def equipment_values(rows: Iterable[Equipment]) -> tuple[EquipmentItem, ...]:
    """The rules' values of equipment rows."""
    return tuple(
        EquipmentItem(
            kind=EquipmentKind(row.kind),
            pieces=tuple(float(kg) for kg in row.pieces),
            bar=float(row.bar_kg),
        )
        for row in rows
    )


def equipment_of(client: Client) -> tuple[EquipmentItem, ...]:
    """What a client can train with; 1 query."""
    return equipment_values(Equipment.objects.filter(client=client))


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
