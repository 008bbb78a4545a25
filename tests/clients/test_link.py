"""The link that signs a client in on the phone."""

from datetime import timedelta

import pytest
from django.test import Client as Browser
from django.utils import timezone

from clients.models import SignInLink
from clients.services import make_sign_in_link, token_hash
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def test_opening_the_link_signs_nobody_in(cleo):
    token = make_sign_in_link(user=cleo.user)
    browser = Browser()

    answer = browser.get(f"/link/{token}/")

    assert answer.status_code == 200
    assert "Continue as" in answer.text
    assert "no-store" in answer.headers["Cache-Control"]
    assert "_auth_user_id" not in browser.session


def test_the_button_behind_the_link_signs_in(cleo):
    token = make_sign_in_link(user=cleo.user)
    browser = Browser()

    answer = browser.post(f"/link/{token}/")

    assert answer.headers["Location"] == "/"
    assert browser.session["_auth_user_id"] == str(cleo.user.pk)


def test_a_link_opens_a_second_device_too(cleo):
    token = make_sign_in_link(user=cleo.user)

    assert Browser().post(f"/link/{token}/").status_code == 302
    assert Browser().post(f"/link/{token}/").status_code == 302


def test_only_the_hash_of_a_link_is_kept(cleo):
    token = make_sign_in_link(user=cleo.user)

    kept = SignInLink.objects.values().get()
    assert token not in str(kept)
    assert kept["token_hash"] == token_hash(token)


@pytest.mark.parametrize("method", ["get", "post"])
def test_an_old_a_replaced_and_an_unknown_link_ask_for_a_new_one(cleo, drew, method):
    old = make_sign_in_link(user=cleo.user)
    SignInLink.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    replaced = make_sign_in_link(user=drew.user)
    make_sign_in_link(user=drew.user)

    for token in (old, replaced, "unknown"):
        browser = Browser()
        answer = getattr(browser, method)(f"/link/{token}/")
        assert answer.status_code == 404
        assert "Ask your coach for a new link" in answer.text
        assert "_auth_user_id" not in browser.session


def test_a_coach_who_opens_a_clients_link_is_told_what_going_on_means(ana, cleo):
    token = make_sign_in_link(user=cleo.user)

    answer = signed_in(ana).get(f"/link/{token}/")

    assert "You are signed in as Ana Ferro" in answer.text
