"""Time of an edit of a large block, with all that it answers, against the bare request floor.

A block of 6 weeks, 5 sessions a week and 40 prescriptions a week is edited through the page's own
address, middleware and all: targets, nudges, swaps, moves, pairing, undo and redo, in one week and
from one week on, each after another. Printed are the middle and the 95th percentile, what they come
to beside the floor of the same run (a page of the same coach that shows no data, asked for between
the edits), the same in time that the processor worked (a busy machine makes everything wait), and the
most queries that an edit made, with the two that begin and end its transaction; the first edit of a
block, which copies its plan, is among those counted. What would settle what is found comes by a
request of its own after each edit; it is measured too, as REMEDIES.

.venv/bin/python -m tests.benchmarks.block_edits [EDITS]
"""

import logging
import random
import statistics
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import partial
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from demo_fixtures.people import PEOPLE
from tests.benchmarks.practice import open_practice

WEEKS, DAYS, PAIRS = 6, (0, 1, 2, 4, 5), 4
SEED = 7
FORM = "application/x-www-form-urlencoded"
WHO, ALL, REMEDIES = "Amara Diallo", "ALL EDITS", "REMEDIES"
KEYS = (
    ("push-up", "inverted-row"),
    ("dip", "pull-up"),
    ("dumbbell-bench-press", "one-arm-dumbbell-row"),
    ("pike-push-up", "chin-up"),
)


@dataclass
class Measured:
    """Times of edits [ms] by act: by the clock on the wall and by that of the processor."""

    wall: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    work: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    queries: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    kilobytes: list[float] = field(default_factory=list)
    floor: list[tuple[float, float]] = field(default_factory=list)
    remedies: list[tuple[float, float]] = field(default_factory=list)


def main() -> None:
    """Print one line an act and one for all of them."""
    asked = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    open_practice([one for one in PEOPLE if one.name == WHO])
    from django.test import Client as Browser  # noqa: PLC0415 - after the practice is opened
    from django.test.utils import teardown_test_environment  # noqa: PLC0415
    from django.urls import reverse  # noqa: PLC0415

    from clients.models import Client  # noqa: PLC0415
    from sessions.warm_up import keep_for_good  # noqa: PLC0415

    # Tests have every template tell what it was given; a coach's machine does not.
    teardown_test_environment()
    logging.disable(logging.CRITICAL)
    client = Client.objects.get(name=WHO)
    coach = Browser(SERVER_NAME="localhost", HTTP_HX_REQUEST="true")
    coach.force_login(client.coach)
    block = _block(client)
    page, floor = reverse("blocks:block", args=[block.pk]), reverse("clients:account")
    findings = reverse("blocks:block-findings", args=[block.pk])
    coach.get(page)
    # As the server does once it has warmed up.
    keep_for_good()
    opening = statistics.median(_timed(lambda: coach.get(page))[1] for _ in range(5))
    seen = Measured()
    for count, (name, url, fields) in enumerate(_edits(block, asked)):
        data = {**fields, "revision": _revision(block), "shown": "2"}
        # As the page sends it.
        body = urlencode(data)
        _measure(seen, name, partial(coach.post, url, body, FORM), counted=count % 10 == 0)
        seen.floor.append(_timed(lambda: coach.get(floor))[1:])
        now = {"revision": _revision(block), "shown": "2"}
        seen.remedies.append(_timed(partial(coach.get, findings, now))[1:])
    _tell(seen, opening)


def _measure(seen: Measured, name: str, post: Callable[[], Any], *, counted: bool) -> None:
    """Time an edit, or count its queries: counting them takes time too."""
    from django.db import connection  # noqa: PLC0415
    from django.test.utils import CaptureQueriesContext  # noqa: PLC0415

    if counted:
        with CaptureQueriesContext(connection) as queries:
            answer = post()
        seen.queries[name] = max(seen.queries[name], len(queries))
    else:
        answer, wall, work = _timed(post)
        if answer.status_code == 200:
            seen.wall[name].append(wall)
            seen.work[name].append(work)
            seen.kilobytes.append(len(answer.content) / 1024)
    seen.refused[name] += answer.status_code != 200


def _timed(act: Callable[[], Any]) -> tuple[Any, float, float]:
    started, worked = time.perf_counter(), time.process_time()
    answer = act()
    return (
        answer,
        (time.perf_counter() - started) * 1000,
        (time.process_time() - worked) * 1000,
    )


def _tell(seen: Measured, opening: float) -> None:
    wall, work = (statistics.median(one[place] for one in seen.floor) for place in (0, 1))
    print(  # noqa: T201
        f"floor {wall:.1f} ms, of which worked {work:.1f} ms; opening the page {opening:.0f} ms"
    )
    for name in [*sorted(seen.wall), ALL]:
        names = list(seen.wall) if name == ALL else [name]
        times, worked = (
            [one for n in names for one in by_act[n]] for by_act in (seen.wall, seen.work)
        )
        print(  # noqa: T201
            f"{name:22} n {len(times):4}  "
            f"median {statistics.median(times):5.0f} ms {statistics.median(times) / wall:4.1f} x  "
            f"p95 {_p95(times):5.0f} ms {_p95(times) / wall:4.1f} x  "
            f"worked p95 {_p95(worked):5.0f} ms {_p95(worked) / work:4.1f} x  "
            f"queries {max(seen.queries[n] for n in names) or '-':>3}  "
            f"refused {sum(seen.refused[n] for n in names)}"
        )
    times, worked = ([one[place] for one in seen.remedies] for place in (0, 1))
    print(  # noqa: T201
        f"{REMEDIES:22} n {len(times):4}  "
        f"median {statistics.median(times):5.0f} ms {statistics.median(times) / wall:4.1f} x  "
        f"p95 {_p95(times):5.0f} ms {_p95(times) / wall:4.1f} x  "
        f"worked p95 {_p95(worked):5.0f} ms {_p95(worked) / work:4.1f} x"
    )
    print(f"answers {statistics.median(seen.kilobytes):.0f} kB in the middle")  # noqa: T201


