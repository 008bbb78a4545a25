"""Wordings to use again: ours at first, then the coach's own, in the coach's order."""

from uuid import uuid4

import pytest
from django.urls import reverse

from sessions.models import WordTemplate
from sessions.review_forms import NotesForm
from sessions.word_forms import WordForm
from sessions.word_templates import STARTING, open_placeholder, templates_of
from tests.conftest import signed_in


def names(coach):
    return [one.name for one in templates_of(coach)]


def act(coach, what, uid=None, **data):
    url = reverse(f"sessions:{what}-word-template", args=[uid] if uid else [])
    return signed_in(coach).post(url, data)


def uid_of(coach, name):
    return next(one.uid for one in templates_of(coach) if one.name == name)


OURS = [name for name, _ in STARTING]


def test_five_of_ours_are_there_before_anything_was_written(ana, ben):
    page = signed_in(ana).get(reverse("sessions:word-templates"))

    assert (len(OURS), names(ana), page.status_code) == (5, OURS, 200)
    assert all(name in page.content.decode() for name in OURS)
    assert not WordTemplate.objects.exists()
    assert {one.uid for one in templates_of(ana)} & {one.uid for one in templates_of(ben)} == set()


def test_a_new_one_stands_last_and_ours_stay(ana, ben):
    act(ana, "add", name=" Travel ", text=" {name}, take the bands along. ")

    assert names(ana) == [*OURS, "Travel"]
    assert templates_of(ana)[-1].text == "{name}, take the bands along."
    assert names(ben) == OURS


def test_one_of_ours_is_changed_for_this_coach_alone(ana, ben):
    act(ana, "change", uid_of(ana, OURS[1]), name="Hold", text="Once more.")

    assert names(ana) == [OURS[0], "Hold", *OURS[2:]]
    assert names(ben) == OURS


def test_removed_it_waits_to_be_put_back_in_its_place(ana):
    uid = uid_of(ana, OURS[2])

    act(ana, "remove", uid)
    assert names(ana) == [*OURS[:2], *OURS[3:]]
    page = signed_in(ana).get(reverse("sessions:word-templates"))
    assert [one.name for one in page.context["removed"]] == [OURS[2]]
    act(ana, "remove", uid, put_back="1")

    assert names(ana) == OURS


def test_all_may_be_removed(ana):
    for name in OURS:
        act(ana, "remove", uid_of(ana, name))

    page = signed_in(ana).get(reverse("sessions:word-templates"))
    assert (names(ana), "No template is left" in page.content.decode()) == ([], True)


@pytest.mark.parametrize(
    ("at", "way", "order"),
    [
        (1, "up", [1, 0, 2, 3, 4]),
        (1, "down", [0, 2, 1, 3, 4]),
        (0, "up", [0, 1, 2, 3, 4]),
        (4, "down", [0, 1, 2, 3, 4]),
    ],
)
def test_one_place_up_or_down(ana, at, way, order):
    act(ana, "move", uid_of(ana, OURS[at]), **{way: "1"})

    assert names(ana) == [OURS[n] for n in order]


def test_moving_steps_over_what_was_removed(ana):
    act(ana, "remove", uid_of(ana, OURS[1]))

    act(ana, "move", uid_of(ana, OURS[2]), up="1")

    assert names(ana) == [OURS[2], OURS[0], *OURS[3:]]


@pytest.mark.parametrize("what", ["change", "remove", "move"])
def test_nobody_touches_the_templates_of_somebody_else(ana, ben, what):
    act(ana, "add", name="Travel", text="Bands.")
    uid = uid_of(ana, "Travel")

    assert act(ben, what, uid, name="x", text="y").status_code == 404
    assert act(ana, what, uuid4(), name="x", text="y").status_code == 404
    assert names(ana)[-1] == "Travel"


def test_what_is_refused_stays_in_its_field_with_the_reason(ana):
    new = act(ana, "add", name="x" * 61, text="")
    old = act(ana, "change", uid_of(ana, OURS[0]), name="", text="Mine.")

    assert (new.status_code, old.status_code) == (422, 422)
    assert "x" * 61 in new.content.decode()
    assert "Mine." in old.content.decode()
    assert not WordTemplate.objects.exists()


def test_a_placeholder_that_nobody_filled_in_is_not_sent():
    note = NotesForm({"note_to_client": "Next time: {target}.", "private_note": "{target}"})
    word = WordForm({"word-text": "Hello {name}"})
    fine = NotesForm({"note_to_client": "Next time: 8-8-7. {smile}"})

    told = "Write something in the place of {target} first."
    assert note.errors == {"note_to_client": [told]}
    assert word.errors == {"text": ["Write something in the place of {name} first."]}
    assert fine.is_valid()


def test_ours_hold_no_other_placeholders_than_those_that_are_filled():
    for _, text in STARTING:
        left = text
        while found := open_placeholder(left):
            left = left.replace(found, "")
        assert "{" not in left
