"""A block whose weeks differ, made to fit one client: decided once, the same in every week."""

import json
from dataclasses import replace
from datetime import date

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans, KnownLoad
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    WrittenWeek,
    as_plan,
    from_plan,
    lines_of,
    written_plan,
)
from coaching.blocks.template_services import without_loads
from coaching.blocks.template_values import weeks_from_template
from coaching.library.toml_fields import CatalogueError
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, LoadKind, Part, WeekKind
from coaching.rules.session_clock import fits, session_minutes
from coaching.rules.shorter_session import shorter_session
from tests.rules.examples import make_exercise

BUILD, DELOAD, TEST = WeekKind.BUILD, WeekKind.DELOAD, WeekKind.TEST
FLOOR = make_exercise("push-up", ladder="push-up", rung=3)
RINGS = make_exercise("ring-push-up", complexity=4)
DIP = make_exercise("dip", equipment=[EquipmentKind.DIP_BARS])
FLY = make_exercise("fly", multi_joint=False)
PRESS = make_exercise("press", load_kind=LoadKind.EXTERNAL, equipment=[EquipmentKind.DUMBBELLS])
LIBRARY = {one.key: one for one in (FLOOR, RINGS, DIP, FLY, PRESS)}


def line(exercise, targets, load=0.0):
    return TemplateLine(exercise.key, tuple(targets), load, "3-0-1-0", 90, 2)


def week(number, *pairs):
    parts = [Part.PRIMARY, Part.ISOLATION]
    made = zip("AB", parts, pairs, strict=False)
    pairs = tuple(TemplatePair(letter, part, (one,)) for letter, part, one in made)
    return WrittenWeek(7 * (number - 1), (TemplateSession("Upper", 0, pairs),))


def ramp(exercise, sets=(3, 4, 5, 2), kinds=(BUILD, BUILD, BUILD, DELOAD)):
    weeks = [week(n, line(exercise, [6] * count)) for n, count in enumerate(sets, start=1)]
    return written_plan(kinds, weeks)


def sets_of(plan):
    return [len(one.targets) for _, _, one in lines_of(plan)]


def loads_of(plan):
    return [one.load for _, _, one in lines_of(plan)]


def fit(plan, candidates=(), **means):
    return adapted(plan, LIBRARY, ClientMeans(candidates, **means))


def test_a_wave_that_a_client_can_do_stays_as_it_is():
    plan = ramp(FLOOR, (3, 4, 5, 1, 2), (BUILD, BUILD, BUILD, TEST, DELOAD))

    found = fit(plan, minutes=60)

    assert found.plan == plan
    assert found.changes == ()


def test_a_swap_is_decided_once_and_the_same_in_every_week():
    found = fit(ramp(DIP), [FLOOR])

    assert {one.exercise_key for _, _, one in lines_of(found.plan)} == {"push-up"}
    assert sets_of(found.plan) == [3, 4, 5, 2]
    assert found.told.work == ("Push up instead of Dip, in Upper: needs dip bars.",)


def test_a_swap_does_not_change_where_another_week_has_the_replacement_already():
    first = week(1, line(DIP, [6] * 3))
    second = week(2, line(DIP, [6] * 3), line(FLOOR, [8] * 3))
    plan = written_plan((BUILD, BUILD), [first, second])

    assert fit(ramp(DIP), [FLOOR, RINGS]).changes[0].given == "Push up"
    found = fit(plan, [FLOOR, RINGS])

    # The push-up stands in the second week already, so both weeks take the other one.
    assert [one.exercise_key for _, _, one in lines_of(found.plan)] == [
        "ring-push-up",
        "ring-push-up",
        "push-up",
    ]


def test_sets_are_capped_in_every_week_and_the_light_week_keeps_its_share():
    plan = ramp(FLOOR, (3, 6, 8, 4))

    found = fit(plan, minutes=17)

    # Weeks of 6 and 8 sets are cut to what fits, the first one has no more than that.
    longest = weeks_from_template(found.plan, LIBRARY, date(2026, 3, 2))[2]
    assert fits(session_minutes(longest.sessions[0]), 17)
    left = sets_of(found.plan)[2]
    assert 3 < left < 6
    assert sets_of(found.plan) == [3, left, left, round(4 * left / 8)]
    assert [one.what for one in found.changes] == [
        f"Push up with {left} sets instead of 6 to 8 in weeks 2 and 3"
    ]


