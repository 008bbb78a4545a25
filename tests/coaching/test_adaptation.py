"""A template made to fit one client: what is swapped, what is left out, and the reason."""

from dataclasses import replace
from datetime import date

import pytest

from coaching.blocks.adaptation import adapted, swap_reason
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    read_shared_templates,
)
from coaching.blocks.template_values import weeks_from_template
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.balance import planned_week_balance
from coaching.rules.joint_limits import JointLimit, LimitAction, blocked_by
from coaching.rules.loads import EquipmentItem, can_do
from coaching.rules.plan import (
    EquipmentKind,
    JointStress,
    Level,
    LoadKind,
    Measure,
    Muscle,
    Part,
    Pattern,
    WeekKind,
)
from coaching.rules.session_clock import fits, session_minutes
from coaching.rules.session_order import findings_for
from tests.rules.examples import make_exercise, make_pull_up

OVERHEAD = JointStress.SHOULDER_OVERHEAD
FLOOR = make_exercise("push-up", ladder="push-up", rung=3)
KNEES = make_exercise("kneeling-push-up", ladder="push-up", rung=2)
DIP = make_exercise("dip", ladder="", equipment=[EquipmentKind.DIP_BARS])
HOLD = make_exercise("push-up-hold", measure=Measure.SECONDS, load_kind=LoadKind.NONE)
FLY = make_exercise("fly", multi_joint=False)
ARCHER = make_exercise("archer", ladder="push-up", rung=4, joint_stresses=[OVERHEAD])
SQUAT = make_exercise("squat", muscles={Muscle.QUADRICEPS: 1.0})


def template(*exercises, targets=(6, 6, 6), load=0.0):
    lines = tuple(TemplateLine(e.key, targets, load, "3-0-1-0", 90, 2) for e in exercises)
    pairs = tuple(
        TemplatePair(letter, Part.PRIMARY, (line,))
        for letter, line in zip("ABCD", lines, strict=False)
    )
    return TemplatePlan((WeekKind.BUILD,), (TemplateSession("Monday", 0, pairs),))


def fit(plan, candidates, **means):
    library = {one.key: one for one in (FLOOR, KNEES, DIP, HOLD, FLY, SQUAT, ARCHER, *candidates)}
    return adapted(plan, library, ClientMeans(candidates, **means))


def keys(adaptation):
    return [
        line.exercise_key
        for session in adaptation.plan.sessions
        for pair in session.pairs
        for line in pair.lines
    ]


def test_what_a_client_can_do_stays_as_it_is():
    found = fit(template(FLOOR), [KNEES, FLY])

    assert found.plan == template(FLOOR)
    assert found.changes == ()


def test_missing_equipment_is_named_and_the_exercise_replaced():
    found = fit(template(DIP), [FLOOR, DIP])

    assert keys(found) == ["push-up"]
    assert found.changes[0].sentence == "Push up instead of Dip: needs dip bars."


def test_an_easier_rung_comes_before_anything_else():
    limit = JointLimit(OVERHEAD, LimitAction.AVOID)

    found = fit(template(ARCHER), [FLY, DIP, KNEES, FLOOR, ARCHER], limits=[limit])

    assert keys(found) == ["push-up"]
    assert "shoulder overhead, which is avoided" in found.changes[0].why


def test_compound_work_is_not_replaced_by_single_joint_work_when_there_is_a_choice():
    found = fit(template(DIP), [FLY, FLOOR])

    assert keys(found) == ["push-up"]


def test_what_trains_another_main_mover_is_no_replacement():
    found = fit(template(DIP), [SQUAT])

    assert found.left_out == 1
    assert found.plan.sessions == ()
    assert "is left out: needs dip bars" in found.changes[0].sentence


