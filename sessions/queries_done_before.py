"""How each exercise was last done by a client, in whichever block that was."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Max, QuerySet

from clients.models import Client
from coaching.rules.next_block_load import DoneBefore
from coaching.rules.plan import WeekKind
from sessions.models import LoggedSet
from sessions.queries import kept_sets


def done_before(client: Client, exercises: Iterable[int], today: date) -> dict[int, DoneBefore]:
    """Each exercise as it was last done up to a day, light weeks left aside; 2 queries.

    Only the newest day of each exercise is read, so that it costs the same after ten years.
    """
    mine = _work_of(client, exercises, today)
    newest = dict(mine.order_by().values_list("exercise").annotate(last=Max("logged_session__on")))
    days = mine.filter(logged_session__on__in=set(newest.values()))
    rows = days.order_by("-logged_session_id", "number", "pk").values_list(
        "exercise", "logged_session", "logged_session__on", "amount", "load_kg", "pain"
    )
    sessions: dict[int, int] = {}
    found: dict[int, DoneBefore] = {}
    for exercise, session, on, amount, load, pain in rows:
        # Of two sessions of one day the later one counts.
        if newest[exercise] != on or sessions.setdefault(exercise, session) != session:
            continue
        before = found.get(exercise, DoneBefore(on, (), ()))
        found[exercise] = DoneBefore(
            on,
            (*before.amounts, amount),
            (*before.loads, float(load)),
            max(before.pain, pain or 0),
        )
    return found


def _work_of(client: Client, exercises: Iterable[int], today: date) -> QuerySet[LoggedSet]:
    return (
        kept_sets()
        .filter(
            logged_session__client=client,
            logged_session__on__lte=today,
            exercise__in=list(exercises),
            warm_up=False,
        )
        .exclude(logged_session__kind=WeekKind.DELOAD.value)
    )
