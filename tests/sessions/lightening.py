"""What tests of a light week send and read."""

from datetime import UTC, datetime

from django.urls import reverse

from coaching.blocks.queries import week_value
from coaching.rules.plan import PlannedWeek
from sessions.forms_deload import spots_of
from sessions.pages_deload import deload_page
from sessions.pages_review import review_week
from sessions.queries_deload import published_weeks, usual_week

NOON = datetime(2026, 3, 11, 12, tzinfo=UTC)


def address(client, name="deload"):
    return reverse(f"sessions:{name}", args=[client.pk])


def page_for(client, today, **sent):
    return deload_page(client, review_week("", today), sent, NOON)


def usual_of(client, today) -> PlannedWeek:
    """The week that is lightened from today on."""
    found = usual_week(published_weeks(client, today), today)
    assert found is not None
    return week_value(found.week)


def first_word(block, today) -> str:
    """The word of the first exercise of the week that is lightened from today on."""
    return next(iter(spots_of(usual_of(block.client, today)))).word
