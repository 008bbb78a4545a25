"""The health screen as it is asked and kept."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from clients.errors import IntakeError
from clients.intake_services import record_screening
from clients.pages import intake_page
from clients.queries import screening_answers
from coaching.rules.screening import CLEARANCE, Gate, Topic
from tests.clients.conftest import HTMX
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

ALL_NO = {topic.value.replace(" ", "_"): "no" for topic in Topic if topic is not Topic.CONSENT}
ANSWERS: dict[Topic, bool] = {topic: False for topic in Topic if topic is not Topic.CONSENT}


def save(ana, cleo, change, headers=HTMX):
    url = reverse("clients:save-screening", args=[cleo.pk])
    return signed_in(ana).post(url, ALL_NO | change, headers=headers)


def test_the_answers_the_note_and_the_day_are_kept(ana, cleo, now):
    answer = save(ana, cleo, {"active": "yes", "note": "Asthma, inhaler at hand"}, headers={})

    cleo.refresh_from_db()
    assert answer.status_code == 302
    assert cleo.screened_on is not None
    assert cleo.screening_note == "Asthma, inhaler at hand"
    assert screening_answers(cleo) == ANSWERS | {Topic.ACTIVE: True}
    assert intake_page(cleo, now).screening.cautions == ()


def test_a_yes_shows_the_caution_and_waits_for_clearance(ana, cleo):
    answer = save(ana, cleo, {"symptoms": "yes"})

    page = answer.context["page"]
    assert CLEARANCE in answer.text
    assert page.screening.gate == Gate.STOP
    assert page.steps[1].state == "waits for clearance"
    assert not page.may_plan


def test_a_clearance_that_was_seen_lets_the_step_be_done(ana, cleo):
    seen = (date.today() - timedelta(days=3)).isoformat()  # noqa: DTZ011 - any day before today

    answer = save(ana, cleo, {"eyes": "yes", "cleared_on": seen})

    assert answer.context["page"].may_plan
    assert "Clearance seen on" in answer.text


def test_a_birth_year_of_a_minor_asks_for_a_guardian_before_anything_was_answered(ana, cleo):
    cleo.born_in = date.today().year - 15  # noqa: DTZ011 - any day of this year
    cleo.save(update_fields=["born_in"])

    answer = signed_in(ana).get(reverse("clients:intake", args=[cleo.pk]))

    assert answer.text.count("written consent of a parent or guardian") == 2
    assert not answer.context["page"].may_plan


def test_a_clearance_does_not_stand_in_for_a_guardian(ana, cleo):
    seen = (date.today() - timedelta(days=3)).isoformat()  # noqa: DTZ011 - any day before today

    refused = save(ana, cleo, {"minor": "yes", "consent": "no", "cleared_on": seen})
    agreed = save(ana, cleo, {"minor": "yes", "consent": "yes", "cleared_on": seen})

    assert refused.context["page"].steps[1].state == "waits for a guardian’s consent"
    assert not refused.context["page"].may_plan
    assert agreed.context["page"].may_plan


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"heart": ""}, "heart", "Answer yes or no"),
        ({"minor": "yes"}, "consent", "the client is a minor"),
        ({"cleared_on": "2999-01-01"}, "cleared_on", "lies in the future"),
        ({"cleared_on": "soon"}, "cleared_on", "valid date"),
    ],
)
def test_an_open_or_impossible_answer_is_named_and_nothing_is_kept(ana, cleo, change, field, words):
    answer = save(ana, cleo, change)

    cleo.refresh_from_db()
    assert answer.status_code == 422
    assert words in answer.context["page"].screening.form.errors[field][0]
    assert cleo.screened_on is None


def test_the_service_refuses_open_questions(cleo, today):
    with pytest.raises(IntakeError, match="open: heart"):
        record_screening(
            client=cleo,
            answers={topic: no for topic, no in ANSWERS.items() if topic is not Topic.HEART},
            on=today,
        )


def test_the_service_asks_for_consent_of_a_minor(cleo, today):
    with pytest.raises(IntakeError, match="open: consent"):
        record_screening(client=cleo, answers=ANSWERS | {Topic.MINOR: True}, on=today)


def test_the_service_refuses_a_clearance_of_tomorrow(cleo, today):
    with pytest.raises(IntakeError, match="future"):
        record_screening(
            client=cleo, answers=ANSWERS, on=today, cleared_on=today + timedelta(days=1)
        )
