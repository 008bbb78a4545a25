"""``python3 manage.py weekly_review``: print what the review says of one week."""

import re
from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import CommandError

from sessions.management.past_weeks import PastWeeksCommand, local_today
from sessions.pages_review import review_week


class Command(PastWeeksCommand):
    """Print one week by what was known at its end."""

    help = "Print what the review says of one week; README.md describes the JSON."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which week, and whose."""
        super().add_arguments(parser)
        parser.add_argument(
            "--week", default=None, help="such as 2026-W48; usually the one that Review opens on"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        """Print the week."""
        today = local_today()
        monday = _monday(options["week"], today)
        self.show([monday], today, client=options["client"], as_json=options["json"])


def _monday(asked: str | None, today: date) -> date:
    if asked is None:
        return review_week("", today).starts_on
    found = re.fullmatch(r"(\d{4})-[Ww](\d{2})", asked.strip(), re.ASCII)
    try:
        monday = date.fromisocalendar(int(found[1]), int(found[2]), 1) if found else None
    except ValueError:
        monday = None
    if monday is None:
        message = f"“{asked}” is not a week; write the year and its number, such as 2026-W48."
        raise CommandError(message)
    if monday > today:
        message = f"The week {asked} has not begun; choose one up to today's."
        raise CommandError(message)
    return monday
