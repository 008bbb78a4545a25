"""Style sheets, scripts and pictures, gathered into the data folder when they changed."""

import hashlib
import inspect
from pathlib import Path

import django
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

from clients import static_in_one, static_storage


def gather() -> bool:
    """Gather the static files if one was added, altered or removed; say whether it was needed."""
    stamp = Path(settings.STATIC_ROOT).with_suffix(".stamp")
    wanted = fingerprint()
    if stamp.is_file() and stamp.read_text(encoding="ascii") == wanted:
        return False
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    stamp.write_text(wanted, encoding="ascii")
    return True


def fingerprint() -> str:
    """Return a short text that changes when any static file, how they are gathered, or Django changes."""
    digest = hashlib.sha256(django.__version__.encode())
    for gathering in (static_in_one, static_storage):
        digest.update(inspect.getsource(gathering).encode())
    for finder in get_finders():
        for name, storage in finder.list([]):
            about = Path(storage.path(name)).stat()
            digest.update(f"{name} {about.st_size} {about.st_mtime_ns}\n".encode())
    return digest.hexdigest()
