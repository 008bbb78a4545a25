"""Gives the tests a data folder of their own before the settings are read.

Loaded by ``-p`` in pyproject.toml, which comes before pytest-django asks for settings.
"""

import os
import tempfile

os.environ["BLOCKWRIGHT_DATA"] = tempfile.mkdtemp(prefix="blockwright-test-")
# Playwright's event loop runs in the main thread, where journeys also ask the database.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