def test_what_is_left_out_for_time_is_left_out_in_every_week_and_told_once():
    weeks = [week(n, line(FLOOR, [6] * 4), line(FLY, [10] * 3)) for n in (1, 2, 3)]
    plan = written_plan((BUILD, BUILD, DELOAD), weeks)

    found = fit(plan, minutes=14)

    assert {one.exercise_key for _, _, one in lines_of(found.plan)} == {"push-up"}
    (told,) = (one for one in found.told.work if "Fly" in one)
    assert told.startswith("Fly left out: Upper would take ")
    assert told.endswith(" min of 14.")


def test_a_known_load_goes_up_over_the_weeks_as_the_plan_does_and_never_above_it():
    # By hand: 20, 22 and 25 kg are 1, 1.1 and 1.25 of the first week; of 16 kg that is 16,
    # 17.6 and 20 kg, and dumbbells of 2 kg steps make 16, 16 and 20 kg of it.
    loads = (20.0, 22.0, 25.0)
    weeks = [week(n, line(PRESS, [6] * 3, kg)) for n, kg in enumerate(loads, start=1)]
    plan = without_loads(written_plan((BUILD,) * 3, weeks), LIBRARY)
    own = EquipmentItem(EquipmentKind.DUMBBELLS, (14.0, 16.0, 18.0, 20.0))

    found = fit(plan, equipment=[own], known={"press": [KnownLoad(16.0, 6)]})

    assert loads_of(plan) == [0, 0, 0]
    assert [one.load_share for _, _, one in lines_of(plan)] == [1, 1.1, 1.25]
    assert loads_of(found.plan) == [16, 16, 20]
    assert found.told.loads == ("Press with 16 kg: planned before for 6 reps.",)


def test_a_load_known_for_fewer_reps_than_a_week_asks_is_left_to_choose_in_all():
    weeks = [week(1, line(PRESS, [5] * 3)), week(2, line(PRESS, [12] * 3))]
    own = EquipmentItem(EquipmentKind.DUMBBELLS, (10.0, 12.0))

    found = fit(
        written_plan((BUILD, BUILD), weeks),
        equipment=[own],
        known={"press": [KnownLoad(12.0, 8)]},
    )

    assert loads_of(found.plan) == [0, 0]
    assert found.changes == ()


def test_a_written_plan_survives_being_kept_as_json_with_a_week_off():
    plan = ramp(FLOOR)
    off = WrittenWeek(28, ())
    plan = written_plan((*plan.week_kinds, BUILD), [*plan.written, off])
    plan = replace(plan, written=(*plan.written[:-1], off))

    assert from_plan(json.loads(json.dumps(as_plan(plan)))) == plan
    assert plan.sessions == plan.written[0].sessions


def test_a_plan_kept_without_written_weeks_repeats_its_one_week():
    one = ramp(FLOOR).sessions
    kept = {**as_plan(TemplatePlan((BUILD, BUILD, DELOAD), one))}

    assert "written" not in kept
    plan = from_plan(kept)
    weeks = weeks_from_template(plan, LIBRARY, date(2026, 3, 2))
    assert [week.after for week in plan.weeks] == [0, 7, 14]
    assert [len(w.sessions[0].prescriptions[0].targets) for w in weeks][:2] == [3, 3]
    light = sum(weeks[2].sessions[0].prescriptions[0].targets)
    assert light < sum(weeks[1].sessions[0].prescriptions[0].targets)


def test_weeks_that_are_written_and_named_must_be_as_many():
    kept = as_plan(ramp(FLOOR)) | {"weeks": ["build"]}

    with pytest.raises(CatalogueError, match="4 weeks are written and 1 named"):
        from_plan(kept)


