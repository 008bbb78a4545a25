"""One exercise, and the ladders."""

import pytest
from django.urls import reverse

from tests.coaching.test_exercises import own_exercise
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def page_of(user, key):
    return signed_in(user).get(reverse("library:exercise", args=[key]))


def test_an_exercise_shows_muscles_cues_and_its_place_on_the_ladder(ana):
    page = page_of(ana, "push-up").context["page"]

    assert [share.muscle for share in page.shares if share.is_direct] == ["chest"]
    assert [rung.number for rung in page.rungs] == list(range(1, len(page.rungs) + 1))
    assert [rung.key for rung in page.rungs if rung.is_here] == ["push-up"]
    assert len(page.exercise.cues) >= 2


def test_a_push_is_faced_by_pulls_of_its_plane(ana):
    rows = page_of(ana, "push-up").context["page"].counterparts

    assert rows
    assert {row.side for row in rows} == {"pull"}


def test_another_coachs_exercise_is_not_found(ana, ben):
    own_exercise(ana)

    assert page_of(ana, "own-press").status_code == 200
    assert page_of(ben, "own-press").status_code == 404


def test_a_client_has_no_library(cleo):
    assert page_of(cleo.user, "push-up").status_code == 404
