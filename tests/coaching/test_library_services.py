"""Loading the shared library again, and retiring what is no longer offered."""

import pytest

from coaching.library.models import Exercise, Ladder, MuscleShare
from coaching.library.queries import (
    exercise_value,
    exercise_values,
    exercises_by_key,
    exercises_of,
    known_exercises,
)
from coaching.library.services import load_shared_library, retire
from coaching.library.shared_catalogue import read_ladders, read_shared_catalogue
from tests.coaching.test_exercises import own_exercise

pytestmark = pytest.mark.django_db


def shared():
    return Exercise.objects.filter(coach=None)


def test_loading_again_changes_nothing():
    before = {row.key: row.pk for row in shared()}
    shares = MuscleShare.objects.count()

    count = load_shared_library()

    assert count == len(before) == len(read_shared_catalogue())
    assert {row.key: row.pk for row in shared()} == before
    assert MuscleShare.objects.count() == shares
    assert Ladder.objects.count() == len(read_ladders())


def test_what_is_stored_is_what_the_catalogue_says(ana):
    stored = {row.key: exercise_value(row) for row in exercises_of(ana)}

    for one in read_shared_catalogue():
        written, read = one.exercise, stored[one.exercise.key]
        assert (read.name, read.pattern, read.plane) == (
            written.name,
            written.pattern,
            written.plane,
        )
        assert (read.ladder, read.rung) == (written.ladder, written.rung)
        assert set(read.muscles) == set(written.muscles)
        assert read.joint_stresses == written.joint_stresses


def test_an_exercise_that_left_the_catalogue_is_retired_and_keeps_its_name():
    Exercise.objects.filter(key="dip", coach=None).update(key="old-dip")

    load_shared_library()

    old = Exercise.objects.get(key="old-dip")
    assert old.retired_at is not None
    assert old.name
    assert shared().get(key="dip").retired_at is None


def test_loading_leaves_a_coachs_own_exercise_alone(ana):
    own = own_exercise(ana)

    load_shared_library()

    own.refresh_from_db()
    assert (own.name, own.retired_at, own.coach) == ("Own special press", None, ana)


def test_a_coachs_own_exercise_goes_before_a_shared_one_of_the_same_key(ana, ben):
    own = own_exercise(ana)
    Exercise.objects.filter(pk=own.pk).update(key="dip")

    assert exercises_by_key(ana)["dip"].pk == own.pk
    assert exercises_by_key(ben)["dip"].coach_id is None


def test_what_is_retired_is_offered_no_more(ana):
    row = shared().get(key="dip")

    retire(exercise=row)

    assert "dip" not in exercises_by_key(ana)
    assert Exercise.objects.filter(pk=row.pk).exists()


@pytest.mark.django_db
def test_exercises_read_in_one_query_are_those_read_in_two(django_assert_num_queries):
    rows = Exercise.objects.filter(coach=None)

    with django_assert_num_queries(1):
        known = known_exercises(rows)

    assert {pk: one.value for pk, one in known.items()} == exercise_values(known)
    assert {pk: one.tempo for pk, one in known.items()} == dict(rows.values_list("pk", "tempo"))
