"""A coach's own exercises: added, checked, copied."""

import pytest
from django.urls import reverse

from coaching.library.models import Exercise
from coaching.library.own_exercise_checks import usual_share
from coaching.library.own_exercise_queries import surroundings_of
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.library.services import retire
from coaching.rules.bodyweight_scales import Setting
from coaching.rules.plan import Posture
from tests.coaching.own_exercises import ADD, post, refused, to_mend
from tests.conftest import signed_in
from tests.factories.library import own_exercise, typed

pytestmark = pytest.mark.django_db


# --- Adding ---


def test_what_was_typed_is_what_the_rules_read(ana):
    answer = post(ana, ADD, data=typed(posture="push-up on the toes", feet_cm="30"))

    row = Exercise.objects.get(coach=ana)
    assert answer.headers["Location"] == reverse("library:exercise", args=[row.key])
    value = exercise_value(row)
    assert (value.name, value.body_share, value.feet_cm) == ("Tiger bend push-up", 0.7, 30)
    assert {(share.muscle, share.share) for share in value.muscles} == {
        ("triceps", 1.0),
        ("chest", 0.5),
    }
    assert row.cues == ["Lower the elbows to the floor.", "Press back up in one piece."]


def test_an_own_exercise_is_found_in_the_library_and_marked(ana):
    row = own_exercise(ana)

    page = signed_in(ana).get(reverse("library:exercises"), {"words": "tiger"}).context["page"]

    assert [(one.key, one.is_own) for one in page.rows] == [(row.key, True)]
    assert row.key in exercises_by_key(ana)


def test_an_own_exercise_never_hides_a_shared_one_of_later(ana):
    row = own_exercise(ana, name="Élan vital ×2")

    assert row.key == "own-elan-vital-2"
    assert not Exercise.objects.filter(coach=None, key__startswith="own-").exists()


@pytest.mark.parametrize("name", ["Жим", "俯卧撑"])
def test_a_name_in_any_script_gets_an_address(ana, name):
    row = own_exercise(ana, name=name)
    retire(exercise=row)

    again = own_exercise(ana, name=name)

    assert (row.key, again.key) == ("own", "own-2")
    assert signed_in(ana).get(reverse("library:exercise", args=[again.key])).status_code == 200


def test_an_empty_form_names_everything_that_is_missing(ana):
    answer = post(ana, ADD)

    asked = {"name", "pattern", "multi_joint", "plane", "chain", "laterality", "level"}
    more = {"complexity", "measure", "tempo", "load_kind", "joint_actions", "joint_stresses"}
    assert asked | more <= to_mend(answer).keys()
    assert answer.context["page"].sections[0].faults == 8


def test_a_refused_form_keeps_everything_that_was_typed(ana):
    answer = post(ana, ADD, data=typed(plane="none", share_percent="a lot", hands_cm="x"))

    page = answer.content.decode()
    for kept in ("Tiger bend push-up", 'value="a lot"', "Press back up in one piece."):
        assert kept in page
    assert page.count(" checked") >= 12
    form = answer.context["page"].form
    assert form["muscles"].value()["triceps"] == "direct"
    assert form["joint_stresses"].value() == typed()["joint_stresses"]


def test_a_share_is_read_with_a_decimal_comma(ana):
    row = own_exercise(ana, share_percent="64,5")

    assert float(row.body_share) == pytest.approx(0.645)


def test_htmx_gets_the_refused_form_alone_and_moves_on_when_it_is_saved(ana):
    wrong = post(ana, ADD, data=typed(tempo="slow"), HTTP_HX_REQUEST="true")
    right = post(ana, ADD, data=typed(), HTTP_HX_REQUEST="true")

    assert wrong.status_code == 422
    assert wrong.content.decode().lstrip().startswith("<form")
    assert right.headers["HX-Redirect"] == reverse(
        "library:exercise", args=["own-tiger-bend-push-up"]
    )


# --- Checks ---


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"name": "  "}, "name", "Write one"),
        ({"name": "n" * 101}, "name", "Shorten it to 100"),
        ({"name": "PULL-UP"}, "name", "The shared “Pull-up” has this name"),
        ({"plane": "none"}, "plane", "Choose horizontal or vertical"),
        ({"multi_joint": "single"}, "plane", "Choose “no plane”"),
        ({"tempo": "quick"}, "tempo", "is not four counts"),
        ({"tempo": "0-1-0-0"}, "tempo", "count seconds"),
        ({"tempo": "30-20-30-0"}, "tempo", "60 s or less"),
        ({"measure": "seconds"}, "tempo", "Write 0-1-0-0"),
        ({"load_kind": "external"}, "share_percent", "the weight alone counts"),
        ({"load_kind": "added", "share_percent": "0"}, "share_percent", "more than 0"),
        ({"share_percent": ""}, "share_percent", "or choose a posture"),
        ({"share_percent": "101"}, "share_percent", "100 or less"),
        ({"share_percent": "NaN"}, "share_percent", "no number"),
        ({"posture": "inverted row"}, "posture", "does not go with the pattern “push”"),
        ({"feet_cm": "30"}, "feet_cm", "asks for no height"),
        ({"posture": "push-up on the toes", "hands_cm": "301"}, "hands_cm", "300 cm or less"),
        ({"posture": "push-up on the toes", "hands_cm": "250"}, "hands_cm", "other heights"),
        ({"muscles__triceps": ""}, "muscles", "at least one as direct"),
        ({"muscles__triceps": "much"}, "muscles", "Choose one of the three"),
        ({"joint_actions": []}, "joint_actions", "Tick what moves"),
        ({"joint_stresses": []}, "joint_stresses", "tick below that it asks nothing"),
        ({"asks_nothing": "on"}, "asks_nothing", "elbow in hard pressing"),
        ({"cues": "Press.\npress."}, "cues", "twice"),
        ({"cues": "c" * 161}, "cues", "Shorten it to 160"),
        ({"cues": "\n".join("abcdefghi")}, "cues", "9 lines"),
        ({"caution": "c" * 301}, "caution", "300"),
        ({"rung": "3"}, "rung", "needs a ladder"),
        ({"ladder": "push-up"}, "rung", "Which rung"),
        ({"ladder": "push-up", "rung": "30"}, "rung", "ladder ends at rung"),
        ({"ladder": "pull-up", "rung": "1"}, "ladder", "stands pull alone"),
    ],
)
def test_what_does_not_fit_is_named_with_its_field_and_remedy(ana, changes, field, says):
    found = refused(ana, **changes)

    assert says in found[field]
    assert found.keys() == {field}


