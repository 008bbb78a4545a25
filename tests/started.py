"""Blockwright as a person starts it, in another process."""

import contextlib
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[1]
# The same as "manage.py start" once it runs inside .venv, without looking at .venv again.
START = "import sys, manage; sys.exit(manage.run('start', sys.argv[1:]))"


class Started:
    """Blockwright as a person starts it: another process, with an output to read."""

    def __init__(self, *words: str, **variables: str) -> None:
        kept = {
            k: v for k, v in os.environ.items() if k not in {"DATABASE_URL", "BLOCKWRIGHT_DATA"}
        }
        self.process = subprocess.Popen(  # noqa: S603
            [sys.executable, "-W", "error", "-c", START, *words],
            cwd=PROJECT,
            env={**kept, **variables},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )

    def until(self, sentence: str) -> str:
        """Read what is printed up to a sentence."""
        said = ""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            said += line
            if sentence in line:
                return said
        pytest.fail(f"It stopped without saying “{sentence}”:\n{said}")

    def outcome(self) -> tuple[int, str]:
        """Wait for the end; return the exit code and what was printed."""
        said, _ = self.process.communicate(timeout=60)
        return self.process.returncode, said

    def stop(self) -> int:
        self.process.terminate()
        return self.outcome()[0]


@contextlib.contextmanager
def started(*words: str, **variables: str) -> Iterator[Started]:
    running = Started(*words, **variables)
    try:
        yield running
    finally:
        running.process.kill()
        running.process.communicate()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
