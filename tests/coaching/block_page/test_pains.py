"""What hurt lately is told where a plan is written that loads the same again."""

from datetime import timedelta

import pytest
from django.urls import reverse

from coaching.blocks.models import PlannedSession
from coaching.library.models import Exercise
from sessions.models import LoggedSet
from tests.coaching.block_page.acting import act, open_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session

pytestmark = pytest.mark.django_db


@pytest.fixture
def hurt(cleo, today):
    """A block whose first push-up hurt three days ago, in the shoulder, and is planned again."""
    block = published_block(cleo, today - timedelta(days=3), "beginner-full-body")
    first = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    incline = Exercise.objects.get(key="incline-push-up")
    log_session(cleo, first, pain={incline.pk: 7})
    LoggedSet.objects.filter(pain=7).update(pain_where="left shoulder")
    return block


def told(page):
    return " ".join(page.text.partition('id="block-pains"')[2].partition("</div>")[0].split())


def test_pain_is_told_with_what_is_planned_and_loads_the_same(ana, hurt):
    page = open_page(ana, hurt)

    (note,) = page.context["page"].pains
    assert "Incline push-up hurt 7 of 10 (left shoulder) on " in note.hurt
    assert "Incline push-up" in note.planned
    assert "refer to a licensed practitioner" in told(page)


def test_pain_that_has_gone_is_told_no_more(ana, cleo, hurt):
    LoggedSet.objects.filter(pain=7).update(pain=3)

    assert open_page(ana, hurt).context["page"].pains == ()


def test_an_exercise_that_hurt_or_loads_the_same_comes_last_among_swaps_and_says_so(ana, hurt):
    line = next(
        one
        for week in reversed(open_page(ana, hurt).context["page"].draft.snapshot["weeks"])
        for session in week["sessions"]
        for pair in session["pairs"]
        for one in pair["lines"]
        if one["name"] == "Push-up"
    )
    url = reverse("blocks:swap-line", args=[hurt.pk, line["uid"]])
    panel = signed_in(ana).get(url, {"shown": "1"}, headers={"HX-Request": "true"})
    swaps = panel.context["panel"].swaps

    # Every press loads the shoulder; what loads it as the incline push-up does stands last.
    assert all("loads the shoulder" in one.reason or "hurt 7" in one.reason for one in swaps)
    alike = ["alike" in one.reason or "hurt 7" in one.reason for one in swaps]
    assert {*alike} == {False, True}
    assert alike == sorted(alike)
    assert "Pain:</strong> Incline push-up hurt 7 of 10" in " ".join(panel.text.split())


def test_after_an_edit_the_note_is_asked_for_anew(ana, hurt):
    before = open_page(ana, hurt)
    incline = Exercise.objects.get(key="incline-push-up")
    url = reverse("blocks:block-pains", args=[hurt.pk])
    assert f'hx-get="{url}"' in before.text

    done = act(ana, hurt, act="leave-out", exercise=str(incline.pk))
    answer = signed_in(ana).get(url)

    assert done.status_code == 200
    (then,), (now,) = before.context["page"].pains, answer.context["pains"]
    assert (then.planned, now.planned) == ("Push-up and Incline push-up", "Push-up")
    assert f'hx-get="{url}"' in answer.text
