"""Time of replaying every week of a large practice, against only reading its logs.

.venv/bin/python -m tests.benchmarks.replay
.venv/bin/python -m tests.benchmarks.replay --clients 12 --weeks 20
"""

import argparse
import os
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import cycle, islice

from demo_fixtures.people import PEOPLE, DemoClient, Story
from tests.benchmarks.practice import open_practice


def practice(clients: int, weeks: int) -> list[DemoClient]:
    """So many invented clients who have all trained for so many weeks."""
    training = [one for one in PEOPLE if one.story is not Story.NO_BLOCK]
    # The first clients keep their names: the demo gives one of them a phone.
    people = islice(cycle(training), max(clients, len(training)))
    return [
        # The first name makes the address.
        one if n < len(training) else replace(one, name=one.name.replace(" ", f"{n} ", 1))
        for n, one in enumerate(replace(one, weeks=weeks) for one in people)
    ]


def processor_time() -> float:
    """What this process and those that it has ended have used [s]; a busy machine adds nothing."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


def main(arguments: Sequence[str] | None = None) -> None:
    """Print seconds of the floor and of the replay, and what was read."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.replay")
    parser.add_argument("--clients", type=int, default=60)
    parser.add_argument("--weeks", type=int, default=40)
    given = parser.parse_args(arguments)
    today = open_practice(practice(given.clients, given.weeks))
    from clients.models import Client  # noqa: PLC0415 - after the practice is opened
    from sessions.queries import week_start  # noqa: PLC0415
    from sessions.replay_facts import histories_of  # noqa: PLC0415
    from sessions.replay_reading import read_past_weeks  # noqa: PLC0415

    clients = list(Client.objects.select_related("coach").order_by("pk")[: given.clients])
    monday = week_start(today) - timedelta(weeks=1)
    mondays = [monday - timedelta(weeks=n) for n in range(given.weeks)]
    first, last = mondays[-1], monday + timedelta(days=6)
    started = time.perf_counter()
    roster = histories_of(clients, first, first, last)
    floor = time.perf_counter() - started
    sessions = sum(len(one.sessions) for one in roster.clients.values())
    started, busy = time.perf_counter(), processor_time()
    weeks = read_past_weeks(clients, mondays, today)
    spent, busy = time.perf_counter() - started, processor_time() - busy
    findings = sum(len(one.findings) for week in weeks for one in week.readings)
    print(  # noqa: T201
        f"{len(clients)} clients, {len(weeks)} weeks, {sessions} sessions, {findings} findings, "
        f"{os.cpu_count()} processors\n"
        f"floor: reading the logs {floor:6.1f} s\n"
        f"replay                  {spent:6.1f} s  {spent / floor:5.1f} x floor; "
        f"{busy:.1f} s of processor time in all processes"
    )


if __name__ == "__main__":
    main()
