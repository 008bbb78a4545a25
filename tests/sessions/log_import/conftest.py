"""Imports of a text as a file: brought in, or refused whole."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from tests.sessions.log_import.log_text import written


@pytest.fixture
def bring(tmp_path, ana):
    """Import a text as a file and return what is printed."""

    def run(content: str | bytes, **options) -> str:
        path = tmp_path / "log.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        out = StringIO()
        call_command("import_log", str(path), stdout=out, **options)
        return out.getvalue()

    return run


@pytest.fixture
def refused(bring):
    """Import a text that has to be refused whole, and return the words."""

    def run(content: str | bytes, **options) -> str:
        before = written()
        with pytest.raises(CommandError) as refusal:
            bring(content, **options)
        assert refusal.value.returncode == 1
        assert written() == before
        count, *faults = str(refusal.value).splitlines()
        if not faults:
            return count
        assert count == f"Nothing was imported; to mend: {len(faults)}."
        return "\n".join(faults)

    return run