def test_an_exercise_that_stands_twice_in_a_part_is_cut_where_it_has_to_be():
    top, back_off = line(FLOOR, [6] * 4), line(FLOOR, [6] * 4)
    lines = zip("ABC", (top, line(RINGS, [6] * 4), back_off), strict=True)
    pairs = tuple(TemplatePair(letter, Part.SUPPLEMENTARY, (one,)) for letter, one in lines)
    plan = TemplatePlan((BUILD,), (TemplateSession("Upper", 0, pairs),))
    (asked,) = weeks_from_template(plan, LIBRARY, date(2026, 3, 9))
    minutes = round(session_minutes(asked.sessions[0]).total)

    for budget in range(minutes, minutes // 3, -2):
        found = fit(plan, minutes=budget).plan
        alone = shorter_session(asked.sessions[0], budget, whatever_it_costs=True).session
        assert sets_of(found) == [one.sets for one in alone.prescriptions]


def test_two_sessions_of_a_day_called_alike_are_each_cut_by_themselves():
    long, short = (
        TemplateSession("Upper", 0, (TemplatePair("A", Part.SUPPLEMENTARY, (line(FLOOR, sets),)),))
        for sets in ([6] * 8, [6] * 3)
    )
    weeks = [WrittenWeek(7 * number, (long, short)) for number in range(2)]
    plan = written_plan((BUILD, BUILD), weeks)
    (_, evening) = weeks_from_template(plan, LIBRARY, date(2026, 3, 9))[0].sessions

    found = fit(plan, minutes=round(session_minutes(evening).total))

    assert sets_of(found.plan) == [3, 3, 3, 3]
    assert found.told.work[0].startswith("Push up with 3 sets instead of 8: Upper would take ")


def test_a_swap_stays_told_where_only_the_second_place_of_it_is_left_out():
    lines = zip("ABC", (line(DIP, [6] * 4), line(RINGS, [6] * 4), line(DIP, [6] * 4)), strict=True)
    parts = zip((Part.PRIMARY, Part.SUPPLEMENTARY, Part.ISOLATION), lines, strict=True)
    pairs = tuple(TemplatePair(letter, part, (one,)) for part, (letter, one) in parts)
    plan = TemplatePlan((BUILD,), (TemplateSession("Upper", 0, pairs),))

    found = fit(plan, [FLOOR], minutes=20)

    assert [one.exercise_key for _, _, one in lines_of(found.plan)].count("push-up") == 1
    assert "Push up instead of Dip, in Upper: needs dip bars." in found.told.work


def test_prehab_keeps_half_of_its_sets_however_many_weeks_are_looked_at():
    pairs = (
        TemplatePair("A", Part.PRIMARY, (line(FLOOR, [6] * 3),)),
        TemplatePair("B", Part.PREHAB, (line(RINGS, [8] * 4),)),
    )
    weeks = [WrittenWeek(7 * n, (TemplateSession("Upper", 0, pairs),)) for n in range(4)]
    plan = written_plan((BUILD,) * 4, weeks)

    found = fit(plan, minutes=5).plan

    assert sets_of(found) == [3, 2] * 4


def test_a_week_that_is_short_enough_keeps_what_a_longer_one_gives_up():
    lean = week(1, line(FLOOR, [6] * 3), line(FLY, [10] * 3))
    weeks = [lean, replace(lean, after=7), week(3, line(FLOOR, [6] * 6), line(FLY, [10] * 3))]
    light = week(4, line(FLOOR, [6] * 2), line(FLY, [10]))
    plan = written_plan((BUILD, BUILD, BUILD, DELOAD), [*weeks, light])
    asked = weeks_from_template(plan, LIBRARY, date(2026, 3, 2))
    budget = round(session_minutes(asked[0].sessions[0]).total)

    found = fit(plan, minutes=budget)

    left = found.plan.written
    assert left[:2] == plan.written[:2]
    # By itself, the third week loses just this; the light week follows the week before it.
    alone = shorter_session(asked[2].sessions[0], budget).session
    assert [one.exercise.key for one in alone.prescriptions] == ["push-up"]
    for one in left[2:]:
        assert [x.exercise_key for p in one.sessions[0].pairs for x in p.lines] == ["push-up"]
    (told,) = (one for one in found.told.work if "Fly" in one)
    assert told.startswith("Fly left out in week 3: Upper would take ")


def test_a_swap_that_is_left_out_of_some_weeks_alone_is_still_told():
    pairs = [(line(FLOOR, [6] * 3), line(DIP, [6] * 3)), (line(FLOOR, [6] * 6), line(DIP, [6] * 3))]
    plan = written_plan((BUILD, BUILD), [week(n, *one) for n, one in enumerate(pairs, 1)])
    asked = weeks_from_template(plan, LIBRARY, date(2026, 3, 2))
    budget = round(session_minutes(asked[0].sessions[0]).total)

    found = fit(plan, [RINGS], minutes=budget)

    assert any(one.startswith("Ring push up left out in week 2") for one in found.told.work)
    assert any(one.startswith("Ring push up instead of Dip") for one in found.told.work)


def test_a_swap_of_some_weeks_alone_names_them():
    lines = [[line(RINGS, [6] * 3)], [line(RINGS, [6] * 3), line(DIP, [6] * 3)]]
    plan = written_plan((BUILD, BUILD), [week(n, *one) for n, one in enumerate(lines, start=1)])

    found = fit(plan, [FLOOR])

    assert found.told.work == ("Push up instead of Dip in week 2, in Upper: needs dip bars.",)
