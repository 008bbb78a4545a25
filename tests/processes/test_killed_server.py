"""A server that is killed while phones speak to it: what has a receipt is there, once, as it was said."""

import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from random import Random
from typing import Any

import pytest

from coaching.environment import DATABASE_FILE
from tests.processes.phones import Phone, Statement

pytestmark = pytest.mark.processes

PROJECT = Path(__file__).resolve().parents[2]
SEED = 20
KILLS = 50
PHONES = 4
# What ``manage.py start`` does last, without what it does once for a new practice.
SERVE = """
import os, sys
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings")
from coaching import start
from coaching.start_options import parse
_, listener = start._reserve(parse(sys.argv[1:]))
with listener:
    start._serve(listener, ["ready"])
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch) -> Path:
    monkeypatch.setenv("BLOCKWRIGHT_DATA", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    (tmp_path / "static").mkdir()
    return tmp_path


@pytest.fixture
def practice(folder) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.processes.practice"]
    made = subprocess.run(  # noqa: S603
        command, cwd=PROJECT, env=os.environ, capture_output=True, text=True, check=True
    )
    found: dict[str, Any] = json.loads(made.stdout)
    return found


def free_port() -> int:
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port


@contextmanager
def server(port: int) -> Iterator[subprocess.Popen[str]]:
    """A server that answers; killed at the end, wherever it is."""
    process = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", SERVE, "--port", str(port)],
        cwd=PROJECT,
        env=os.environ,
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        try:
            yield process
        finally:
            process.send_signal(signal.SIGKILL)
            assert process.wait(20) == -signal.SIGKILL


def speaking(phones: list[Phone], port: int, stop: threading.Event, most: int | None = None):
    threads = [threading.Thread(target=p.speak, args=(port, stop, most)) for p in phones]
    for thread in threads:
        thread.start()
    return threads


def until_it_answers(phones: list[Phone]) -> None:
    """Wait for a receipt of this server: a kill before that puts nothing to the test."""
    before = sum(len(phone.receipted) for phone in phones)
    given_up = time.monotonic() + 20
    while sum(len(phone.receipted) for phone in phones) == before:
        assert time.monotonic() < given_up
        time.sleep(0.005)


QUERIES = {
    "set": "SELECT uid, revision, amount, load_kg, removed_at IS NOT NULL FROM client_sessions_loggedset",
    "line": "SELECT uid, revision, change, reason, prescription_uid FROM client_sessions_linechange",
    "session": "SELECT uid, revision, rpe, note FROM client_sessions_loggedsession WHERE revision > 0",
    "weight": 'SELECT entry_uid, 1, "on", kg FROM clients_bodyweight',
}


def stored(folder: Path) -> dict[tuple[str, str], tuple[Any, ...]]:
    """Every row of the file that a phone made, read without the server; each id is there once."""
    found: dict[tuple[str, str], tuple[Any, ...]] = {}
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as base:
        for kind, query in QUERIES.items():
            for uid, *values in base.execute(query):
                assert (kind, uid) not in found
                found[kind, uid] = tuple(values)
    return found


def kept_beside(folder: Path) -> list[str]:
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as base:
        return [row[0] for row in base.execute("SELECT edit FROM client_sessions_correction")]


def as_stored(entry: Statement) -> tuple[Any, ...]:
    """An entry as its row must read."""
    own: tuple[Any, ...]
    match entry["kind"]:
        case "set":
            own = (entry["amount"], entry["load"], entry.get("removed", False))
        case "line":
            own = (entry["change"], entry["reason"], entry["prescription"].replace("-", ""))
        case "session":
            own = (entry["rpe"], entry["note"])
        case _:
            own = (entry["on"], entry["kg"])
    return (entry["revision"], *own)


def newest(entries: list[Statement]) -> dict[tuple[str, str], Statement]:
    return {(one["kind"], one["uid"].replace("-", "")): one for one in entries}


def assert_all_promised_is_there(folder: Path, phones: list[Phone]) -> None:
    rows = stored(folder)
    for phone in phones:
        promised = newest(phone.receipted)
        # The one that waits may have been kept, with its receipt lost on the way.
        perhaps = newest([phone.waiting]) if phone.waiting else {}
        for key, entry in promised.items():
            fine = [as_stored(one) for one in (entry, perhaps.get(key)) if one]
            assert rows.get(key) in fine, (key, rows.get(key), fine)


def test_fifty_kills_lose_nothing_and_double_nothing(folder, practice):
    random = Random(SEED)  # noqa: S311 - a schedule of kills, no secret
    phones = [Phone(n, practice, Random(SEED + 1 + n)) for n in range(PHONES)]  # noqa: S311
    port, unsure = free_port(), 0
    for _ in range(KILLS):
        stop = threading.Event()
        with server(port):
            threads = speaking(phones, port, stop)
            until_it_answers(phones)
            time.sleep(random.uniform(0, 0.3))
        stop.set()
        for thread in threads:
            thread.join()
        assert [phone.refused for phone in phones] == [[]] * PHONES
        assert_all_promised_is_there(folder, phones)
        rows = stored(folder)
        unsure += sum(
            rows.get(key) == as_stored(one)
            for phone in phones
            if phone.waiting
            for key, one in newest([phone.waiting]).items()
        )

    with server(port):
        for thread in speaking(phones, port, threading.Event(), most=8):
            thread.join()

    said = [one for phone in phones for one in phone.receipted]
    last = newest(said)
    rows = stored(folder)
    replaced = [
        one["edit"] for one in said if last[one["kind"], one["uid"].replace("-", "")] is not one
    ]
    assert all(phone.waiting is None for phone in phones)
    assert rows == {key: as_stored(one) for key, one in last.items()}
    assert sorted(kept_beside(folder)) == sorted(edit.replace("-", "") for edit in replaced)
    assert sum(phone.interrupted for phone in phones) >= KILLS
    assert len(last) > KILLS
    # Else no kill fell between what is kept and its receipt, and nothing was put to the test.
    assert unsure > 0