def test_where_nothing_trains_the_main_mover_a_row_stands_in_for_a_pull_up():
    pull = make_pull_up()
    row = make_exercise("row", Pattern.PULL, muscles={Muscle.UPPER_BACK: 1.0, Muscle.LATS: 0.5})
    curl = make_exercise("curl", Pattern.PULL, muscles={Muscle.BICEPS: 1.0}, multi_joint=False)
    library = {one.key: one for one in (pull, row, curl)}

    found = adapted(template(pull), library, ClientMeans([curl, row]))

    assert keys(found) == ["row"]
    assert found.changes[0].sentence == "Row instead of Pull up: needs pull-up bar."


def test_what_the_session_has_already_is_taken_last():
    other = make_exercise("ring-push-up", complexity=4)

    found = fit(template(FLOOR, DIP), [FLOOR, other])

    assert keys(found) == ["push-up", "ring-push-up"]


def test_what_must_be_regressed_goes_one_rung_down():
    limit = JointLimit(OVERHEAD, LimitAction.REGRESS)

    found = fit(template(ARCHER), [KNEES, FLOOR], limits=[limit])

    assert keys(found) == ["push-up"]
    assert found.changes[0].why == "regresses shoulder overhead"


def test_what_must_only_be_watched_stays():

    found = fit(template(ARCHER), [FLOOR], limits=[JointLimit(OVERHEAD, LimitAction.WATCH)])

    assert keys(found) == ["archer"]


@pytest.mark.parametrize(("wanted", "expected"), [(12.0, 10.0), (7.5, 7.5), (4.0, 0.0)])
def test_only_loads_that_the_equipment_makes_are_planned(wanted, expected):
    press = make_exercise("press", load_kind=LoadKind.EXTERNAL, equipment=[EquipmentKind.DUMBBELLS])
    own = EquipmentItem(EquipmentKind.DUMBBELLS, (5.0, 7.5, 10.0))

    found = fit(template(press, load=wanted), [press], equipment=[own])

    assert found.plan.sessions[0].pairs[0].lines[0].load == expected


def press_with(load, *, known=(), pieces=(5.0, 7.5, 10.0), load_kind=LoadKind.EXTERNAL):
    press = make_exercise("press", load_kind=load_kind, equipment=[EquipmentKind.DUMBBELLS])
    own = EquipmentItem(EquipmentKind.DUMBBELLS, pieces)
    return fit(template(press, load=load), [press], equipment=[own], known={"press": known})


def test_a_load_that_the_client_had_for_as_many_reps_is_taken_and_told():
    known = [KnownLoad(10.0, 5), KnownLoad(7.5, 8), KnownLoad(5.0, 12)]

    found = press_with(0.0, known=known)

    assert found.plan.sessions[0].pairs[0].lines[0].load == 7.5
    assert found.changes[0].sentence == "Press with 7.5 kg: planned before for 8 reps."
    assert found.left_out == 0


def test_a_load_that_was_planned_for_fewer_reps_is_no_load_for_more():
    found = press_with(0.0, known=[KnownLoad(10.0, 5)])

    assert found.plan.sessions[0].pairs[0].lines[0].load == 0.0
    assert found.changes == ()


def test_a_load_that_the_equipment_does_not_make_is_told():
    assert press_with(12.0).changes[0].sentence == (
        "Press with 10 kg instead of 12 kg: the equipment makes no 12 kg."
    )


def test_less_help_than_asked_is_never_given():
    band = make_exercise("band-dip", load_kind=LoadKind.ASSISTED, equipment=[EquipmentKind.BANDS])
    own = EquipmentItem(EquipmentKind.BANDS, (10.0, 25.0))

    found = fit(template(band, load=15.0), [band], equipment=[own])

    assert found.plan.sessions[0].pairs[0].lines[0].load == 25.0


def test_a_session_that_is_too_long_is_made_shorter_with_the_reason():
    # By hand, common practice for the tempo: 3 sets of 6 reps at 4 s and 90 s of rest are 5.7
    # minutes and the half minute of setting up one exercise.
    plan = template(FLOOR, KNEES)
    isolation = replace(plan.sessions[0].pairs[1], part=Part.ISOLATION)
    plan = replace(
        plan, sessions=(replace(plan.sessions[0], pairs=(plan.sessions[0].pairs[0], isolation)),)
    )

    found = fit(plan, [], minutes=16)

    assert [pair.letter for pair in found.plan.sessions[0].pairs] == ["A"]
    assert found.changes[0].what == "Kneeling push up left out"
    assert found.changes[0].why.startswith("Monday would take ")
    assert found.left_out == 0


