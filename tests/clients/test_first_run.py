"""The first account of a practice: who may make it, and only once."""

from pathlib import Path

import pytest
from django.test import Client as Browser

from clients.account_services import create_first_coach
from clients.errors import AccountError
from clients.models import Role, User

pytestmark = pytest.mark.django_db

SAID = {
    "name": "Ana Ferro",
    "email": "Ana@Practice.example",
    "password": "four quiet chin-ups",
    "again": "four quiet chin-ups",
}
ELSEWHERE = "192.0.2.44"


@pytest.fixture
def token(settings, tmp_path) -> str:
    settings.SETUP_TOKEN_FILE = tmp_path / "setup-token"
    Path(settings.SETUP_TOKEN_FILE).write_text("a-long-word-that-start-printed\n", encoding="ascii")
    return "a-long-word-that-start-printed"


def test_the_first_page_of_an_empty_practice_leads_to_the_first_account():
    answer = Browser().get("/", follow=True)

    assert answer.redirect_chain[-1][0] == "/first-run/"
    assert answer.status_code == 200
    assert b"Open your practice" in answer.content


def test_the_first_coach_is_signed_in_and_led_to_the_first_client(token, settings):
    browser = Browser()

    answer = browser.post("/first-run/", SAID)

    coach = User.objects.get()
    assert answer.headers["Location"] == "/clients/new/"
    assert (coach.email, coach.role) == ("ana@practice.example", Role.COACH)
    assert coach.check_password(SAID["password"])
    assert browser.session["_auth_user_id"] == str(coach.pk)
    assert not Path(settings.SETUP_TOKEN_FILE).exists()


def test_once_there_is_an_account_the_first_run_is_over(ana):
    answer = Browser().post("/first-run/", SAID, follow=True)

    assert answer.redirect_chain[-1][0] == "/sign-in/"
    assert User.objects.count() == 1
    with pytest.raises(AccountError, match="already has an account"):
        create_first_coach(email="x@x.example", name="X", password=SAID["password"])


def test_another_machine_needs_the_printed_address(token):
    closed = Browser(REMOTE_ADDR=ELSEWHERE).post("/first-run/", SAID)
    guessed = Browser(REMOTE_ADDR=ELSEWHERE).post("/first-run/a-guess/", SAID)

    assert (closed.status_code, guessed.status_code) == (403, 403)
    assert not User.objects.exists()

    opened = Browser(REMOTE_ADDR=ELSEWHERE).post(f"/first-run/{token}/", SAID)
    assert opened.status_code == 302
    assert User.objects.count() == 1


def test_no_word_opens_a_practice_that_printed_no_token(settings, tmp_path):
    settings.SETUP_TOKEN_FILE = tmp_path / "nothing-here"

    answer = Browser(REMOTE_ADDR=ELSEWHERE).get("/first-run/anything/")

    assert answer.status_code == 403


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded"])
def test_behind_a_proxy_nobody_counts_as_this_machine(header):
    answer = Browser().get("/first-run/", headers={header: "192.0.2.44"})

    assert answer.status_code == 403


def test_with_https_only_the_token_opens_the_practice(settings, token):
    settings.SECURE_COOKIES = True

    assert Browser().get("/first-run/").status_code == 403
    assert Browser().get(f"/first-run/{token}/").status_code == 200


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"again": "something else"}, "again", "same twice"),
        ({"password": "short", "again": "short"}, "password", "too short"),
        ({"password": "password1234", "again": "password1234"}, "password", "common"),
        (
            {"name": "Ana Ferro", "password": "ana ferro!", "again": "ana ferro!"},
            "password",
            "name",
        ),
        ({"email": "nobody"}, "email", "valid email"),
    ],
)
def test_a_bad_entry_is_named_and_nothing_is_written(change, field, words):
    answer = Browser().post("/first-run/", SAID | change)

    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert not User.objects.exists()
