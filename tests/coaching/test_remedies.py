"""What is offered for a finding, and what is not; sums worked out by hand beside each check."""

from dataclasses import replace

import pytest

from coaching.blocks.plan_figures import week_figures
from coaching.blocks.remedies import MOST_MUSCLES
from coaching.blocks.remedies_sets import sets_less
from coaching.rules.plan import (
    EquipmentKind,
    Muscle,
    Part,
    Pattern,
    Plane,
)
from coaching.rules.session_order import BALANCE_RULE
from tests.coaching.effecting import FACTS, PUSH, ROW
from tests.coaching.remedying import (
    CALF,
    CRUNCH,
    CUFF,
    CURL,
    LONG,
    RAISE,
    found_in,
    line,
    minutes_of,
    pair_of,
    words,
)
from tests.coaching.shelves import shelf_with
from tests.coaching.wholes import whole_of
from tests.rules.examples import (
    MONDAY,
    make_exercise,
    make_session,
    make_week,
)


def test_a_session_a_little_too_long_gives_a_set_that_keeps_the_balance():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=38))

    # One set of the crunch is 100 s.
    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.remedies[0].act == {
        "act": "nudge-line",
        "line": "crunch",
        "field": "sets",
        "by": "-1",
        "reach": "onward",
    }


@pytest.mark.parametrize(
    ("minutes", "lines"),
    [
        # Each set of either is 100 s; two of them are over 3 min. Calves have 3 of at least 10.
        (44, ["One set less of Crunch (−2 min)"]),
        (
            42,
            [
                "One set less of Crunch (−2 min)",
                "One set less of Crunch and Calf raise (−3 min): calves 3 to 2 sets",
            ],
        ),
    ],
)
def test_a_muscle_under_its_range_gives_a_set_only_where_nothing_else_is_enough(minutes, lines):
    pairs = (pair_of(), (line(CRUNCH), line(CALF)))
    long = week_figures(make_week(make_session(*pairs))).sessions[0].minutes.total

    told = minutes_of(*pairs, facts=replace(FACTS, minutes=round(long) - 45 + minutes))

    assert words(told) == lines
    assert told.way_out == ""


def test_a_session_much_too_long_is_shortened_in_one_act_or_by_a_set():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=33))

    # No muscle here is in its range; the abs have none. Push and row give two of their 5 sets.
    assert words(told) == [
        "One set less of Crunch (−2 min)",
        "Shorten to 33 min, 4 sets less: chest 5 to 3, lats 5 to 3, triceps 2.5 to 1.5 sets and 1 more",
    ]
    assert told.remedies[1].act["act"] == "shorten-session"


def test_where_the_fewest_sets_are_too_many_that_is_said():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=20))

    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.way_out.startswith("With the fewest sets it still takes ")


def test_a_long_way_over_what_would_be_left_out_is_named():
    calf = line(CALF, part=Part.SUPPLEMENTARY)
    press = replace(calf, key="press", exercise=replace(CALF, key="press", name="Leg press"))
    told = minutes_of(pair_of(), calf, press, facts=replace(FACTS, minutes=32))

    # One of the two stays, so that calves keep some work.
    assert "sets less, without Leg press: " in words(told)[1]


def test_what_is_locked_and_would_have_to_give_is_said():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=33, locked=frozenset({"push"})))

    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.way_out == (
        "To end on time, something locked would have to give sets or rest: unlock it first."
    )


def test_no_button_stands_twice():
    both = replace(CALF, muscles=(*RAISE.muscles, *CALF.muscles))
    found = found_in(line(both), line(CRUNCH, reps=6, sets=5, part=Part.PRIMARY))

    sent = [one.sent for placed in (*found.findings, *found.volume) for one in placed.remedies]
    assert len(sent) == len(set(sent))
    helps = [one.way_out for one in found.volume if one.way_out]
    assert helps == ["One set more of Calf raise, offered above, helps here too."]


