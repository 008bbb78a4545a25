"""The library's search."""

import pytest
from django.urls import reverse

from coaching.library.models import Exercise
from coaching.library.pages_search import says
from coaching.library.services import retire
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


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("triceps", "dip"),
        ("pullups", "pull-up"),
        ("handstand push", "wall-handstand-push-up"),
        ("front lever ladder", "tuck-front-lever"),
        ("pistol", "pistol-squat"),
        ("Pistols", "box-pistol-squat"),
        ("shrimp", "pistol-squat"),
        ("OHP", "barbell-overhead-press"),
    ],
)
def test_words_find_names_muscles_and_ladders(ana, words, key):
    _, rows = found(ana, words=words.removesuffix(" ladder"))

    assert key in {row.key for row in rows}


def test_what_is_called_so_comes_before_what_only_trains_it(ana):
    page, rows = found(ana, words="front lever")

    on_ladder = Exercise.objects.filter(coach=None, ladder__key="front-lever").count()
    first = [row.key for row in rows[:on_ladder]]
    assert all("lever" in key or key == "inverted-hang" for key in first)
    assert "tuck-back-lever" in {row.key for row in rows[on_ladder:]}
    assert [part.how for part in page.parts] == ["", "by what it trains"]


@pytest.mark.parametrize("text", ["Narrow grip", "Throw", "Arrow"])
def test_a_word_is_found_at_the_beginning_of_words_only(text):
    assert not says(text, "row")
    assert says("Élan row", "elan ROWS")


def test_who_owns_nothing_is_offered_what_needs_nothing(ana):
    _, rows = found(ana, equipment=["nothing"])

    without = Exercise.objects.filter(coach=None, retired_at=None)
    assert {row.key for row in rows} == {e.key for e in without if not e.equipment}


def test_pushes_and_pulls_of_a_plane_face_each_other_from_the_easiest_rung(ana):
    page, _ = found(ana)

    facing = page.parts[0].facing
    assert [plane.title for plane in facing] == ["Horizontal", "Vertical", "Single joint"]
    for plane in facing:
        assert [side.side for side in plane.sides] == ["push", "pull"]
    on_ladders = [g for p in facing for s in p.sides for g in s.groups if g.ladder]
    assert on_ladders
    for group in on_ladders:
        rungs = [row.rung for row in group.rows]
        assert rungs == sorted(rungs)


def test_a_condition_that_cannot_be_read_is_named_and_left_out(ana):
    answer = signed_in(ana).get(reverse("library:exercises"), {"pattern": "sideways"})

    page = answer.context["page"]
    assert page.found == page.total
    assert "sideways is not one of the available choices" in answer.content.decode()


def test_the_address_after_a_search_names_its_conditions_alone(ana):
    url = reverse("library:exercises")
    asked = {"words": "dip", "pattern": "", "avoids": ["grip", "neck"]}

    answer = signed_in(ana).get(url, asked, HTTP_HX_REQUEST="true")

    assert answer.headers["HX-Replace-Url"] == f"{url}?words=dip&avoids=grip&avoids=neck"
    assert "HX-Request" in answer.headers["Vary"]


def test_what_was_typed_is_shown_as_text(ana):
    answer = signed_in(ana).get(reverse("library:exercises"), {"words": "<b>dip"})

    assert "<b>dip" not in answer.content.decode()
    assert "&lt;b&gt;dip" in answer.content.decode()


def test_only_a_coach_opens_the_library(cleo, client):
    url = reverse("library:exercises")

    assert signed_in(cleo.user).get(url).status_code == 404
    assert "/sign-in/" in client.get(url).headers["Location"]


def test_a_retired_exercise_is_not_offered(ana):
    retire(exercise=Exercise.objects.get(key="dip", coach=None))

    assert "dip" not in {row.key for row in found(ana)[1]}


def test_a_client_who_was_chosen_is_handed_on(ana, cleo):
    asked = {"words": "dip", "client": cleo.pk, "beside": "x"}
    url = reverse("library:exercises")

    whole = signed_in(ana).get(url, asked)
    part = signed_in(ana).get(url, asked, headers={"HX-Request": "true"})

    exercise = reverse("library:exercise", args=["dip"])
    assert f'href="{exercise}?client={cleo.pk}"' in whole.content.decode()
    assert part.headers["HX-Replace-Url"] == f"{url}?words=dip&client={cleo.pk}"
