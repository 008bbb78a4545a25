"""The page of ladders."""

from datetime import date

import pytest
from django.urls import reverse

from clients.models import BodyWeight
from coaching.library.models import Ladder
from tests.coaching.test_exercises import own_exercise
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def test_every_ladder_is_shown_from_its_easiest_rung(ana):
    ladders = signed_in(ana).get(reverse("library:ladders")).context["page"].all

    assert {ladder.key for ladder in ladders} == set(Ladder.objects.values_list("key", flat=True))
    for ladder in ladders:
        assert [rung.number for rung in ladder.rungs] == list(range(1, len(ladder.rungs) + 1))


def test_pushing_and_pulling_ladders_stand_on_their_sides(ana):
    page = signed_in(ana).get(reverse("library:ladders")).context["page"]

    assert "push-up" in {ladder.key for ladder in page.push}
    assert "pull-up" in {ladder.key for ladder in page.pull}
    assert "squat" in {ladder.key for ladder in page.centre}


def test_a_chosen_clients_loads_stand_on_every_computed_rung(ana, cleo):
    cleo.sex, cleo.stature_cm = "female", 165
    cleo.save()
    BodyWeight.objects.create(client=cleo, on=date(2026, 1, 5), kg=60)

    answer = signed_in(ana).get(reverse("library:ladders"), {"client": cleo.pk})

    loads = {rung.key: rung.load for ladder in answer.context["page"].all for rung in ladder.rungs}
    assert loads["pull-up"] == "60 kg"
    assert loads["full-front-lever"].endswith(" N·m")
    assert loads["ring-push-up"] == ""


def test_a_coachs_own_rung_is_shown_as_theirs(ana, ben):
    own = own_exercise(ana)
    own.ladder, own.rung = Ladder.objects.get(key="push-up"), 10
    own.save()

    def rungs(coach):
        columns = signed_in(coach).get(reverse("library:ladders")).context["page"].all
        return {rung.key: rung.is_own for one in columns for rung in one.rungs}

    assert rungs(ana)["own-press"] is True
    assert "own-press" not in rungs(ben)


def test_each_ladder_leads_to_its_page(ana):
    answer = signed_in(ana).get(reverse("library:ladders"))

    for ladder in answer.context["page"].all:
        assert f'href="{reverse("library:ladder", args=[ladder.key])}"' in answer.content.decode()


def test_htmx_gets_the_ladders_alone(ana):
    answer = signed_in(ana).get(reverse("library:ladders"), HTTP_HX_REQUEST="true")

    assert answer.content.decode().lstrip().startswith('<div class="page ladders"')


def test_the_ladders_take_few_queries(ana, django_assert_max_num_queries):
    browser = signed_in(ana)

    with django_assert_max_num_queries(5):
        browser.get(reverse("library:ladders"))
