"""How many planted typing mistakes the log checks name, and how often they and the trend of
effort speak of nothing, on made-up clients reviewed once a week.

    .venv/bin/python -m tests.benchmarks.log_checks 5
"""

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from coaching.rules.effort_trend import find_rising_effort
from coaching.rules.findings import Finding
from coaching.rules.log import LoggedSession
from coaching.rules.log_checks import find_log_mistakes
from tests.benchmarks.signals.simulator import SimulatedClient, cohort
from tests.benchmarks.signals.truth import Mark

WEEKS = 60
LOOK_BACK = timedelta(days=70)
FALLEN = -0.01  # a shared fall of 1 % or more is a reason for effort to rise


def reviews(client: SimulatedClient) -> Iterator[tuple[date, list[LoggedSession]]]:
    """Every Monday with the sessions that a review of the week before reads."""
    monday = client.log.sessions[0].on - timedelta(days=client.log.sessions[0].on.weekday())
    for week in range(1, WEEKS + 1):
        today = monday + timedelta(weeks=week)
        yield today, [s for s in client.log.sessions if today - LOOK_BACK <= s.on < today]


def mistakes_said(client: SimulatedClient) -> set[tuple[date, str]]:
    """Day and exercise of everything the log checks name in a year."""
    return {
        place(f) for today, known in reviews(client) for f in find_log_mistakes(known, today=today)
    }


def place(finding: Finding) -> tuple[date, str]:
    assert finding.since is not None
    return finding.since, finding.exercise


def planted(client: SimulatedClient) -> dict[tuple[date, str], str]:
    """Day and exercise of every mistake that was planted, with what was mistyped."""
    found = {}
    sessions = {s.on: s for s in client.log.sessions}
    for event in client.truth.events:
        if event.mark is Mark.TYPING_MISTAKE:
            sets = [s for s in sessions[event.on].sets if s.exercise.key == event.exercise]
            loads = [s for s in sets if s.target_load and s.load > 0]
            ratio = max((s.load / (s.target_load or 1) for s in loads), default=1)
            least = min((s.load / (s.target_load or 1) for s in loads), default=1)
            many = any(s.amount >= (s.target or 0) + 9 for s in sets)
            word = (
                "reps" if many else "pounds" if 2 < ratio < 2.5 else "times 10" if ratio > 9 else ""
            )
            found[(event.on, event.exercise)] = word or (
                "a tenth" if least < 0.15 else "nothing seen"
            )
    return found


def effort_said(client: SimulatedClient) -> list[tuple[date, bool]]:
    """Every start of a rise in effort, and whether the client had really fallen."""
    said: dict[date, bool] = {}
    start = client.log.sessions[0].on - timedelta(days=client.log.sessions[0].on.weekday())
    for today, known in reviews(client):
        finding = find_rising_effort(known, today=today)
        if finding is not None and finding.since is not None:
            days = range((finding.since - start).days, (today - start).days)
            said[finding.since] = min(client.truth.shared_fall[d] for d in days) <= FALLEN
    return list(said.items())


def without_plan(client: SimulatedClient) -> SimulatedClient:
    """The same log without what was asked for, as of clients who train without a block."""
    sessions = tuple(
        replace(s, sets=tuple(replace(one, target=None, target_load=None) for one in s.sets))
        for s in client.log.sessions
    )
    return replace(client, log=replace(client.log, sessions=sessions))


def main(seeds: int) -> None:
    clients = cohort(range(200, 200 + seeds))
    show("with a plan", clients)
    show("the same logs without targets", clients, without_plan)


def show(
    title: str,
    clients: list[SimulatedClient],
    change: Callable[[SimulatedClient], SimulatedClient] = lambda client: client,
) -> None:
    years = len(clients) * WEEKS / 52
    named: Counter[str] = Counter()
    there: Counter[str] = Counter()
    efforts: Counter[bool] = Counter()
    false = 0
    for one in clients:
        client = change(one)
        truth, said = planted(one), mistakes_said(client)
        there.update(truth.values())
        named.update(word for key, word in truth.items() if key in said)
        false += len(said - set(truth))
        efforts.update(fallen for _, fallen in effort_said(client))
    falls = sum(len(one.truth.episodes) for one in clients)
    lines = [
        f"{title}: {len(clients)} made-up clients, {years:.0f} client-years",
        *(f"  {word:14} {named[word]:3} of {n:3} named" for word, n in sorted(there.items())),
        f"  false: {false / years:.2f} per client and year",
        f"  effort said rising: {efforts[False] / years:.2f} a year without a shared fall, "
        f"{efforts[True] / years:.2f} with one, of {falls / years:.2f} such falls a year",
    ]
    print("\n".join(lines))  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