def test_isolation_gives_before_supplementary_and_a_push_with_its_pull():
    raises = (line(RAISE), line(CURL))
    told = minutes_of(
        pair_of(), line(CALF, part=Part.SUPPLEMENTARY), raises, facts=replace(FACTS, minutes=46)
    )

    # Side delt 3, biceps 3 and half of 5 for the rows: both have at least 10 to get.
    assert words(told)[0] == (
        "One set less of Side raise and Curl (−3 min): side delt 3 to 2, biceps 5.5 to 4.5 sets"
    )
    assert told.remedies[0].act["act"] == "nudge-pair"


def test_a_rest_is_shortened_by_a_step_but_not_below_what_its_part_takes():
    slow, quick = line(CRUNCH, rest=75), line(CRUNCH, rest=60)
    facts = replace(FACTS, minutes=39)

    assert words(minutes_of(pair_of(), slow, facts=facts))[1] == (
        "Rest 15 s less after Crunch (−1 min)"
    )
    assert len(words(minutes_of(pair_of(), quick, facts=replace(FACTS, minutes=38)))) == 1


def test_what_is_locked_makes_no_session_shorter():
    facts = replace(FACTS, minutes=38, locked=frozenset({"crunch", "push", "row"}))

    assert words(minutes_of(*LONG, facts=facts)) == []


def muscle(found, name):
    (told,) = (one for one in found.volume if one.finding.sentence.startswith(f"{name}:"))
    return told


def test_a_muscle_under_its_range_gets_a_set_of_what_trains_it_most_directly():
    told = muscle(found_in(line(CALF)), "Calves")

    assert told.finding.sentence == "Calves: 3 sets, under the range of 10 to 20."
    assert told.finding.source_key == "schoenfeld-2017"
    # 10 x 4 + 60 s.
    assert words(told) == ["One set more of Calf raise (+2 min)"]


def test_a_push_gets_its_set_together_with_its_pull():
    told = muscle(found_in((line(RAISE), line(CURL))), "Side delt")

    assert words(told) == ["One set more of Side raise and Curl (+3 min)"]


def test_a_set_that_takes_a_session_beyond_its_minutes_is_not_offered_and_that_is_said():
    # Two sets of 12 x 4 + 60 s and the warm-up leave no room for one more in 30 min less.
    minutes = round(
        week_figures(make_week(make_session((line(RAISE), line(CURL))))).sessions[0].minutes.total
    )
    told = muscle(
        found_in((line(RAISE), line(CURL)), facts=replace(FACTS, minutes=minutes)), "Side delt"
    )

    assert words(told) == []
    assert told.way_out == (
        "One set more of Side raise and Curl would take Monday beyond the client’s minutes."
    )


def test_a_muscle_that_nothing_trains_directly_gets_an_exercise_that_may_be_done():
    shelf = shelf_with(
        {
            7: CUFF,
            8: make_exercise(
                "machine", muscles={Muscle.REAR_DELT: 1.0}, equipment=[EquipmentKind.CABLE]
            ),
        },
        kinds=(),
    )
    pull = replace(
        ROW, muscles=(*ROW.muscles, *make_exercise(muscles={Muscle.REAR_DELT: 0.5}).muscles)
    )

    told = muscle(found_in((line(PUSH), line(pull)), shelf=shelf), "Rear delt")

    assert [one.act for one in told.remedies] == [
        {
            "act": "add-exercise",
            "session": "s",
            "exercise": "7",
            "part": "prehab",
            "reach": "onward",
        }
    ]
    assert words(told)[0].startswith("Add Cuff to Monday (+")


def test_where_an_addition_would_lean_the_session_the_exercise_is_named():
    shelf = shelf_with({7: RAISE})
    press = make_exercise("press", muscles={Muscle.SIDE_DELT: 0.5})

    told = muscle(found_in((line(press), line(ROW)), shelf=shelf), "Side delt")

    assert words(told) == []
    assert told.way_out == (
        "Outside prehab no exercise of this week has the side delt as its main mover. Side raise "
        "has, with a pull beside it, where there is time for it."
    )


