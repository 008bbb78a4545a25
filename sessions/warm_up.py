"""Reads the week that every coach opens first, so that Monday's list is there when it is asked for.

After a start nothing is known of anybody's ability: clients are followed anew through their logs,
which takes some tenths of a second for each.
"""

import gc
import logging
from threading import Thread

from django.db import connections
from django.utils import timezone

from clients.models import Role, User
from clients.queries import clients_of
from sessions.pages_review import review_week
from sessions.roster_reading import read_roster_weeks

log = logging.getLogger(__name__)


def warm_up() -> None:
    """Read each coach's newest week once; what is read stays in memory."""
    today = timezone.localdate()
    monday = review_week("", today).starts_on
    for coach in User.objects.filter(role=Role.COACH, is_active=True):
        read_roster_weeks(list(clients_of(coach).select_related("coach")), monday, today)


def begin_warm_up() -> Thread:
    """Warm up beside the pages that are served already."""
    thread = Thread(target=_warm_up_quietly, name="warm-up", daemon=True)
    thread.start()
    return thread


def keep_for_good() -> None:
    """Take what is loaded and read by now for what stays: nobody looks through it for garbage again.

    Looking through it all stops every request for a tenth of a second and more, and it happens in
    the middle of one.
    """
    gc.collect()
    gc.freeze()


def _warm_up_quietly() -> None:
    try:
        warm_up()
    except Exception:
        # The review reads for itself, and says what is wrong to whom it concerns.
        log.exception("The newest week could not be read ahead.")
    finally:
        connections.close_all()
        keep_for_good()
