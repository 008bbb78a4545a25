"""What a planned week does, composed from the rules; sums worked out by hand beside each check."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from coaching.blocks.effects import (
    edit_sentence,
    volume_sentences,
    week_effects,
)
from coaching.rules.plan import (
    Level,
    Muscle,
    Pair,
    Part,
    Pattern,
    PlannedSession,
    PlannedWeek,
    Prescription,
    Tempo,
    WeekKind,
)
from tests.rules.examples import make_exercise, make_pull_up

MONDAY = date(2026, 3, 9)
PUSH = make_exercise()
PULL = make_pull_up()


def asks(exercise, key, targets, rest=120):
    return Prescription(key, exercise, targets, 0.0, Tempo(3, 0, 1, 0), rest, Part.PRIMARY, 2)


def session(name, offset, push_sets=5, pull_sets=5):
    lines = (asks(PUSH, f"{name}1", (6,) * push_sets), asks(PULL, f"{name}2", (6,) * pull_sets))
    pair = Pair("A", Part.PRIMARY, lines)
    return PlannedSession(name, name, MONDAY + timedelta(days=offset), (pair,))


def week(*sessions, kind=WeekKind.BUILD):
    return PlannedWeek(2, kind, MONDAY, sessions or (session("Monday", 0), session("Thursday", 3)))


def effects(value, **more):
    options = {"level": Level.INTERMEDIATE, "minutes_budget": 45, **more}
    return week_effects(value, **options)


def test_sets_and_repetitions_of_the_week_are_added_up():
    found = effects(week())

    # Two sessions of 5 + 5 sets of 6.
    assert (found.working_sets, found.reps) == (20, 120)
    planned = {line.muscle: line.planned for line in found.lines}
    assert planned[Muscle.CHEST] == 10
    assert planned[Muscle.TRICEPS] == 5


def test_minutes_are_held_against_the_clients_time():
    wide, narrow = effects(week(), minutes_budget=90), effects(week(), minutes_budget=20)

    assert all(one.fits for one in wide.sessions)
    assert not any(one.fits for one in narrow.sessions)


def test_a_light_week_is_not_judged_for_volume():
    leaning = session("Monday", 0, push_sets=3, pull_sets=1)

    found = effects(week(leaning, kind=WeekKind.DELOAD))

    assert volume_sentences(found) == []


def test_a_muscle_outside_its_range_is_said_with_both_numbers():
    sentences = volume_sentences(effects(week()))

    assert "Triceps: 5 sets, the range is 10 to 20." in sentences
    assert not any(sentence.startswith("Chest") for sentence in sentences)


@pytest.mark.parametrize(
    ("after", "words"),
    [
        ({"push_sets": 6}, ["Chest +1", "triceps +0.5 sets", "week +6 reps", "Monday +2 min"]),
        ({"pull_sets": 4}, ["lats −1", "week −6 reps", "Monday −2 min"]),
        ({}, ["No sets, reps or minutes change."]),
    ],
)
def test_an_edit_is_said_in_sets_repetitions_and_minutes(after, words):
    # A set of 6 at 4 s a repetition and 120 s rest takes 144 s: 2.4 min, told by whole minutes.
    thursday = session("Thursday", 3)
    before = effects(week(session("Monday", 0), thursday))

    sentence = edit_sentence(before, effects(week(session("Monday", 0, **after), thursday)))

    assert all(word in sentence for word in words), sentence


@pytest.mark.parametrize(("sets", "words"), [(6, "+1 set,"), (4, "−1 set,"), (7, "+2 sets,")])
def test_one_set_of_one_muscle_is_a_set(sets, words):
    calf = make_exercise("calf", Pattern.LEGS, muscles={Muscle.CALVES: 1.0})

    def with_sets(count):
        pair = Pair("A", Part.PRIMARY, (asks(calf, "calf", (1,) * count),))
        return effects(week(PlannedSession("s", "Lower", MONDAY, (pair,))))

    sentence = edit_sentence(with_sets(5), with_sets(sets))

    assert sentence.startswith(f"Calves {words} week ")
    assert ("rep," in sentence) == (abs(sets - 5) == 1)


def test_prehab_does_not_lean_the_week():
    care = make_exercise("band-pull-apart", Pattern.PREHAB)
    line = replace(asks(care, "c", (8,) * 4), part=Part.PREHAB)
    monday = session("Monday", 0)
    with_care = replace(monday, pairs=(*monday.pairs, Pair("B", Part.PREHAB, (line,))))

    balance = effects(week(with_care)).balance

    assert (balance.push_sets, balance.pull_sets) == (5, 5)
