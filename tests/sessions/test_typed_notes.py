"""Notes that are typed and not saved stay in the panel whatever else is pressed there."""

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.models import Decision, WeekReview
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}
TYPED = {"note_to_client": "Sleep more.", "private_note": "Ask about the job."}


@pytest.fixture
def press(ana, trained, last_week):
    """Press something in the panel of Cleo with notes typed, as the page sends them."""
    coach = signed_in(ana)

    def post(name, *args, **data):
        sent = {"week": last_week.isoformat(), "notes_of": trained.pk, **TYPED, **data}
        return coach.post(reverse(f"sessions:{name}", args=args), sent, headers=PART)

    return post


def notes_in(answer):
    form = answer.context["form"]
    return {name: form[name].value() for name in TYPED}


@pytest.mark.parametrize("name", ["accept-targets", "hold-week", "words-read", "reopen-week"])
def test_what_was_typed_stays_and_is_not_saved(press, trained, name):
    answer = press(name, trained.pk, until=timezone.now().isoformat())

    assert notes_in(answer) == TYPED
    assert not WeekReview.objects.exclude(note_to_client="", private_note="").exists()


def test_undo_leaves_what_was_typed(press, trained):
    press("hold-week", trained.pk)

    answer = press("undo-decisions", decision=Decision.objects.values_list("pk", flat=True)[0])

    assert Decision.objects.filter(undone_at__isnull=False).exists()
    assert notes_in(answer) == TYPED


def test_a_question_is_put_beside_what_was_typed(ana, cleo, last_week):
    published_block(cleo, last_week, "beginner-full-body")
    week = f"?week={last_week.isoformat()}"
    coach = signed_in(ana)
    page = coach.get(reverse("sessions:review-client", args=[cleo.pk]) + week, headers=PART)
    url = f"{reverse('sessions:ask-client', args=[cleo.pk])}{week}&ask=1"

    answer = coach.post(url, TYPED | {"notes_of": cleo.pk}, headers=PART)

    asked = page.context["panel"].question
    assert url.replace("&", "&amp;") in page.text
    assert "What got in the way of training" in asked
    assert notes_in(answer) == TYPED | {"note_to_client": f"Sleep more.\n{asked}"}


def test_what_was_typed_for_one_client_is_not_shown_to_the_next(press, trained, ana, last_week):
    edda = ClientFactory.create(coach=ana, name="Edda Holm")
    published_block(edda, last_week, "beginner-full-body")
    log_week(edda, last_week)

    answer = press("close-week", trained.pk)

    assert answer.context["panel"].client == edda
    assert notes_in(answer) == {"note_to_client": "", "private_note": ""}
    assert WeekReview.objects.get(client=trained).note_to_client == "Sleep more."
