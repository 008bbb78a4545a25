"""The intake page: the person, page or part, and who may open it."""

from datetime import date

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.errors import IntakeError
from clients.intake_services import update_client
from clients.pages import intake_page
from clients.services import add_joint_limit, record_body_weight
from tests.clients.conftest import HTMX
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

PERSON = {
    "name": "Cleo B.",
    "level": "advanced",
    "minutes": "50",
    "time_zone": "Europe/Oslo",
    "stature_cm": "",
    "body_weight_kg": "61.25",
    "born_in": "",
    "sex": "female",
    "goal_words": "",
}
ACTS = (
    "save-person",
    "save-screening",
    "save-equipment",
    "add-joint-limit",
    "save-address",
    "make-link",
    "archive-client",
    "restore-client",
)


def test_the_page_shows_how_each_section_stands(cleo, now):
    record_body_weight(client=cleo, on=date(2026, 3, 2), kg=61)

    page = intake_page(cleo, now)

    assert {step.key: step.state for step in page.steps} == {
        "person": "61 kg, stature open",
        "screening": "not asked yet",
        "equipment": "nothing yet",
        "limits": "none",
        "account": "needs a link",
    }


def test_the_page_asks_the_database_five_times(cleo, now, django_assert_num_queries):
    for day in range(1, 9):
        record_body_weight(client=cleo, on=date(2026, 3, day), kg=61)
    cleo.refresh_from_db()

    with django_assert_num_queries(5):
        intake_page(cleo, now)


def test_a_plain_post_saves_and_leads_back_to_the_section(ana, cleo):
    answer = signed_in(ana).post(reverse("clients:save-person", args=[cleo.pk]), PERSON)

    cleo.refresh_from_db()
    assert answer.headers["Location"] == f"/clients/{cleo.pk}/intake/#intake-person"
    assert (cleo.name, cleo.level, cleo.asks_rir) == ("Cleo B.", "advanced", False)
    assert cleo.user.name == "Cleo B."
    assert float(cleo.body_weights.get().kg) == 61.25


def test_htmx_gets_the_section_the_state_of_all_and_a_message(ana, cleo):
    url = reverse("clients:save-person", args=[cleo.pk])

    answer = signed_in(ana).post(url, PERSON, headers=HTMX)

    assert answer.text.lstrip().startswith('<section class="card" id="intake-person"')
    assert 'id="intake-steps"' in answer.text
    assert 'hx-swap-oob="true"' in answer.text
    assert "The person is saved." in answer.text
    assert "<html" not in answer.text
    assert "HX-Request" in answer.headers["Vary"]


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_bad_entry_is_shown_where_it_is_and_nothing_is_written(ana, cleo, headers):
    url = reverse("clients:save-person", args=[cleo.pk])

    answer = signed_in(ana).post(url, PERSON | {"minutes": "500"}, headers=headers)

    cleo.refresh_from_db()
    assert answer.status_code == 422
    assert "less than or equal to 180" in answer.text
    assert ("<html" in answer.text) is not bool(headers)
    assert cleo.name == "Cleo Brandt"


def test_saving_twice_keeps_one_body_weight_a_day(ana, cleo):
    browser, url = signed_in(ana), reverse("clients:save-person", args=[cleo.pk])

    browser.post(url, PERSON)
    browser.post(url, PERSON | {"body_weight_kg": "60"})

    assert [float(row.kg) for row in cleo.body_weights.all()] == [60]


def test_no_two_fields_of_the_page_share_an_id(ana, cleo):
    add_joint_limit(client=cleo, stress="grip", action="watch", since=date(2026, 3, 1))
    text = signed_in(ana).get(reverse("clients:intake", args=[cleo.pk])).text

    ids = [part.split('"', 1)[0] for part in text.split(' id="')[1:]]

    assert sorted(ids) == sorted(set(ids))


@pytest.mark.parametrize("act", ACTS)
def test_nobody_but_the_own_coach_writes_of_a_client(ben, cleo, drew, act):
    url = reverse(f"clients:{act}", args=[cleo.pk])

    assert signed_in(ben).post(url, PERSON).status_code == 404
    assert signed_in(cleo.user).post(url, PERSON).status_code == 404
    assert signed_in(drew.user).post(url, PERSON).status_code == 404
    assert Browser().post(url, PERSON).headers["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("act", ACTS)
def test_looking_at_an_act_does_nothing(ana, cleo, act):
    assert signed_in(ana).get(reverse(f"clients:{act}", args=[cleo.pk])).status_code == 405


def test_the_page_itself_is_the_own_coachs_only(ana, ben, cleo):
    url = reverse("clients:intake", args=[cleo.pk])

    assert signed_in(ana).get(url).status_code == 200
    assert signed_in(ben).get(url).status_code == 404
    assert signed_in(cleo.user).get(url).status_code == 404


def test_the_service_refuses_what_is_no_part_of_a_person(cleo, ben):
    with pytest.raises(IntakeError, match="coach"):
        update_client(client=cleo, coach=ben)
