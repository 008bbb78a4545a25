"""One exercise: what it trains, how it is done, where it stands."""

import pytest
from django.urls import reverse

from coaching.library.facing import facing
from coaching.library.models import Exercise
from coaching.library.pages_exercise import tempo_in_words
from coaching.library.services import retire
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.balance import OPPOSED_ACTIONS
from coaching.rules.plan import Pattern
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


def test_the_rungs_beside_this_one_are_a_link_away(ana):
    answer = page_of(ana, "push-up")

    page = answer.context["page"]
    assert (page.easier.number, page.harder.number) == (4, 6)
    for rung in (page.easier, page.harder):
        assert reverse("library:exercise", args=[rung.key]) in answer.content.decode()


def test_the_first_rung_has_nothing_below_and_the_last_nothing_above(ana):
    rungs = page_of(ana, "push-up").context["page"].rungs

    assert page_of(ana, rungs[0].key).context["page"].easier is None
    assert page_of(ana, rungs[-1].key).context["page"].harder is None


def test_what_spares_a_joint_leads_to_exercises_of_its_kind_that_do(ana):
    stress = page_of(ana, "push-up").context["page"].stresses[0]
    rows = (
        signed_in(ana).get(reverse("library:exercises") + "?" + stress.query).context["page"].rows
    )

    assert rows
    assert {row.side for row in rows} == {"push"}
    assert "push-up" not in {row.key for row in rows}


@pytest.mark.parametrize(
    ("written", "words"),
    [
        # Eccentric, bottom, concentric, top: the trade's own order; common practice, no source.
        ("3-0-1-0", "lower 3 s, lift 1 s"),
        ("2-1-X-2", "lower 2 s, pause 1 s, lift as fast as possible, hold 2 s"),
    ],
)
def test_a_tempo_is_said_in_words(written, words):
    assert tempo_in_words(written, "reps") == words


@pytest.mark.parametrize("key", ["push-up", "pull-up", "band-external-rotation"])
def test_what_faces_an_exercise_is_faced_by_its_side_and_works_the_other_way(key):
    # Horizontal with horizontal, vertical with vertical, external with internal rotation:
    # common practice, no source.
    library = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    opposed = {*OPPOSED_ACTIONS, *((b, a) for a, b in OPPOSED_ACTIONS)}

    found = facing(library[key], library.values())

    assert found
    for other in found:
        assert other.plane is library[key].plane
        pairs = {(a, b) for a in library[key].joint_actions for b in other.joint_actions}
        assert pairs & opposed


def test_legs_and_core_are_faced_by_nothing():
    library = [one.exercise for one in read_shared_catalogue()]
    middle = [one for one in library if one.pattern in {Pattern.LEGS, Pattern.CORE}]

    assert [one.key for one in middle if facing(one, library)] == []


def test_the_same_faces_it_whatever_the_order_of_the_library():
    library = [one.exercise for one in read_shared_catalogue()]
    dip = next(one for one in library if one.key == "dip")

    assert facing(dip, library) == facing(dip, library[::-1])


def test_an_exercise_that_is_offered_no_more_says_so_and_stays_readable(ana):
    retire(exercise=Exercise.objects.get(key="dip", coach=None))

    assert "no longer offered" in page_of(ana, "dip").content.decode()


def test_the_coachs_own_exercise_stands_before_a_shared_one_of_the_same_key(ana):
    own = own_exercise(ana)
    own.key = "dip"
    own.save()

    assert page_of(ana, "dip").context["page"].exercise.pk == own.pk


def test_every_sort_of_exercise_has_a_page(ana, django_assert_max_num_queries):
    browser = signed_in(ana)
    sorts = {(e.pattern, e.plane, e.load_kind, e.measure): e.key for e in Exercise.objects.all()}

    for key in sorts.values():
        with django_assert_max_num_queries(8):
            answer = browser.get(reverse("library:exercise", args=[key]))
        assert answer.status_code == 200
