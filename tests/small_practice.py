"""A practice with one client who trains today, in a folder of its own, for a real server.

python -m tests.small_practice FOLDER    # prints the key of the client's session
"""

import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).resolve().parents[1]


def make_practice(folder: Path) -> str:
    """Make it in another process, as the settings of this one are taken; returns the session key."""
    variables = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "tests.small_practice", str(folder)],
        cwd=PROJECT,
        env={**variables, "BLOCKWRIGHT_DATA": str(folder)},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.split()[-1]


def session_of(user: Any) -> str:
    """Sign somebody in without the sign-in page; the key of the session."""
    from django.contrib.auth import (  # noqa: PLC0415 - settings may not be chosen yet
        BACKEND_SESSION_KEY,
        HASH_SESSION_KEY,
        SESSION_KEY,
    )
    from django.contrib.sessions.backends.db import SessionStore  # noqa: PLC0415

    session = SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.save()
    return str(session.session_key)


def _make(folder: str) -> None:
    os.environ["BLOCKWRIGHT_DATA"] = folder
    os.environ["DJANGO_SETTINGS_MODULE"] = "coaching.settings"
    import django  # noqa: PLC0415 - the data folder must be chosen before settings are read

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415
    from django.utils import timezone  # noqa: PLC0415

    from coaching.blocks.models import PlannedSession  # noqa: PLC0415
    from tests.conftest import load_shared  # noqa: PLC0415
    from tests.factories.blocks import published_block  # noqa: PLC0415
    from tests.factories.clients import ClientFactory  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    load_shared()
    client = ClientFactory.create(name="Cleo Brandt")
    user = client.user
    assert user is not None
    today = client.local_date(timezone.now())
    block = published_block(client, today - timedelta(days=today.weekday()), "upper-lower")
    row = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    PlannedSession.objects.filter(week__block=block, on=today).exclude(pk=row.pk).delete()
    PlannedSession.objects.filter(pk=row.pk).update(on=today)
    print(session_of(user))  # noqa: T201


if __name__ == "__main__":
    _make(sys.argv[1])
