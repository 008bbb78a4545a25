"""A coach's own exercises: changed, retired, brought back, and whose they are."""

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from coaching.blocks.models import Prescription
from coaching.library.errors import OwnExerciseError
from coaching.library.models import Exercise, MovementGoal
from coaching.library.own_exercise_queries import coming_of, is_used
from coaching.library.own_exercise_services import add_own_exercise, bring_back, change_own_exercise
from coaching.library.queries import exercises_by_key
from coaching.library.services import load_shared_library, retire
from tests.coaching.own_exercises import post, prescribe, to_mend
from tests.conftest import signed_in
from tests.factories.library import own_exercise, read, typed

pytestmark = pytest.mark.django_db


def test_an_edit_keeps_the_address_and_writes_the_rest_anew(ana):
    row = own_exercise(ana)
    changes = {"name": "Elbow push-up", "muscles__chest": "", "joint_stresses": ["grip"]}

    answer = post(ana, "library:edit-exercise", row.key, data=typed(**changes))

    after = Exercise.objects.get(pk=row.pk)
    assert answer.status_code == 302
    assert (after.key, after.name, after.joint_stresses) == (row.key, "Elbow push-up", ["grip"])
    assert [share.muscle for share in after.muscle_shares.all()] == ["triceps"]


@pytest.mark.parametrize(
    "change",
    [
        {"measure": "seconds", "tempo": "0-1-0-0"},
        {"pattern": "core", "plane": "none"},
        {"load_kind": "added"},
    ],
)
def test_what_gives_logged_numbers_their_meaning_stays_once_it_is_prescribed(ana, cleo, change):
    row = own_exercise(ana)
    prescribe(ana, cleo, row)

    answer = post(ana, "library:edit-exercise", row.key, data=typed(**change, name="Other"))

    assert answer.status_code == 422
    assert "copy the exercise" in to_mend(answer)[next(iter(change))]
    assert Exercise.objects.get(pk=row.pk).name == row.name


def test_a_used_exercise_can_still_be_named_and_cued_anew(ana, cleo):
    row = own_exercise(ana)
    prescribe(ana, cleo, row)

    answer = post(ana, "library:edit-exercise", row.key, data=typed(name="Tiger bend"))

    assert answer.status_code == 302
    assert Exercise.objects.get(pk=row.pk).name == "Tiger bend"


def test_a_goal_holds_on_to_an_exercise_too(ana, cleo):
    row = own_exercise(ana)
    assert not is_used(row)

    MovementGoal.objects.create(client=cleo, exercise=row, reps=3)

    assert is_used(row)


def test_the_service_refuses_what_the_form_could_not_know(ana):
    row = own_exercise(ana)
    values = read(ana, name="Other").values()
    values["name"] = "tiger BEND push-up"

    with pytest.raises(OwnExerciseError, match="Your “Tiger bend push-up” has this name"):
        add_own_exercise(coach=ana, values=values)
    with pytest.raises(OwnExerciseError, match="stays as it is"):
        change_own_exercise(exercise=Exercise.objects.get(key="dip"), values=values)
    assert list(Exercise.objects.filter(coach=ana)) == [row]


# --- Retiring and bringing back ---


def test_retiring_says_who_keeps_it_and_bring_back_undoes_it(ana, cleo):
    row = own_exercise(ana)
    prescribe(ana, cleo, row)
    coming = coming_of(row)

    answer = post(ana, "library:retire-exercise", row.key)

    said = str(next(iter(get_messages(answer.wsgi_request))))
    assert f"{coming.prescriptions} coming prescription" in said
    assert "of 1 client" in said
    assert row.key not in exercises_by_key(ana)
    assert Prescription.objects.filter(exercise=row).count() == coming.prescriptions > 0
    post(ana, "library:bring-back-exercise", row.key)
    assert row.key in exercises_by_key(ana)


def test_retired_ones_are_listed_to_be_brought_back(ana, ben):
    row = own_exercise(ana)
    retire(exercise=row)

    page = signed_in(ana).get(reverse("library:exercises"))

    assert reverse("library:bring-back-exercise", args=[row.key]) in page.content.decode()
    other = signed_in(ben).get(reverse("library:exercises")).content.decode()
    assert "Show retired" not in other


def test_a_retired_name_may_be_used_again_and_then_bars_the_way_back(ana):
    old = own_exercise(ana)
    retire(exercise=old)
    own_exercise(ana)

    with pytest.raises(OwnExerciseError, match="Edit the name, then bring it back"):
        bring_back(exercise=old)

    assert Exercise.objects.get(pk=old.pk).retired_at is not None


def test_the_shared_library_can_be_loaded_anew_without_touching_own_ones(ana):
    row = own_exercise(ana, ladder="push-up", rung="5")

    load_shared_library()

    assert Exercise.objects.get(pk=row.pk).rung == 5


# --- Whose it is ---


@pytest.mark.parametrize("act", ["edit", "retire", "bring-back"])
def test_shared_exercises_and_those_of_another_coach_cannot_be_changed(ana, ben, act):
    row = own_exercise(ana)

    assert post(ben, f"library:{act}-exercise", row.key).status_code == 404
    assert post(ana, f"library:{act}-exercise", "dip").status_code == 404
    assert Exercise.objects.get(pk=row.pk).retired_at is None


def test_another_coach_neither_sees_nor_copies_it_and_may_use_its_name(ana, ben):
    row = own_exercise(ana)

    for name in ("library:exercise", "library:copy-exercise"):
        assert signed_in(ben).get(reverse(name, args=[row.key])).status_code == 404
    assert own_exercise(ben).key == row.key


def test_a_shared_exercise_offers_a_copy_alone(ana):
    page = signed_in(ana).get(reverse("library:exercise", args=["dip"])).content.decode()

    assert reverse("library:copy-exercise", args=["dip"]) in page
    for act in ("edit", "retire"):
        assert reverse(f"library:{act}-exercise", args=["dip"]) not in page
