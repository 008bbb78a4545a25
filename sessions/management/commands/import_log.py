"""``python3 manage.py import_log FILE``: bring a training log into a practice."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clients.models import Role, User
from coaching.library.models import Exercise
from coaching.rules.plan import LoadKind
from sessions.errors import LogFileError, LogImportError
from sessions.log_import_services import Imported, import_log
from sessions.log_rows import read_log, text_of
from sessions.management.past_weeks import local_today
from sessions.management.prepared import refuse_unprepared

_LOADS = {
    LoadKind.EXTERNAL.value: "the load alone counts, because every set has one",
    LoadKind.ADDED.value: "the load comes on top of {share:.0f} % of body weight, because some sets have 0 kg",
}


class Command(BaseCommand):
    """Bring a training log from a CSV file into a practice, all of it or nothing."""

    help = "Bring a training log from a CSV file into a practice; README.md names the columns."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which file, and whose practice."""
        parser.add_argument("file", type=Path, help="a CSV file, one row for each set")
        parser.add_argument("--coach", default="", help="the coach's e-mail, if there are several")

    def handle(self, *_args: Any, **options: Any) -> None:
        """Import the file, or name everything that has to be mended."""
        refuse_unprepared("import")
        today = local_today()
        try:
            coach = _coach(options["coach"])
            imported = import_log(coach=coach, log=read_log(text_of(options["file"]), today))
        except LogFileError as error:
            raise CommandError(str(error)) from error
        except LogImportError as error:
            message = f"Nothing was imported; to mend: {len(error.faults)}.\n{error}"
            raise CommandError(message) from error
        self.stdout.write("\n".join(_summary(imported)))


def _coach(email: str) -> User:
    coaches = list(User.objects.filter(role=Role.COACH, is_active=True).order_by("email"))
    names = ", ".join(coach.email for coach in coaches)
    if not coaches:
        message = (
            "There is no coach in this practice yet; make the first account with “python3 "
            "manage.py start”, and import again."
        )
        raise CommandError(message)
    if email:
        found = [coach for coach in coaches if coach.email.casefold() == email.strip().casefold()]
        if not found:
            message = f"No coach has the e-mail {email}; there are {names}."
            raise CommandError(message)
        return found[0]
    if len(coaches) > 1:
        message = f"There are several coaches; name one with --coach: {names}."
        raise CommandError(message)
    return coaches[0]


def _summary(done: Imported) -> list[str]:
    lines = [
        f"{done.rows} rows: {done.clients} clients ({len(done.new_clients)} new), "
        f"{done.exercises} exercises ({len(done.new_exercises)} new), "
        f"{done.sessions} sessions ({done.new_sessions} new), "
        f"{done.new_sets} sets ({done.known_sets} were there already)."
    ]
    if done.new_clients:
        lines.append(f"New clients: {', '.join(one.name for one in done.new_clients)}.")
        lines.append("Nobody has screened them: do their intake before you plan for them.")
    if done.new_exercises:
        lines.append("New exercises, made after the shared ones of their pattern:")
        lines += [f"  {one.name}: {one.pattern}; {_load(one)}." for one in done.new_exercises]
        lines.append(
            "Look through them in Exercises: muscles, plane and joints are guesses, the joints "
            "with caution."
        )
    return lines


def _load(exercise: Exercise) -> str:
    return _LOADS[exercise.load_kind].format(share=100 * exercise.body_share)
