"""A coach chooses how watchful the tool is, as a budget of false alarms."""

import re

import pytest
from django.db import IntegrityError
from django.utils.text import capfirst

from clients.account_services import choose_watchfulness
from clients.errors import AccountError
from clients.models import User
from coaching.rules.watchfulness import choices
from tests.clients.conftest import HTMX
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

SAVE = "/settings/save/"


def chosen(answer) -> list[str]:
    return re.findall(r'type="radio"[^>]*value="([^"]+)"[^>]*\bchecked\b', answer.text)


def test_a_new_coach_puts_up_with_one_false_alarm_a_year(ana):
    answer = signed_in(ana).get("/settings/")

    assert chosen(answer) == ["1"]


def test_each_budget_shows_the_shares_of_falls_it_finds(ana):
    shown = signed_in(ana).get("/settings/").context["page"].choices

    assert [(one.value, one.within_7, one.within_14) for one in shown] == [
        (f"{one.budget:g}", f"{100 * one.within_7:.0f} %", f"{100 * one.within_14:.0f} %")
        for one in choices()
    ]


@pytest.mark.parametrize("one", choices(), ids=lambda one: f"{one.budget:g}")
def test_a_coach_chooses_any_of_the_budgets(ana, one):
    browser = signed_in(ana)

    answer = browser.post(SAVE, {"false_alarms_a_year": f"{one.budget:g}"}, follow=True)

    ana.refresh_from_db()
    assert answer.redirect_chain == [("/settings/", 302)]
    assert ana.false_alarms_a_year == one.budget
    assert chosen(answer) == [f"{one.budget:g}"]
    assert f"Saved. {capfirst(one.words)}," in answer.text


def test_htmx_gets_the_part_with_the_message(ana):
    answer = signed_in(ana).post(SAVE, {"false_alarms_a_year": "0.25"}, headers=HTMX)

    assert answer.text.lstrip().startswith('<section class="card" id="settings-watchfulness"')
    assert chosen(answer) == ["0.25"]
    assert "Saved. Few" in answer.text


@pytest.mark.parametrize("said", ["", "3", "-1", "nan", "1e9", "many"])
def test_what_is_no_choice_is_refused_and_changes_nothing(ana, said):
    answer = signed_in(ana).post(SAVE, {"false_alarms_a_year": said}, headers=HTMX)

    ana.refresh_from_db()
    assert answer.status_code == 422
    assert 'id="id_false_alarms_a_year_error"' in answer.text
    assert ana.false_alarms_a_year == 1
    assert chosen(answer) == ["1"]


def test_the_service_and_the_database_refuse_it_too(ana):
    with pytest.raises(AccountError, match="3 a year is no choice"):
        choose_watchfulness(coach=ana, false_alarms_a_year=3)
    with pytest.raises(IntegrityError):
        User.objects.filter(pk=ana.pk).update(false_alarms_a_year=3)


def test_a_choice_is_the_coachs_own(ana, ben):
    choose_watchfulness(coach=ana, false_alarms_a_year=4)

    assert chosen(signed_in(ben).get("/settings/")) == ["1"]


def test_the_menu_leads_a_coach_there_and_no_client(ana, cleo):
    for_coach = signed_in(ana).get("/guide/").text
    for_client = signed_in(cleo.user).get("/today/").text

    assert 'href="/settings/"' in for_coach
    assert "/settings/" not in for_client


def test_a_client_has_no_such_page(cleo):
    browser = signed_in(cleo.user)

    assert browser.get("/settings/").status_code == 404
    assert browser.post(SAVE, {"false_alarms_a_year": "4"}).status_code == 404
    cleo.user.refresh_from_db()
    assert cleo.user.false_alarms_a_year == 1
