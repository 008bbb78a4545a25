"""Is the database there, is it ours, and is it up to date?"""

from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.executor import MigrationExecutor

from coaching.environment import DATABASE_VARIABLE, BadEnvironmentError


def bring_up_to_date() -> None:
    """Reach the database and make or alter its tables where this version needs it.

    Raises:
        BadEnvironmentError: it cannot be reached, is no database, or a newer version made it.
    """
    try:
        connection.ensure_connection()
        executor = MigrationExecutor(connection)
    except OperationalError as error:
        raise BadEnvironmentError(_unreachable()) from error
    except DatabaseError as error:
        message = (
            f"{_where()} is not a database that Blockwright can read; put a backup in its place "
            "or choose another folder with --data."
        )
        raise BadEnvironmentError(message) from error
    _refuse_newer(executor)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", interactive=False, verbosity=0)


def _refuse_newer(executor: MigrationExecutor) -> None:
    loader = executor.loader
    unknown = sorted(
        f"{app}.{name}"
        for app, name in loader.applied_migrations
        if app in loader.migrated_apps and (app, name) not in loader.disk_migrations
    )
    if unknown:
        message = (
            f"{_where()} was made by a newer version of Blockwright (it has {unknown[0]}); start "
            "it with that version, or choose another folder with --data."
        )
        raise BadEnvironmentError(message)


def _unreachable() -> str:
    if connection.vendor == "postgresql":
        return (
            f"{_where()} cannot be used; check that it runs and that the user, the password and "
            f"the database in {DATABASE_VARIABLE} exist there."
        )
    return f"{_where()} cannot be opened; make the file yours or choose another folder with --data."


def _where() -> str:
    # Built from the parts: the address as a whole holds the password.
    kept = connection.settings_dict
    if connection.vendor == "postgresql":
        return f"PostgreSQL at {kept['HOST'] or 'localhost'}, port {kept['PORT'] or 5432},"
    return f"The file {kept['NAME']}"
