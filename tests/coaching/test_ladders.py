"""The page of ladders."""

import pytest
from django.urls import reverse

from coaching.library.models import Ladder
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


def test_the_ladders_take_few_queries(ana, django_assert_max_num_queries):
    browser = signed_in(ana)

    with django_assert_max_num_queries(5):
        browser.get(reverse("library:ladders"))
