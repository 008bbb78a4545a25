"""What one client can do, own and spare, read from the rows for a template to be made to fit."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.from_template import candidates_for
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Prescription
from coaching.blocks.queries import goal_keys
from coaching.library.models import Exercise
from coaching.rules.joint_limits import Joints

_LOADS_READ = 400


def means_of(
    client: Client, rows: Iterable[Exercise], starts_on: date, *, joints: Joints | None = None
) -> ClientMeans:
    """All that a template is made to fit, for one client; 3 queries, 1 or 2 more without joints."""
    joints = joints or joints_of(client)
    return ClientMeans(
        candidates=candidates_for(client, rows),
        limits=joints.on(starts_on),
        equipment=equipment_of(client),
        overrides=joints.overrides,
        minutes=client.minutes,
        known=known_loads(client, before=starts_on),
        goals=goal_keys(client),
    )


def with_own_loads(means: ClientMeans) -> ClientMeans:
    """The same client with no load known: the plan's own loads stay."""
    return replace(means, known={})


def known_loads(client: Client, *, before: date) -> dict[str, Sequence[KnownLoad]]:
    """Loads of the client's published plans by exercise key, the newest first; 1 query."""
    rows = Prescription.objects.filter(
        pair__planned_session__week__block__client=client,
        pair__planned_session__week__block__published_at__isnull=False,
        pair__planned_session__on__lt=before,
        load_kg__gt=0,
    ).order_by("-pair__planned_session__on", "-pk")
    known: dict[str, list[KnownLoad]] = defaultdict(list)
    for key, kg, targets in rows.values_list("exercise__key", "load_kg", "targets")[:_LOADS_READ]:
        load = KnownLoad(float(kg), min(targets, default=0))
        if load not in known[key]:
            known[key].append(load)
    return dict(known)
