"""Reads of joint limits and overrides as the values that the rules work on."""

from collections.abc import Iterable
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from clients.models import Client, JointLimit
from coaching.blocks.models import JointLimitOverride
from coaching.rules import joint_limits as rules
from coaching.rules.plan import JointStress


def joints_of(client: Client) -> rules.Joints:
    """A client's joint limits of all times and the overrides that stand; 1 or 2 queries."""
    limits = tuple(limit_value(row) for row in JointLimit.objects.filter(client=client))
    if not limits:
        return rules.Joints()
    return rules.Joints(limits, override_values(standing_overrides([client])))


def standing_overrides(clients: Iterable[Client]) -> QuerySet[JointLimitOverride]:
    """The overrides of those clients that nobody withdrew, newest first; 1 query."""
    rows = JointLimitOverride.objects.filter(client__in=list(clients), withdrawn_at__isnull=True)
    return rows.select_related("client", "exercise", "by")


def override_values(rows: Iterable[JointLimitOverride]) -> tuple[rules.LimitOverride, ...]:
    """The rules' values of overrides; a loading that the rules no longer know covers nothing."""
    known = {one.value for one in JointStress}
    return tuple(
        rules.LimitOverride(
            exercise=row.exercise.key,
            stresses=frozenset(JointStress(word) for word in row.stresses if word in known),
            by=row.by.name if row.by else "nobody known",
            on=row.given_at.astimezone(ZoneInfo(row.client.time_zone)).date(),
            why=row.why,
        )
        for row in rows
    )


def limit_value(row: JointLimit) -> rules.JointLimit:
    """The rules' value of a joint limit with the days on which it holds."""
    return rules.JointLimit(
        stress=JointStress(row.stress),
        action=rules.LimitAction(row.action),
        side=row.side,
        note=row.note,
        since=row.since,
        until=row.until,
    )