def _p95(times: list[float]) -> float:
    return sorted(times)[min(len(times) - 1, int(len(times) * 0.95))]


def _block(client: Any) -> Any:
    """A published block of the size that is asked for, starting next Monday."""
    from coaching.blocks.editing.draft_services import publish_changes  # noqa: PLC0415
    from coaching.blocks.services import create_block  # noqa: PLC0415
    from coaching.library.queries import exercises_by_key  # noqa: PLC0415

    rows = exercises_by_key(client.coach)
    today = date.today()  # noqa: DTZ011
    monday = today + timedelta(days=7 - today.weekday() + 350)
    weeks = [_week(monday + timedelta(weeks=n), rows, light=n == WEEKS - 1) for n in range(WEEKS)]
    block = create_block(client=client, name="Large", snapshot={"weeks": weeks})  # type: ignore[typeddict-item]
    publish_changes(block=block, by=client.coach, today=block.starts_on)
    return block


def _week(starts_on: date, rows: Any, *, light: bool) -> dict[str, object]:
    parts = ("primary", "supplementary", "supplementary", "isolation")
    return {
        "starts_on": starts_on.isoformat(),
        "kind": "deload" if light else "build",
        "sessions": [
            {
                "uid": str(uuid4()),
                "name": f"Day {place}",
                "on": (starts_on + timedelta(days=day)).isoformat(),
                "pairs": [
                    {
                        "letter": "ABCD"[at],
                        "part": parts[at],
                        "lines": [_line(rows[key], 2 if light else 4) for key in KEYS[at]],
                    }
                    for at in range(PAIRS)
                ],
            }
            for place, day in enumerate(DAYS, start=1)
        ],
    }


def _line(row: Any, sets: int) -> dict[str, object]:
    return {
        "uid": str(uuid4()),
        "exercise": row.pk,
        "name": row.name,
        "targets": [8] * sets,
        "load_kg": 0.0,
        "tempo": "3-0-1-0",
        "rest_s": 90,
        "rir": 2,
    }


def _plan(block: Any) -> Any:
    from coaching.blocks.editing.draft_services import draft_of  # noqa: PLC0415

    return draft_of(block, date.today())  # noqa: DTZ011


def _revision(block: Any) -> str:
    return str(_plan(block).revision)


def _edits(block: Any, count: int) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Acts chosen by chance, always the same; each names what is in the plan at that moment."""
    from django.urls import reverse  # noqa: PLC0415

    chance = random.Random(SEED)  # noqa: S311 - no secret
    edit = reverse("blocks:edit-block", args=[block.pk])
    for number in range(count):
        if number % 12 == 10:
            yield "undo", reverse("blocks:undo-edit", args=[block.pk]), {}
            continue
        if number % 12 == 11:
            yield "redo", reverse("blocks:redo-edit", args=[block.pk]), {}
            continue
        week = _plan(block).snapshot["weeks"][1]
        reach = chance.choice(["week", "onward"])
        fields = _act(chance, week, reach)
        yield f"{fields['act']}, {reach}", edit, {**fields, "reach": reach}


def _act(chance: random.Random, week: Any, reach: str) -> dict[str, str]:
    sessions = [one for one in week["sessions"] if one["pairs"]]
    session, other = chance.sample(sessions, 2)
    lines = [line["uid"] for pair in session["pairs"] for line in pair["lines"]]
    line = chance.choice(lines)
    acts: list[dict[str, str]] = [
        {"act": "change-line", "targets": f"4 × {chance.randint(5, 15)}"},
        {"act": "change-line", "rest_s": str(chance.choice([45, 60, 75, 105, 120, 135]))},
        {"act": "nudge-line", "field": "reps", "by": "1"},
        {"act": "nudge-line", "field": "sets", "by": chance.choice(["1", "-1"])},
        {"act": "move-line", "session": session["uid"], "before": chance.choice(lines)},
        {"act": "move-line", "session": other["uid"], "before": ""},
        {"act": "unpair"},
        {"act": "order-pair", "by": chance.choice(["1", "-1"])},
        {"act": "turn-pair"},
        {"act": "swap-line", "exercise": str(_another(week, session, line))},
    ]
    return {**chance.choice(acts), "line": line}


def _another(week: Any, session: Any, line: str) -> int:
    """An exercise of the week that is not in its place."""
    every = [ln for one in week["sessions"] for pair in one["pairs"] for ln in pair["lines"]]
    (here,) = (ln["exercise"] for ln in every if ln["uid"] == line)
    return int(next(ln["exercise"] for ln in every if ln["exercise"] != here))


if __name__ == "__main__":
    main()
