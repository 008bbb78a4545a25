"""What a coach edits and has not published: the client's phone knows nothing of it."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import PlannedSession
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


def todays_lines(client, planned):
    answer = signed_in(client.user).get(f"{reverse('sessions:today')}?session={planned.uid}")
    html = answer.content.decode()
    assert answer.status_code == 200
    return html


def test_the_client_sees_the_published_plan_until_the_coach_publishes(ana, cleo, today):
    block = published_block(cleo, today - timedelta(days=today.weekday()), "upper-lower")
    planned = PlannedSession.objects.filter(week__block=block, on__gte=today).order_by("on")[0]
    line = planned.pairs.all()[0].prescriptions.all()[0]
    editor = Editor(block, today, ana)
    assert "17-16-15" not in todays_lines(cleo, planned)

    editor.act(act="change-line", line=str(line.uid), targets="17-16-15")
    assert "17-16-15" not in todays_lines(cleo, planned)

    publish_changes(block=block, by=ana, today=today)
    assert "17-16-15" in todays_lines(cleo, planned)
