"""Lines of heavy and light days, and what a block asks for on which of them."""

from coaching.blocks.models import PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from tests.factories.sessions import log_session

PRESS, ROW = "Barbell bench press", "Barbell row"
HEAVY, LIGHT = ("primary", PRESS, (6,) * 5, 60.0), ("primary", PRESS, (8,) * 5, 40.0)
PULL = ("primary", ROW, (6,) * 5, 50.0)


def done(client, start, end, **how):
    """Log every planned session from the first day to the last."""
    rows = PlannedSession.objects.filter(week__block__client=client, on__range=(start, end))
    for row in rows.order_by("on", "position"):
        log_session(client, row, **how)


def asked(block, name=PRESS, *, session=None, since=None):
    """What the lines of an exercise ask, by the day and the line: targets and load [kg]."""
    return {
        (one["on"], line["uid"]): (tuple(line["targets"]), line["load_kg"])
        for one, line in lines_of(snapshot_of(block), since=since)
        if line["name"] == name and session in (None, one["name"])
    }
