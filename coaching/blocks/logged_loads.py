"""The hardest loads that a client has logged of late, to set planned ones against."""

from datetime import timedelta

from django.db.models import Max
from django.utils import timezone

from clients.models import Client
from coaching.blocks.planned_loads import LoggedLoad
from coaching.rules.block_numbers import STANDING_WEEKS
from coaching.rules.plan import LoadKind, WeekKind


def logged_loads(client: Client) -> frozenset[LoggedLoad]:
    """The hardest of each exercise in the usual weeks of late, as last logged; 1 query.

    A load of 0 kg says nothing where one has to be chosen: of a weight, or of help.
    """
    today = client.local_date(timezone.now())
    rows = (
        client.logged_sessions.filter(
            sets__removed_at__isnull=True,
            sets__warm_up=False,
            sets__amount__gt=0,
            on__lte=today,
            on__gte=today - timedelta(weeks=STANDING_WEEKS.value),
        )
        .exclude(kind=WeekKind.DELOAD.value)
        .order_by()
        .values_list("sets__exercise__key", "sets__exercise__load_kind", "sets__load_kg")
        .annotate(last=Max("on"))
    )
    found: dict[str, LoggedLoad] = {}
    for key, kind, kg, last in rows:
        if not kg and kind in {LoadKind.EXTERNAL.value, LoadKind.ASSISTED.value}:
            continue
        one = LoggedLoad(key, float(kg), last, kind == LoadKind.ASSISTED.value)
        if key not in found or one.is_harder(found[key].load):
            found[key] = one
    return frozenset(found.values())
