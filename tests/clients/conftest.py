"""What the tests of people share."""

from datetime import UTC, datetime

import pytest

HTMX = {"HX-Request": "true"}


@pytest.fixture
def now() -> datetime:
    """Wednesday noon."""
    return datetime(2026, 3, 11, 12, tzinfo=UTC)
