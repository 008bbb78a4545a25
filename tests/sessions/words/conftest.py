"""Last week, and the note with which Ana closed it."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from sessions.models import WeekReview
from sessions.queries import week_start
from sessions.review_services import mark_reviewed


@pytest.fixture
def last_week(cleo) -> date:
    """The Monday before this week's, by the clock that runs."""
    return week_start(cleo.local_date(timezone.now())) - timedelta(days=7)


@pytest.fixture
def note(ana, cleo, last_week) -> WeekReview:
    """What Ana wrote when she closed last week."""
    return mark_reviewed(
        client=cleo, week_starts_on=last_week, by=ana, note_to_client="How do you sleep?"
    )
