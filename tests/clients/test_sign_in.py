"""Coming in by password, the lockout, and going out."""

from datetime import timedelta

import pytest
from django.test import Client as Browser
from django.utils import timezone

from clients.account_services import MOST_FAILURES, is_locked_out, record_failed_sign_in
from clients.models import FailedSignIn
from clients.views.sign_in import LOCKED, WRONG
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

RIGHT = "four quiet chin-ups"
BAD = "three quiet chin-ups"


@pytest.fixture
def coach(ana):
    ana.set_password(RIGHT)
    ana.save()
    return ana


def sign_in(browser: Browser, email: str = "ana@practice.example", password: str = RIGHT, **more):
    return browser.post("/sign-in/", {"email": email, "password": password, **more})


def test_a_coach_signs_in_and_starts_at_the_review(coach):
    browser = Browser()

    assert sign_in(browser).headers["Location"] == "/"
    assert browser.get("/").headers["Location"] == "/review/"


def test_a_client_starts_at_today(cleo):
    assert signed_in(cleo.user).get("/").headers["Location"] == "/today/"


def test_capitals_in_the_address_do_not_matter(coach):
    assert sign_in(Browser(), email="ANA@Practice.Example").status_code == 302


def test_a_page_that_asked_for_a_sign_in_is_opened_afterwards(coach):
    browser = Browser()

    asked = browser.get("/roster/")
    answer = sign_in(browser, next="/roster/")

    assert asked.headers["Location"] == "/sign-in/?next=/roster/"
    assert answer.headers["Location"] == "/roster/"


@pytest.mark.parametrize("target", ["https://elsewhere.example/", "//elsewhere.example/"])
def test_nobody_is_sent_to_another_host(coach, target):
    assert sign_in(Browser(), next=target).headers["Location"] == "/"


@pytest.mark.parametrize(
    ("email", "password"),
    [("ana@practice.example", "wrong"), ("nobody@practice.example", RIGHT)],
)
def test_a_wrong_password_and_an_unknown_address_look_the_same(coach, email, password):
    answer = sign_in(Browser(), email, password)

    assert answer.status_code == 422
    assert answer.context["form"].non_field_errors() == [WRONG]


def test_a_client_without_a_password_cannot_come_in_by_one(cleo):
    assert sign_in(Browser(), "cleo@home.example", "").status_code == 422
    assert sign_in(Browser(), "cleo@home.example", "!").status_code == 422


def test_after_five_failures_even_the_right_password_waits(coach):
    browser = Browser()
    for _ in range(MOST_FAILURES):
        assert sign_in(browser, password=BAD).status_code == 422

    answer = sign_in(browser)

    assert answer.status_code == 429
    assert answer.context["form"].non_field_errors() == [LOCKED]
    assert "_auth_user_id" not in browser.session


def test_the_lockout_holds_for_one_address_from_one_place_and_fifteen_minutes(coach):
    start = timezone.now()
    key = {"email": "ana@practice.example", "address": "192.0.2.1"}
    for minute in range(MOST_FAILURES):
        record_failed_sign_in(**key, now=start + timedelta(minutes=minute))

    assert is_locked_out(**key, now=start + timedelta(minutes=14))
    assert not is_locked_out(**key, now=start + timedelta(minutes=16))
    assert not is_locked_out(**key | {"address": "192.0.2.2"}, now=start + timedelta(minutes=14))
    assert not is_locked_out(**key | {"email": "b@x.example"}, now=start + timedelta(minutes=14))


def test_success_starts_the_count_anew_and_old_failures_are_forgotten(coach):
    browser = Browser()
    sign_in(browser, password=BAD)
    record_failed_sign_in(
        email="old@x.example", address="192.0.2.1", now=timezone.now() - timedelta(hours=1)
    )

    sign_in(browser, password=BAD)
    assert FailedSignIn.objects.count() == 2
    sign_in(browser)

    assert not FailedSignIn.objects.exists()


def test_nothing_that_was_typed_is_kept_of_a_failed_try(coach):
    sign_in(Browser(), email="secret-by-mistake@x.example", password=BAD)

    assert "secret" not in str(FailedSignIn.objects.values().get())


def test_signing_out_is_an_act_and_not_a_link(coach):
    browser = signed_in(coach)

    assert browser.get("/sign-out/").status_code == 405
    assert browser.post("/sign-out/").headers["Location"] == "/sign-in/"
    assert browser.get("/roster/").status_code == 302


def test_who_is_signed_in_already_goes_on(coach):
    assert signed_in(coach).get("/sign-in/").headers["Location"] == "/"