def test_several_faults_are_all_shown_at_once(ana):
    found = refused(ana, name="Pull-up", plane="none", tempo="x", joint_stresses=[], rung="2")

    assert found.keys() == {"name", "plane", "tempo", "joint_stresses", "rung"}


def test_nothing_is_asked_of_the_joints_only_when_the_coach_says_so(ana):
    row = own_exercise(ana, joint_stresses=[], asks_nothing="on")

    assert row.joint_stresses == []


def test_prehab_may_do_without_a_direct_muscle_but_not_without_any(ana):
    prehab = {"pattern": "prehab", "plane": "none", "muscles__triceps": ""}
    found = refused(ana, **prehab, muscles__chest="")

    assert found.keys() == {"muscles"}
    assert own_exercise(ana, **prehab).pattern == "prehab"


def test_a_posture_brings_the_share_of_a_middle_body(ana):
    # Push-ups carry 0.670-0.746 of body weight (men): Mier et al. 2014, Int J Exerc Sci 7(2);
    # on the feet at 60 cm more, 0.74: Ebben et al. 2011, J Strength Cond Res 25(10).
    row = own_exercise(ana, share_percent="", posture="push-up on the toes")

    raised = usual_share(Posture.PUSH_UP, Setting(feet_cm=60))
    assert 0.64 <= float(row.body_share) <= 0.746
    assert float(row.body_share) < raised <= 0.80
    assert usual_share(Posture.FULL_LEVER, Setting()) == 1


def test_words_sent_twice_are_kept_once(ana):
    row = own_exercise(ana, joint_stresses=["grip", "grip"])

    assert row.joint_stresses == ["grip"]


def test_an_own_exercise_stands_beside_the_shared_one_of_its_rung(ana):
    row = own_exercise(ana, ladder="push-up", rung="5")

    page = signed_in(ana).get(reverse("library:exercise", args=[row.key])).context["page"]

    assert [rung.key for rung in page.rungs if rung.is_here] == [row.key]
    assert (page.easier.number, page.harder.number) == (4, 6)


# --- Copying ---


def test_a_copy_opens_in_the_form_and_writes_nothing(ana):
    answer = signed_in(ana).get(reverse("library:copy-exercise", args=["dip"]))

    shared = Exercise.objects.get(key="dip", coach=None)
    form = answer.context["page"].form
    assert form["name"].value() == f"{shared.name} (own)"
    assert form["joint_stresses"].value() == shared.joint_stresses
    assert not Exercise.objects.filter(coach=ana).exists()


@pytest.mark.parametrize("key", ["dip", "push-up", "l-sit", "barbell-curl", "towel-row"])
def test_a_copy_saved_as_it_opens_is_the_same_to_the_rules(ana, key):
    browser, url = signed_in(ana), reverse("library:copy-exercise", args=[key])
    shared = exercise_value(Exercise.objects.get(key=key, coach=None))

    answer = browser.post(url, as_sent(browser.get(url).context["page"].form, shared))

    copy = exercise_value(Exercise.objects.get(coach=ana))
    assert answer.status_code == 302
    for name in ("pattern", "plane", "chain", "multi_joint", "laterality", "body_share"):
        assert getattr(copy, name) == getattr(shared, name)
    for name in ("load_kind", "measure", "complexity", "posture", "ladder", "rung", "equipment"):
        assert getattr(copy, name) == getattr(shared, name)
    assert copy.prerequisites == shared.prerequisites
    assert set(copy.muscles) == set(shared.muscles)


def as_sent(form, shared) -> dict[str, object]:
    """What a browser would send of a form that nobody touched but for the joints."""
    sent = {name: form[name].value() for name in form.fields if name != "muscles"}
    sent["asks_nothing"] = "" if shared.joint_stresses else "on"
    shares = {one.muscle.replace(" ", "-"): one.is_direct for one in shared.muscles}
    sent |= {f"muscles-{m}": "direct" if direct else "indirect" for m, direct in shares.items()}
    return {name: value for name, value in sent.items() if value is not None}


def test_a_second_copy_gets_another_name(ana):
    first = own_exercise(ana, name="Parallel-bar dip (own)")

    url = reverse("library:copy-exercise", args=["dip"])
    form = signed_in(ana).get(url).context["page"].form

    assert form["name"].value() == "Parallel-bar dip (own 2)"
    assert first.name == "Parallel-bar dip (own)"


def test_the_form_takes_few_queries(ana, django_assert_max_num_queries):
    row, browser = own_exercise(ana), signed_in(ana)

    with django_assert_max_num_queries(12):
        browser.get(reverse("library:edit-exercise", args=[row.key]))
    with django_assert_max_num_queries(2):
        surroundings_of(ana)
