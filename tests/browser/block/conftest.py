"""A published block, and its page as its coach has it open on a large screen."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page

from clients.models import User
from coaching.blocks.models import Block, PlannedSession
from tests.browser.conftest import DESK
from tests.factories.blocks import published_block


@pytest.fixture
def today(cleo) -> date:
    """The client's own day."""
    day: date = cleo.local_date(timezone.now())
    return day


@pytest.fixture
def block(cleo, today) -> Block:
    """A published block whose sessions are all to come; the first of them is today's."""
    made = published_block(cleo, today, "beginner-full-body")
    first = PlannedSession.objects.filter(week__block=made).order_by("on")[0]
    PlannedSession.objects.filter(pk=first.pk).update(on=today)
    User.objects.filter(pk=cleo.user.pk).update(last_login=timezone.now())
    return made


@pytest.fixture
def desk(open_page, ana, block) -> Page:
    """The block's first week, as its coach has it open."""
    url = reverse("blocks:block", args=[block.pk])
    page: Page = open_page(ana, f"{url}?week=1", viewport=DESK)
    return page
