"""The library's search."""

import pytest
from django.urls import reverse

from coaching.library.models import Exercise
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def found(user, **wanted):
    page = signed_in(user).get(reverse("library:exercises"), wanted).context["page"]
    return page, page.rows


def own_exercise(coach) -> Exercise:
    row = Exercise.objects.get(key="push-up")
    row.pk, row.coach, row.key, row.name = None, coach, "own-press", "Own special press"
    row.ladder, row.rung = None, None
    row.save()
    return row


def test_all_exercises_are_shown_without_conditions(ana):
    page, rows = found(ana)

    assert page.found == page.total == len(rows) >= 120


def test_a_name_is_found_without_hyphen_and_capitals(ana):
    _, rows = found(ana, words="PUSH up one ARM")

    assert "one-arm-push-up" in {row.key for row in rows}


def test_conditions_combine(ana):
    _, rows = found(ana, pattern="pull", plane="vertical", equipment=["rings"], muscle="lats")

    assert rows
    assert {row.side for row in rows} == {"pull"}
    assert {row.equipment for row in rows} <= {"rings", "no equipment"}
    assert all("lats" in row.direct for row in rows)


def test_what_loads_a_joint_is_left_out(ana):
    stress = "wrist bent back under load"
    _, rows = found(ana, avoids=stress)

    loaded = {e.key for e in Exercise.objects.all() if stress in e.joint_stresses}
    assert loaded
    assert not loaded & {row.key for row in rows}


def test_a_level_shows_what_is_offered_up_to_it(ana):
    _, rows = found(ana, level="beginner")

    assert {row.level for row in rows} == {"absolute beginner", "beginner"}


def test_a_search_without_result_says_how_to_widen_it(ana):
    page, rows = found(ana, words="dip", muscle="calves")

    assert rows == ()
    assert {way.without for way in page.wider} == {
        "the words “dip”",
        "calves as a direct muscle",
    }
    assert all(way.count > 0 for way in page.wider)


def test_a_coachs_own_exercise_is_not_shown_to_another(ana, ben):
    own_exercise(ana)

    assert "own-press" in {row.key for row in found(ana)[1]}
    assert "own-press" not in {row.key for row in found(ben)[1]}


def test_htmx_gets_the_list_alone(ana):
    url = reverse("library:exercises")

    answer = signed_in(ana).get(url, {"words": "dip"}, HTTP_HX_REQUEST="true")

    assert answer.content.decode().lstrip().startswith('<div id="exercises-found"')


def test_the_list_takes_few_queries(ana, django_assert_max_num_queries):
    browser = signed_in(ana)

    with django_assert_max_num_queries(5):
        browser.get(reverse("library:exercises"))
