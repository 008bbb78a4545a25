"""Whose body the loads are computed from, and who gets no answer."""

from datetime import date

import pytest

from coaching.library.client_body import FittedExercises, bodies_of, body_of, body_with
from coaching.rules.body import Body, Sex
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import Posture
from tests.factories.clients import ClientFactory
from tests.rules.examples import make_exercise

DAY = date(2026, 11, 25)


def client(**told):
    usual = {"stature_cm": 176, "sex": "female", "born_in": 1990}
    return ClientFactory.build(pk=1, name="Cleo Brandt", **(usual | told))


def reason(**told):
    found = body_with(client(**told), 70, DAY)
    assert isinstance(found, NoAnswer)
    return found.reason


def test_a_body_is_stature_weight_and_sex():
    assert body_with(client(), 70, DAY) == Body(70, 1.76, Sex.FEMALE)


def test_what_is_missing_is_named_with_the_remedy():
    assert "no stature yet: add it at intake" in reason(stature_cm=None)
    found = body_with(client(stature_cm=None), None, DAY)
    assert isinstance(found, NoAnswer)
    assert "no stature and no body weight" in found.reason


@pytest.mark.parametrize(
    ("told", "word"),
    [
        ({"born_in": 2009}, "of age"),
        ({"born_in": 2008}, "of age"),
        ({"born_in": None, "screening_answers": {"minor": True}}, "of age"),
        ({"screening_answers": {"pregnancy": True}}, "pregnant"),
        ({"stature_cm": 150}, "lean-to-normal"),
    ],
)
def test_the_tables_do_not_stand_for_everybody(told, word):
    assert word in reason(**told)


def test_who_turns_eighteen_this_year_is_asked():
    told = client(born_in=2008, screening_answers={"minor": False})

    assert isinstance(body_with(told, 70, DAY), Body)


def test_two_clients_get_shares_of_their_own_and_an_unknown_one_the_usual():
    tall, small, unknown = client(stature_cm=190), client(stature_cm=158), client(stature_cm=None)
    small.pk, unknown.pk = 2, 3
    bodies = bodies_of([tall, small, unknown], {1: 80, 2: 58, 3: 70}, DAY)
    incline = make_exercise(body_share=0.52, posture=Posture.PUSH_UP, hands_cm=60)

    fitted = FittedExercises({9: incline}, bodies)

    assert fitted.of(1, 9).body_share > fitted.of(2, 9).body_share
    assert fitted.of(3, 9) is incline
    assert fitted.of(1, 9) is fitted.of(1, 9)


@pytest.mark.django_db
def test_the_weight_of_the_day_counts(cleo):
    cleo.stature_cm = 170
    cleo.body_weights.create(on=date(2026, 1, 1), kg=60)
    cleo.body_weights.create(on=date(2026, 6, 1), kg=66)

    found = body_of(cleo, date(2026, 3, 1))

    assert isinstance(found, Body)
    assert found.mass_kg == 60
