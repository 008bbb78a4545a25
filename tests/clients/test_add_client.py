"""Putting somebody on the roster."""

import pytest
from django.test import Client as Browser

from clients.errors import IntakeError
from clients.intake_services import add_client
from clients.models import Client, User
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

SAID = {
    "name": "Noa Winter",
    "email": "noa@home.example",
    "level": "intermediate",
    "minutes": "75",
    "time_zone": "lisbon",
    "stature_cm": "171",
    "body_weight_kg": "68.5",
    "born_in": "1991",
    "sex": "unstated",
    "goal_words": "A strict muscle-up",
    "asks_rir": "on",
}


def test_a_new_client_has_a_body_an_account_and_a_place_on_the_roster(ana):
    answer = signed_in(ana).post("/clients/new/", SAID)

    client = Client.objects.get()
    assert answer.headers["Location"] == f"/clients/{client.pk}/intake/"
    assert (client.coach, client.name, client.minutes) == (ana, "Noa Winter", 75)
    assert client.time_zone == "Europe/Lisbon"
    assert client.user is not None
    assert client.user.email == "noa@home.example"
    assert not client.user.has_usable_password()
    assert float(client.body_weights.get().kg) == 68.5


def test_an_address_and_a_body_can_come_later(ana):
    open_fields = dict.fromkeys(("email", "stature_cm", "body_weight_kg", "born_in"), "")

    signed_in(ana).post("/clients/new/", SAID | open_fields)

    client = Client.objects.get()
    assert (client.user, client.stature_cm, client.born_in) == (None, None, None)
    assert not client.body_weights.exists()


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("name", "", "required"),
        ("email", "noa@", "valid email"),
        ("level", "expert", "Select a valid choice"),
        ("minutes", "14", "greater than or equal to 15"),
        ("minutes", "181", "less than or equal to 180"),
        ("time_zone", "Atlantis", "“Atlantis” is not a time zone"),
        ("stature_cm", "119", "greater than or equal to 120"),
        ("body_weight_kg", "24", "greater than or equal to 25"),
        ("born_in", "1850", "not a likely birth year"),
        ("sex", "x", "Select a valid choice"),
    ],
)
def test_a_bad_entry_is_named_and_nothing_is_written(ana, field, typed, words):
    answer = signed_in(ana).post("/clients/new/", SAID | {field: typed})

    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert not Client.objects.exists()


def test_a_taken_address_is_refused_and_leaves_no_half_client(ana, ben):
    answer = signed_in(ana).post("/clients/new/", SAID | {"email": "Ben@practice.example"})

    assert answer.status_code == 422
    assert "already has an account" in answer.context["form"].errors["email"][0]
    assert not Client.objects.exists()
    assert User.objects.count() == 2


def test_the_next_client_is_offered_the_time_zone_of_the_last(ana, cleo):
    first = signed_in(ana).get("/clients/new/")

    assert first.context["form"].initial["time_zone"] == "Europe/Lisbon"
    assert not first.context["guess_zone"]


def test_the_service_refuses_what_is_no_part_of_a_person(ana, now):
    with pytest.raises(IntakeError, match="archived_at"):
        add_client(coach=ana, now=now, name="Noa", archived_at=now)


def test_a_client_cannot_add_clients(cleo):
    assert signed_in(cleo.user).get("/clients/new/").status_code == 404
    assert signed_in(cleo.user).post("/clients/new/", SAID).status_code == 404
    assert Browser().post("/clients/new/", SAID).status_code == 302
    assert Client.objects.count() == 1