def test_where_nothing_fits_the_client_that_is_said():
    press = make_exercise("press", muscles={Muscle.SIDE_DELT: 0.5})

    told = muscle(found_in((line(press), line(ROW)), shelf=shelf_with({})), "Side delt")

    assert told.way_out.startswith("No exercise for the side delt fits the client’s level")


def test_a_muscle_above_its_range_loses_isolation_first_and_never_prehab():
    cuff = make_exercise("cuff", Pattern.PREHAB, plane=Plane.NONE, muscles={Muscle.CALVES: 1.0})
    found = found_in(
        line(replace(CALF, key="squat", name="Squat"), 9, part=Part.PRIMARY),
        line(CALF, 5),
        line(cuff, 8, part=Part.PREHAB),
        facts=replace(FACTS, minutes=200),
    )

    told = muscle(found, "Calves")

    # 9 + 5 + 8 = 22 of at most 20.
    assert told.finding.sentence == "Calves: 22 sets, above the range of 10 to 20."
    assert [one.act["line"] for one in told.remedies] == ["calf-raise"]


@pytest.mark.parametrize(("sets", "gives"), [(5, 1), (4, 1), (3, 1), (2, 0), (1, 0)])
def test_however_often_a_set_is_taken_prehab_keeps_half_of_what_it_usually_has(sets, gives):
    # Prehab is put in with 4 sets, and half of it stays: choices of this tool.
    session = make_session(line(CUFF, sets, part=Part.PREHAB), on=MONDAY, key="s")
    weeks = [week_figures(make_week(session, number=1, starts_on=MONDAY))]

    less = sets_less(weeks[0].sessions[0], whole_of(weeks, FACTS), Part.PREHAB)

    assert len(list(less)) == gives


def test_the_muscles_furthest_off_come_first_and_the_others_are_only_told():
    muscles = {
        m: 1.0 - n / 10
        for n, m in enumerate(
            (Muscle.CHEST, Muscle.CALVES, Muscle.LATS, Muscle.BICEPS, Muscle.GLUTES)
        )
    }
    found = found_in(line(make_exercise("all", Pattern.LEGS, muscles=muscles), 3))

    assert [one.finding.sentence.partition(":")[0] for one in found.volume] == [
        "Glutes",
        "Biceps",
        "Lats",
        "Calves",
        "Chest",
    ]
    assert all(not one.remedies and not one.way_out for one in found.volume[MOST_MUSCLES:])


def test_where_there_is_no_time_a_muscle_without_a_mover_takes_the_place_of_what_has_sets_to_spare():
    shelf = shelf_with({7: CALF})
    jump = make_exercise("jump", Pattern.LEGS, plane=Plane.NONE, muscles={Muscle.CALVES: 0.5})
    pairs = (line(jump), line(CRUNCH))
    long = week_figures(make_week(make_session(*pairs))).sessions[0].minutes.total

    told = muscle(
        found_in(*pairs, shelf=shelf, facts=replace(FACTS, minutes=round(long))), "Calves"
    )

    # The abs have no range: what is the crunch's is free.
    assert words(told) == ["Calf raise instead of Crunch in Monday"]
    assert told.remedies[0].act["act"] == "swap-line"


def test_a_curl_too_many_gives_its_set_back_before_the_primary_pull():
    push, pull = pair_of()
    curl = line(CURL, 4)
    pairs = ((push, pull), line(RAISE, 3), curl)
    long = week_figures(make_week(make_session(*pairs))).sessions[0].minutes.total
    facts = replace(FACTS, minutes=round(long))

    found = found_in(*pairs, facts=facts)

    (told,) = (o for o in found.findings if o.finding.rule == BALANCE_RULE)
    assert [one.act["line"] for one in told.remedies] == ["curl"]
