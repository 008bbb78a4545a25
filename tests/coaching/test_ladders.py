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
