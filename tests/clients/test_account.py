"""The coach's own account."""

import pytest
from django.test import Client as Browser

from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

OLD, NEW = "four quiet chin-ups", "five loud push-ups"


@pytest.fixture
def coach(ana):
    ana.set_password(OLD)
    ana.save()
    return ana


def test_a_coach_changes_name_and_address(coach):
    browser = signed_in(coach)

    answer = browser.post("/account/save/", {"name": "Ana F.", "email": "AF@practice.example"})

    coach.refresh_from_db()
    assert answer.headers["Location"] == "/account/"
    assert (coach.name, coach.email) == ("Ana F.", "af@practice.example")


def test_an_address_of_somebody_else_is_refused(coach, ben):
    said = {"name": "Ana", "email": "BEN@practice.example"}

    answer = signed_in(coach).post("/account/save/", said, headers={"HX-Request": "true"})

    coach.refresh_from_db()
    assert answer.status_code == 422
    assert "already has an account" in answer.context["name_form"].errors["email"][0]
    assert coach.name == "Ana Ferro"


def test_a_new_password_keeps_this_browser_and_signs_out_the_others(coach):
    here, there = signed_in(coach), signed_in(coach)
    said = {"old": OLD, "password": NEW, "again": NEW}

    answer = here.post("/account/password/", said)

    coach.refresh_from_db()
    assert answer.status_code == 302
    assert coach.check_password(NEW)
    assert here.get("/account/").status_code == 200
    assert there.get("/account/").status_code == 302


@pytest.mark.parametrize(
    ("change", "field"),
    [({"old": "wrong"}, "old"), ({"again": "other"}, "again"), ({"password": "ab"}, "password")],
)
def test_a_refused_password_changes_nothing(coach, change, field):
    said = {"old": OLD, "password": NEW, "again": NEW} | change

    answer = signed_in(coach).post("/account/password/", said)

    coach.refresh_from_db()
    assert answer.status_code == 422
    assert field in answer.context["password_form"].errors
    assert coach.check_password(OLD)


def test_htmx_gets_the_part_and_a_browser_the_page(coach):
    browser = signed_in(coach)
    said = {"name": "Ana", "email": "ana@practice.example"}

    part = browser.post("/account/save/", said, headers={"HX-Request": "true"})
    page = browser.get("/account/")

    assert part.text.lstrip().startswith('<section class="card" id="account-name"')
    assert "Name and address are saved." in part.text
    assert "<html" in page.text


def test_a_client_has_no_such_page(cleo):
    browser = signed_in(cleo.user)

    assert browser.get("/account/").status_code == 404
    assert browser.post("/account/save/", {"name": "x"}).status_code == 404
    assert browser.post("/account/password/", {"old": "x"}).status_code == 404


def test_a_stranger_signs_in_first(coach):
    assert Browser().get("/account/").headers["Location"].startswith("/sign-in/")
