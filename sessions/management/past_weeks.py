"""What the commands that print past weeks share: whose, which weeks, as text or as JSON."""

import json
from argparse import ArgumentParser
from collections.abc import Sequence
from datetime import date, datetime

from django.core.management.base import BaseCommand, CommandError

from clients.models import Client
from sessions.log_cells import EARLIEST_YEAR
from sessions.management.prepared import refuse_unprepared
from sessions.replay_reading import read_past_weeks
from sessions.review_report import data_of, lines_of, reports_of


def local_today() -> date:
    """The day it is on this machine."""
    return datetime.now().astimezone().date()


class PastWeeksCommand(BaseCommand):
    """Print weeks by what was known at the end of each."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whose weeks, and in which form."""
        parser.add_argument("--client", default=None, help="one client's name; usually all clients")
        parser.add_argument(
            "--json", action="store_true", help="print JSON; README.md describes it"
        )

    def show(
        self, mondays: Sequence[date], today: date, *, client: str | None, as_json: bool
    ) -> None:
        """Read those weeks and print them."""
        if mondays[0].year < EARLIEST_YEAR:
            message = (
                f"The year {mondays[0].year} is too early; choose one from {EARLIEST_YEAR} on."
            )
            raise CommandError(message)
        refuse_unprepared("ask")
        weeks = read_past_weeks(_clients(client), mondays, today)
        if as_json:
            found = [
                one for week in weeks for one in reports_of(week.readings, week.exercise_names)
            ]
            self.stdout.write(json.dumps(data_of(found), indent=1))
            return
        texts = ["\n".join(lines_of(week.starts_on, week.readings)) for week in weeks]
        self.stdout.write("\n\n".join(texts))


def _clients(name: str | None) -> list[Client]:
    """All coaches' clients who have not left, or the one of that name."""
    everyone = list(Client.objects.active().select_related("coach").order_by("name", "pk"))
    if name is None:
        return everyone
    wanted = " ".join(name.split()).casefold()
    found = [one for one in everyone if " ".join(one.name.split()).casefold() == wanted]
    if len(found) == 1:
        return found
    if found:
        coaches = " and ".join(one.coach.email for one in found)
        message = f"{len(found)} clients are called “{name}”, with {coaches}; rename one of them."
        raise CommandError(message)
    near = [one.name for one in everyone if wanted and wanted in one.name.casefold()]
    hint = f"; did you mean {' or '.join(near)}?" if near else "; the names stand in Roster."
    message = f"No client is called “{name}”{hint}"
    raise CommandError(message)
