"""What a person can ask of ``manage.py start``, and what that means for the data folder."""

import argparse
from dataclasses import dataclass
from pathlib import Path

from coaching import environment


@dataclass(frozen=True, slots=True)
class StartOptions:
    """How to start: with which practice, for whom, on which port."""

    demo: bool
    lan: bool
    port: int
    data: Path | None

    def data_directory(self) -> Path:
        """Return the data folder; the demo has its own, so that it never mixes with a practice.

        Raises:
            BadEnvironmentError: the folder lies inside the program's own folder.
        """
        if self.data is not None:
            return environment.checked_data_directory(self.data)
        usual = environment.data_directory()
        return usual / "demo" if self.demo else usual


def parse(arguments: list[str]) -> StartOptions:
    """Read the words after ``manage.py start``; a mistake ends the program with a sentence."""
    parser = argparse.ArgumentParser(
        prog="manage.py start", description="Open Blockwright in the browser on this machine."
    )
    parser.add_argument("--demo", action="store_true", help="open an invented practice")
    parser.add_argument("--lan", action="store_true", help="let phones on the same network in")
    parser.add_argument("--port", type=_port, default=8000, help="port number (usually 8000)")
    parser.add_argument("--data", type=Path, metavar="DIR", help="folder that holds the practice")
    found = parser.parse_args(arguments)
    return StartOptions(demo=found.demo, lan=found.lan, port=found.port, data=found.data)


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65535:
        message = f"“{text}” is not a port; choose a number from 1 to 65535"
        raise argparse.ArgumentTypeError(message)
    return int(text)
