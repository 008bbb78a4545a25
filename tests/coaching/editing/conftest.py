"""A published block of this week, and one window on it."""

from datetime import timedelta

import pytest

from coaching.blocks.models import Block
from tests.factories.blocks import published_block
from tests.factories.editor import Editor


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today - timedelta(days=today.weekday()), "beginner-full-body")


@pytest.fixture
def editor(block, today, ana):
    return Editor(block, today, ana)
