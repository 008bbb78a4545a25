"""A phone that speaks to a running server: one statement after the other, each until its receipt."""

import http.client
import json
import threading
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

Statement = dict[str, Any]
TOKEN = "0123456789abcdef" * 2
"""A form token is any text of that length that cookie and header agree on."""


@dataclass
class Phone:
    """One phone of a client: what it was promised, and the one statement that waits."""

    number: int
    practice: dict[str, Any]
    random: Random
    receipted: list[Statement] = field(default_factory=list)
    waiting: Statement | None = None
    interrupted: int = 0
    refused: list[str] = field(default_factory=list)
    _to_say: Iterator[Statement] | None = None

    def speak(self, port: int, stop: threading.Event, most: int | None = None) -> None:
        """Send until told to stop or cut off; what got no receipt waits for the next server."""
        self._to_say = self._to_say or self._statements()
        said = 0
        with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=20)) as line:
            while not stop.is_set() and (most is None or said < most):
                self.waiting = self.waiting or next(self._to_say)
                try:
                    status, answer = self._post(line, self.waiting)
                except (OSError, http.client.HTTPException, ValueError):
                    self.interrupted += 1
                    return
                if status != 200 or answer["uid"] != self.waiting["uid"]:
                    self.refused.append(f"{status} {answer}")
                    return
                self.receipted.append(self.waiting)
                self.waiting = None
                said += 1

    def _post(self, line: http.client.HTTPConnection, entry: Statement) -> tuple[int, Statement]:
        headers = {
            "Content-Type": "application/json",
            "Accept": "application/json",
            "Cookie": f"sessionid={self.practice['cookie']}; csrftoken={TOKEN}",
            "X-CSRFToken": TOKEN,
        }
        line.request("POST", "/sync/", json.dumps(entry), headers)
        answer = line.getresponse()
        return answer.status, json.loads(answer.read())

    def _statements(self) -> Iterator[Statement]:
        """Sets, corrections of them, changed lines, ends of sessions and weighings, without end."""
        at = datetime.now(UTC)
        today = date.fromisoformat(self.practice["today"])
        for turn in range(10_000):
            about = {"session": self._id(), "session_name": f"Phone {self.number}"}
            about["done_at"] = at.isoformat()
            sets = [self._set(about, number) for number in (1, 2, 3)]
            yield from sets
            yield self._anew(sets[0], amount=self.random.randrange(20))
            yield self._new("line", about, prescription=self._id(), change="skip", reason="busy")
            yield self._anew(sets[1], removed=True)
            end = {"finished_at": at.isoformat(), "rpe": self.random.randrange(11), "note": "Done."}
            yield {**self._new("session", about, **end), "uid": about["session"]}
            on = today - timedelta(days=4 * turn + self.number)
            yield self._new("weight", {}, on=on.isoformat(), kg=self.random.randrange(50, 90))

    def _set(self, about: Statement, number: int) -> Statement:
        return self._new(
            "set",
            about,
            exercise=self.random.choice(self.practice["exercises"]),
            number=number,
            amount=self.random.randrange(20),
            load=self.random.choice([0, 2.5, 12.25]),
        )

    def _new(self, kind: str, about: Statement, **values: Any) -> Statement:
        own = {"kind": kind, "uid": self._id(), "edit": self._id(), "revision": 1}
        return {**own, **about, **values}

    def _anew(self, before: Statement, **changes: Any) -> Statement:
        return {**before, **changes, "edit": self._id(), "revision": before["revision"] + 1}

    def _id(self) -> str:
        return str(UUID(int=self.random.getrandbits(128), version=4))
