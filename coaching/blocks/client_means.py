"""What one client can do, own and spare, read from the rows for a template to be made to fit."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from django.utils import timezone

from clients.models import Client
from clients.queries import body_weight_on, equipment_of
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.from_template import LEVELS, candidates_for
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Prescription
from coaching.blocks.queries import goal_keys
from coaching.blocks.stood import stood
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value
from coaching.rules.joint_limits import Joints

_LINES_READ = 800


def means_of(
    client: Client, rows: Iterable[Exercise], starts_on: date, *, joints: Joints | None = None
) -> ClientMeans:
    """All that a template is made to fit, for one client; 7 queries, 1 or 2 more without joints."""
    joints = joints or joints_of(client)
    rows = list(rows)
    logged = logged_before(client)
    known, planned = planned_before(client, before=starts_on)
    today = min(starts_on, client.local_date(timezone.now()))
    lately = stood(client, {row.key: exercise_value(row) for row in rows}, today)
    return ClientMeans(
        candidates=candidates_for(client, rows),
        limits=joints.limits,
        equipment=equipment_of(client),
        overrides=joints.overrides,
        minutes=client.minutes,
        known=known,
        goals=goal_keys(client),
        planned=planned | logged,
        logged=logged,
        levels={row.key: LEVELS.index(row.level) for row in rows},
        level=LEVELS.index(client.level),
        tempos={row.key: row.tempo for row in rows},
        standing=lately.standings,
        pains=lately.pains,
        body_weight=body_weight_on(client, starts_on),
        starts_on=starts_on,
    )


def made_for(means: ClientMeans, level: str) -> ClientMeans:
    """The same client for a plan whose targets are those of another one, of a level."""
    return replace(means, made_for=LEVELS.index(level))


def logged_before(client: Client) -> frozenset[str]:
    """The keys of all exercises that a client has logged a set of; 1 query."""
    sets = client.logged_sessions.filter(sets__isnull=False, sets__removed_at__isnull=True)
    return frozenset(sets.values_list("sets__exercise__key", flat=True).distinct())


def with_own_loads(means: ClientMeans) -> ClientMeans:
    """The same client with no load known: the plan's own loads and targets stay."""
    return replace(means, known={}, standing={}, keeps_loads=True)


def planned_before(
    client: Client, *, before: date
) -> tuple[dict[str, Sequence[KnownLoad]], frozenset[str]]:
    """Of the client's published plans: loads by exercise key, newest first, and all keys; 1 query."""
    rows = Prescription.objects.filter(
        pair__planned_session__week__block__client=client,
        pair__planned_session__week__block__published_at__isnull=False,
        pair__planned_session__on__lt=before,
    ).order_by("-pair__planned_session__on", "-pk")
    known: dict[str, list[KnownLoad]] = defaultdict(list)
    keys = set()
    for key, kg, targets in rows.values_list("exercise__key", "load_kg", "targets")[:_LINES_READ]:
        keys.add(key)
        load = KnownLoad(float(kg), min(targets, default=0))
        if kg and load not in known[key]:
            known[key].append(load)
    return dict(known), frozenset(keys)
