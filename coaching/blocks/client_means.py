"""What one client can do, own and spare, read from the rows for a template to be made to fit."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from clients.models import Client
from clients.queries import body_weight_on, equipment_of
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.from_template import LEVELS, candidates_for
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Prescription
from coaching.blocks.queries import goal_keys
from coaching.library.models import Exercise
from coaching.rules.block_numbers import STANDING_WEEKS
from coaching.rules.joint_limits import Joints
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import WeekKind
from coaching.rules.standing import Standing

_LINES_READ = 800
_LATELY = timedelta(weeks=STANDING_WEEKS.value)


def means_of(
    client: Client, rows: Iterable[Exercise], starts_on: date, *, joints: Joints | None = None
) -> ClientMeans:
    """All that a template is made to fit, for one client; 7 queries, 1 or 2 more without joints."""
    joints = joints or joints_of(client)
    rows = list(rows)
    known, planned = planned_before(client, before=starts_on)
    stood = {**planned_lately(client, starts_on), **done_lately(client, starts_on)}
    return ClientMeans(
        candidates=candidates_for(client, rows),
        limits=joints.limits,
        equipment=equipment_of(client),
        overrides=joints.overrides,
        minutes=client.minutes,
        known=known,
        goals=goal_keys(client),
        planned=planned | logged_before(client),
        levels={row.key: LEVELS.index(row.level) for row in rows},
        level=LEVELS.index(client.level),
        tempos={row.key: row.tempo for row in rows},
        standing=stood,
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


def done_lately(client: Client, before: date) -> dict[str, Standing]:
    """How each exercise was last done in a usual week of late, by key; 1 query."""
    rows = (
        client.logged_sessions.filter(
            sets__removed_at__isnull=True,
            sets__warm_up=False,
            sets__amount__gt=0,
            on__lte=before,
            on__gte=before - _LATELY,
        )
        .exclude(kind=WeekKind.DELOAD.value)
        .order_by("-on", "-pk", "sets__number", "sets__pk")
        .values_list(
            "pk", "on", "sets__exercise__key", "sets__amount", "sets__load_kg", "sets__pain"
        )
    )
    newest: dict[str, int] = {}
    found: dict[str, Standing] = {}
    for pk, on, key, amount, kg, pain in rows:
        if newest.setdefault(key, pk) != pk:
            continue
        one = found.get(key) or Standing(on, (), float(kg))
        hurt = one.hurt or (pain or 0) > PAIN_LIMIT.value
        # Sets with another load than the first say nothing of it.
        amounts = (*one.amounts, amount) if float(kg) == one.load else one.amounts
        found[key] = replace(one, amounts=amounts, hurt=hurt)
    return found


def planned_lately(client: Client, before: date) -> dict[str, Standing]:
    """What each exercise was last planned with in a usual week of late, by key; 1 query."""
    rows = (
        Prescription.objects.filter(
            pair__planned_session__week__block__client=client,
            pair__planned_session__week__block__published_at__isnull=False,
            pair__planned_session__on__lt=before,
            pair__planned_session__on__gte=before - _LATELY,
        )
        .exclude(pair__planned_session__week__kind=WeekKind.DELOAD.value)
        .order_by("pair__planned_session__on", "pk")
        .values_list("exercise__key", "pair__planned_session__on", "targets", "load_kg")
    )
    return {
        key: Standing(on, tuple(targets), float(kg), is_logged=False)
        for key, on, targets, kg in rows
        if targets
    }
