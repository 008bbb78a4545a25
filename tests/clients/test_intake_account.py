"""How a client gets in: account, sign-in link, leaving and coming back."""

import pytest
from django.test import Client as Browser
from django.urls import reverse

from clients.account_services import change_client_address
from clients.errors import AccountError
from clients.services import make_sign_in_link, user_of_link
from tests.clients.conftest import HTMX
from tests.conftest import signed_in
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def nora(ana):
    return ClientFactory.create(coach=ana, name="Nora Lund", user=None)


def test_a_client_gets_an_account_and_then_another_address(ana, nora):
    browser, url = signed_in(ana), reverse("clients:save-address", args=[nora.pk])

    browser.post(url, {"email": "nora@home.example"})
    nora.refresh_from_db()
    assert nora.user.email == "nora@home.example"

    browser.post(url, {"email": "lund@home.example"})
    nora.user.refresh_from_db()
    assert nora.user.email == "lund@home.example"


def test_an_address_that_somebody_has_is_refused(ana, nora, drew):
    url = reverse("clients:save-address", args=[nora.pk])

    answer = signed_in(ana).post(url, {"email": "DREW@home.example"}, headers=HTMX)

    nora.refresh_from_db()
    assert answer.status_code == 422
    assert "already has an account" in answer.context["page"].account.form.errors["email"][0]
    assert nora.user is None


def test_the_address_of_no_account_cannot_change(nora):
    with pytest.raises(AccountError, match="has no account yet"):
        change_client_address(client=nora, email="nora@home.example")


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_link_is_shown_once_with_a_code_to_scan(ana, cleo, headers):
    browser, url = signed_in(ana), reverse("clients:make-link", args=[cleo.pk])

    answer = browser.post(url, headers=headers)

    address = answer.context["page"].account.link.address
    token = address.rstrip("/").rpartition("/")[2]
    assert user_of_link(token) == cleo.user
    assert answer.text.count(address) == 1
    assert '<svg viewBox="' in answer.text
    assert "style=" not in answer.text
    assert "no-store" in answer.headers["Cache-Control"]
    assert token not in browser.get(reverse("clients:intake", args=[cleo.pk])).text


def test_a_new_link_replaces_the_old_one(ana, cleo):
    old = make_sign_in_link(user=cleo.user)

    signed_in(ana).post(reverse("clients:make-link", args=[cleo.pk]))

    assert user_of_link(old) is None


def test_without_an_account_there_is_no_link(ana, nora):
    answer = signed_in(ana).post(reverse("clients:make-link", args=[nora.pk]), headers=HTMX)

    assert answer.status_code == 422
    assert "has no open account" in answer.text


def test_the_state_of_the_account_follows_the_client(ana, cleo):
    browser, url = signed_in(ana), reverse("clients:intake", args=[cleo.pk])

    def state():
        return browser.get(url).context["page"].account.state

    assert state() == "needs a link"
    token = make_sign_in_link(user=cleo.user)
    assert state() == "link not used yet"
    Browser().post(f"/link/{token}/")
    assert state() == "has signed in"


def test_who_left_is_signed_out_and_can_come_back(ana, cleo):
    token = make_sign_in_link(user=cleo.user)
    phone, coach = signed_in(cleo.user), signed_in(ana)

    coach.post(reverse("clients:archive-client", args=[cleo.pk]))
    cleo.refresh_from_db()
    assert cleo.archived_at is not None
    assert user_of_link(token) is None
    assert phone.get("/").headers["Location"] == "/sign-in/"
    assert coach.post(reverse("clients:make-link", args=[cleo.pk])).status_code == 422

    coach.post(reverse("clients:restore-client", args=[cleo.pk]))
    cleo.refresh_from_db()
    assert cleo.archived_at is None
    assert user_of_link(make_sign_in_link(user=cleo.user)) == cleo.user


def test_leaving_by_htmx_leads_to_the_page(ana, nora):
    answer = signed_in(ana).post(reverse("clients:archive-client", args=[nora.pk]), headers=HTMX)

    assert answer.headers["HX-Redirect"] == f"/clients/{nora.pk}/intake/"
