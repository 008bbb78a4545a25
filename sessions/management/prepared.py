"""What every command needs to know of the practice before it begins."""

from django.core.management.base import CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor


def refuse_unprepared(then: str) -> None:
    """End the command when the practice was not made by this version; ``then`` is what to do after."""
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        message = (
            "The practice is not made yet, or is of an earlier version; run “python3 manage.py "
            f"start” once, stop it with Ctrl-C, and {then} again."
        )
        raise CommandError(message)