def test_what_is_left_out_for_time_is_named_as_the_template_has_it_and_not_swapped_first():
    first, second = template(FLOOR, DIP).sessions[0].pairs
    pairs = (first, replace(second, part=Part.ISOLATION))
    plan = TemplatePlan((WeekKind.BUILD,), (TemplateSession("Monday", 0, pairs),))

    found = fit(plan, [FLOOR, KNEES], minutes=16)

    assert [change.what for change in found.changes] == ["Dip left out"]


@pytest.mark.parametrize("minutes", [45, 60, 75])
@pytest.mark.parametrize("shared", read_shared_templates(), ids=lambda one: one.key)
def test_every_shared_template_fits_into_the_minutes_of_most_clients(shared, minutes):
    library = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    everything = [EquipmentItem(kind) for kind in EquipmentKind]
    plan = TemplatePlan(shared.week_kinds, shared.sessions)

    found = adapted(
        plan, library, ClientMeans(library.values(), equipment=everything, minutes=minutes)
    )

    week = weeks_from_template(found.plan, library, date(2026, 3, 9))[0]
    assert [s.name for s in week.sessions if not fits(session_minutes(s), minutes)] == []
    assert [s.name for s in week.sessions if findings_for(s)] == []
    assert (found.changes == ()) == (minutes >= shared.minutes)


KITS = {
    "nothing": [],
    "rings": [EquipmentKind.RINGS],
    "bars": [EquipmentKind.PULL_UP_BAR, EquipmentKind.DIP_BARS],
    "dumbbells": [EquipmentKind.DUMBBELLS, EquipmentKind.BENCH],
}


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("shared", read_shared_templates(), ids=lambda one: one.key)
def test_a_week_made_to_fit_still_pushes_as_much_as_it_pulls(shared, kit):
    levels = list(Level)
    catalogue = read_shared_catalogue()
    library = {one.exercise.key: one.exercise for one in catalogue}
    highest = levels.index(shared.level)
    suited = [one.exercise for one in catalogue if levels.index(one.level) <= highest]
    own = [EquipmentItem(kind) for kind in KITS[kit]]
    plan = TemplatePlan(shared.week_kinds, shared.sessions)

    found = adapted(plan, library, ClientMeans(suited, equipment=own, minutes=60))

    balance = planned_week_balance(weeks_from_template(found.plan, library, date(2026, 3, 9))[0])
    assert balance.push_sets == balance.pull_sets > 0
    assert found.left_out == 0


def test_a_replacement_says_why_it_is_one_and_what_to_ask():
    watched = make_exercise("other", joint_stresses=[OVERHEAD])
    limit = JointLimit(OVERHEAD, LimitAction.WATCH)

    assert swap_reason(FLOOR, KNEES, []) == "one rung down on the same ladder"
    assert swap_reason(DIP, FLOOR, []) == "horizontal push, trains chest"
    assert swap_reason(DIP, watched, [limit]).endswith("loads shoulder overhead, ask how it feels")


@pytest.mark.parametrize("shared", read_shared_templates(), ids=lambda one: one.key)
@pytest.mark.parametrize("stress", [OVERHEAD, JointStress.WRIST_EXTENSION, JointStress.GRIP])
def test_every_shared_template_fits_a_client_with_nothing_and_a_bad_joint(shared, stress):
    library = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    limit = JointLimit(stress, LimitAction.AVOID)
    plan = TemplatePlan(shared.week_kinds, shared.sessions)

    found = adapted(plan, library, ClientMeans(library.values(), limits=[limit]))

    used = [library[key] for key in keys(found)]
    assert not any(blocked_by(one, [limit]) for one in used)
    assert all(can_do(one, []) for one in used)
