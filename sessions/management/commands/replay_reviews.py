"""``python3 manage.py replay_reviews``: print what the review would have said, week by week."""

from argparse import ArgumentParser
from datetime import date, timedelta
from typing import Any

from django.core.management.base import CommandError

from sessions.management.past_weeks import PastWeeksCommand, local_today
from sessions.queries import week_start

WEEK = timedelta(days=7)


class Command(PastWeeksCommand):
    """Print each week of a span by what was known at its end."""

    help = "Print what the review would have said at the end of each week in a span."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which span, and whose."""
        super().add_arguments(parser)
        for name, word in (("from", "first"), ("to", "last")):
            parser.add_argument(
                f"--{name}",
                default=None,
                metavar="DATE",
                help=f"a day of the {word} week, such as 2026-11-23",
            )

    def handle(self, *_args: Any, **options: Any) -> None:
        """Print the weeks, the oldest first."""
        today = local_today()
        first, last = (_day(options[name], name) for name in ("from", "to"))
        if first > last:
            message = f"The span ends before it begins: --from {first} is after --to {last}."
            raise CommandError(message)
        if week_start(last) > today:
            message = f"The week of --to {last} has not begun; choose a day of one up to today's."
            raise CommandError(message)
        monday, end = week_start(first), week_start(last)
        mondays = [monday + n * WEEK for n in range((end - monday) // WEEK + 1)]
        self.show(mondays, today, client=options["client"], as_json=options["json"])


def _day(text: str | None, name: str) -> date:
    if text is None:
        message = "Name the first and the last day: --from 2026-06-01 --to 2026-11-22."
        raise CommandError(message)
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        message = f"“{text}” after --{name} is not a day; write it such as 2026-11-23."
        raise CommandError(message) from error
