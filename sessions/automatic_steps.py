"""Routine steps up that go into the plan without the coach, for clients for whom the coach allows it.

The same services write them as when the coach accepts: a version that can be undone, and a
decision with its evidence, marked as automatic. Nothing goes up by itself while anything about
the week needs the coach, nothing twice on the same training, and nothing to another exercise.
"""

import logging
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction

from clients.models import Client
from coaching.rules.progression import Step
from sessions.decided import About, about, decisions_of, is_covered, is_open, kept_of, proposed_for
from sessions.models import Decision, DecisionKind, WeekReview
from sessions.next_targets import Proposal
from sessions.queries import week_start
from sessions.review_services import accept_proposals
from sessions.week_reading import WeekReading, read_weeks

log = logging.getLogger(__name__)

_CAUGHT_UP: dict[int, str] = {}
"""The day on which each client's last week was looked at, to read it once a day only."""


def step_up_after_entry(*, client: Client, entry: Mapping[str, Any], now: datetime) -> None:
    """Step up what is routine once a session is finished, or a new day begins.

    Never raises: what the phone sent is kept already, and the coach finds the steps in the
    review all the same.
    """
    if not client.steps_up_by_itself:
        return
    today = client.local_date(now).isoformat()
    ends = entry.get("kind") == "session" and bool(entry.get("finished_at"))
    if not ends and _CAUGHT_UP.get(client.pk) == today:
        return
    try:
        step_up_by_itself(client=client, now=now, weeks=(1, 0) if ends else (1,))
        _CAUGHT_UP[client.pk] = today
    except Exception:
        log.exception("The routine steps up of client %s were not taken.", client.pk)


@transaction.atomic
def step_up_by_itself(
    *, client: Client, now: datetime, weeks: Sequence[int] = (1, 0)
) -> list[Decision]:
    """Take the routine steps up of a client's last week and of this one.

    ``weeks`` says how many weeks ago each lies. Of a week that is over only what was trained in
    it counts; a week that the coach has closed is left alone.
    """
    # Two phones may finish at once: the second waits and finds the steps taken.
    locked = Client.objects.select_for_update(of=("self",)).get(pk=client.pk)
    if not locked.steps_up_by_itself:
        return []
    today = client.local_date(now)
    # Pain that was marked a minute ago stands in the week that runs.
    if read_weeks([client], week_start(today), today)[0].first is not None:
        return []
    held = _held(client, week_start(today) - timedelta(weeks=1))
    made: list[Decision] = []
    for ago in weeks:
        start = week_start(today) - timedelta(weeks=ago)
        closed = WeekReview.objects.filter(
            client=client, week_starts_on=start, reviewed_at__isnull=False
        )
        if closed.exists():
            continue
        reading = read_weeks([client], start, today)[0]
        steps = routine_steps(reading, decisions_of(client, start))
        if ago == 0:
            steps = [one for one in steps if not is_covered(proposed_for(one), held)]
        if steps:
            made += accept_proposals(
                reading=reading, proposals=steps, today=today, by=None, automatic=True
            )
    return made


def _held(client: Client, week_starts_on: date) -> set[About | None]:
    """The exercises whose targets the coach kept for another week."""
    hold = DecisionKind.HOLD
    decided = decisions_of(client, week_starts_on)
    return {about(one) for one in decided if one.kind == hold and one.undone_at is None}


def routine_steps(reading: WeekReading, decisions: Sequence[Decision]) -> list[Proposal]:
    """The steps up that need no thought; none when anything about the week needs the coach.

    Another rung is no routine, and what the coach took back is not taken again in that week.
    """
    if reading.first is not None:
        return []
    ends_on = reading.week_starts_on + timedelta(days=6)
    kept = kept_of(decisions)
    taken_back = {about(one) for one in decisions if one.undone_at and one.version_id}
    return [
        one
        for one in reading.proposals
        if one.target.step is Step.STEP_UP and one.changes_plan and one.to is None
        if one.last is not None and one.last.on <= ends_on
        if not is_covered(proposed_for(one), taken_back) and is_open(one, kept)
    ]
