"""Reads of joint limits and overrides as the values that the rules work on."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from clients.kept_query import KeptQuery, next_in
from clients.models import Client, JointLimit
from coaching.blocks.models import Block, JointLimitOverride, Prescription
from coaching.library.queries import exercise_values
from coaching.rules import joint_limits as rules
from coaching.rules.findings import Finding
from coaching.rules.plan import JointStress


def joints_of(client: Client) -> rules.Joints:
    """A client's joint limits of all times and the overrides that stand; 1 or 2 queries."""
    rows = (next_in(iter(row), JointLimit) for row in _LIMITS.rows(client.pk))
    limits = tuple(limit_value(row) for row in rows)
    if not limits:
        return rules.Joints()
    return rules.Joints(limits, override_values(standing_overrides([client])))


_LIMITS = KeptQuery(
    lambda client: JointLimit.objects.filter(client=client).order_by("stress", "pk")
)


def joints_of_clients(clients: Iterable[Client]) -> dict[int, rules.Joints]:
    """The joints of those clients that have a limit, by client; 1 or 2 queries."""
    limits: dict[int, list[rules.JointLimit]] = defaultdict(list)
    limited = {client.pk: client for client in clients}
    for row in JointLimit.objects.filter(client__in=limited):
        limits[row.client_id].append(limit_value(row))
    if not limits:
        return {}
    overrides: dict[int, list[JointLimitOverride]] = defaultdict(list)
    for kept in standing_overrides([limited[pk] for pk in limits]):
        overrides[kept.client_id].append(kept)
    return {
        pk: rules.Joints(tuple(found), override_values(overrides[pk]))
        for pk, found in limits.items()
    }


def avoided_findings(
    joints: Mapping[int, rules.Joints], today: date
) -> dict[int, tuple[Finding, ...]]:
    """What stands in published blocks from today on that clients must avoid, undecided.

    By client; no query when nobody avoids anything, else 3.
    """
    avoid = rules.LimitAction.AVOID
    asked = [pk for pk, one in joints.items() if any(lim.action is avoid for lim in one.limits)]
    if not asked:
        return {}
    block = "pair__planned_session__week__block"
    rows = Prescription.objects.filter(
        pair__planned_session__on__gte=today,
        pair__planned_session__started_at__isnull=True,
        **{f"{block}__client__in": asked, f"{block}__published_at__isnull": False},
    )
    # Every day: a limit may begin after the first and end before the last.
    planned = rows.order_by("pair__planned_session__on", "exercise_id").distinct()
    days: dict[tuple[int, int], list[date]] = defaultdict(list)
    fields = (f"{block}__client", "exercise_id", "pair__planned_session__on")
    for client, row, on in planned.values_list(*fields):
        days[client, row].append(on)
    values = exercise_values({row for _, row in days})
    found: dict[int, list[Finding]] = defaultdict(list)
    for (client, row), planned_on in days.items():
        exercise = values[row]
        blocking = [one for on in planned_on for one in joints[client].blocking(exercise, on)]
        found[client] += [rules.limit_finding(exercise, one) for one in dict.fromkeys(blocking)]
    return {client: tuple(findings) for client, findings in found.items() if findings}


def planned_days(block: Block, exercise_id: int, *, since: date) -> set[date]:
    """The days from one on for which the rows of a block plan an exercise; 1 query."""
    rows = Prescription.objects.filter(
        pair__planned_session__week__block=block,
        pair__planned_session__on__gte=since,
        exercise_id=exercise_id,
    )
    return set(rows.values_list("pair__planned_session__on", flat=True))


def standing_overrides(clients: Iterable[Client]) -> QuerySet[JointLimitOverride]:
    """The overrides of those clients that nobody withdrew, newest first; 1 query."""
    rows = JointLimitOverride.objects.filter(client__in=list(clients), withdrawn_at__isnull=True)
    return rows.select_related("client", "exercise", "by")


def override_values(rows: Iterable[JointLimitOverride]) -> tuple[rules.LimitOverride, ...]:
    """The rules' values of overrides."""
    return tuple(
        rules.LimitOverride(
            exercise=row.exercise.key,
            limits=frozenset(row.limits),
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
        key=row.pk,
    )
