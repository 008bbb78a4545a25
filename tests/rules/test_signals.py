"""What a log says: constructed clients whose course is known.

The simulated clients are made up (``simulated_client``). They show that the rules do what
they say on such data; how often the rules are right in life they do not show.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from coaching.rules.ability import read_ability
from coaching.rules.exposures import Usual, percent, read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.plan import WeekKind
from coaching.rules.signals import block_ends, deload_due, find_missed_sessions, read_signals
from coaching.rules.watchfulness import threshold_for
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_logged_session,
    make_pull_up,
    make_sets,
)
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop

PUSH_UP = make_exercise()
PULL_UP = make_pull_up()
FOUR = {exercise.key for exercise in EXERCISES} - {"squat"}
# A simulated fall starts on this day, after twelve weeks, and is looked for two weeks later.
FALL_DAY = 84
TWO_WEEKS_ON = day(FALL_DAY + 13)


def of_kind(found: Sequence[Finding], kind: FindingKind) -> list[Finding]:
    return [one for one in found if one.kind is kind]


def signals_of(client: SimulatedClient, today: date = TWO_WEEKS_ON) -> tuple[Finding, ...]:
    return read_signals(client.sessions(14), (), today=today)


def course(*amounts: Sequence[int], every: int = 4, targets=None, rir=None, load=0.0):
    """Sessions of one pull-up exercise, ``every`` so many days."""
    return [
        make_logged_session(
            make_sets(PULL_UP, reps, load, targets=targets or reps, rir=rir), on=day(every * i)
        )
        for i, reps in enumerate(amounts)
    ]


# --- overreaching ----------------------------------------------------------------


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("reserve", "effort"), [("all", True), ("last", True), ("last", False)])
def test_a_fall_of_ten_percent_on_four_of_five_exercises_is_overreaching(seed, reserve, effort):
    client = SimulatedClient(seed, reserve, effort, change=drop(FALL_DAY, 0.10, FOUR))

    [finding] = of_kind(signals_of(client), FindingKind.OVERREACHING)

    assert finding.since is not None
    # It falls on one day here; the model expects it to take ten, and so dates it earlier.
    assert abs((finding.since - day(FALL_DAY)).days) <= 7
    assert "All exercises together are about" in finding.sentence
    assert finding.probability is not None
    assert finding.probability > 0.5
    assert "Nothing planned explains it" in finding.sentence
    assert "sleep, illness, food" in finding.could_not_know
    assert finding.question


def test_most_falls_of_seven_percent_are_found_within_two_weeks():
    seeds = range(20)

    found = [
        of_kind(
            signals_of(SimulatedClient(seed, change=drop(FALL_DAY, 0.07, FOUR))),
            FindingKind.OVERREACHING,
        )
        for seed in seeds
    ]

    assert sum(map(bool, found)) >= 14


def test_overreaching_stands_before_everything_but_pain():
    client = SimulatedClient(3, change=drop(FALL_DAY, 0.10, FOUR))

    found = signals_of(client)

    assert found[0].kind is FindingKind.OVERREACHING
    assert {one.exercise for one in found if "fell together with others" in one.sentence} == FOUR
    urgencies = [list(FindingKind).index(one.kind) for one in found]
    assert urgencies == sorted(urgencies)


@pytest.mark.parametrize("seed", range(5))
def test_a_fall_of_one_exercise_alone_is_not_overreaching(seed):
    client = SimulatedClient(seed, change=drop(FALL_DAY, 0.15, {"dip"}))

    found = signals_of(client)

    assert of_kind(found, FindingKind.OVERREACHING) == []


@pytest.mark.parametrize("seed", range(5))
def test_a_planned_deload_is_not_overreaching(seed):
    client = SimulatedClient(seed, kinds={12: WeekKind.DELOAD})

    for today in (FALL_DAY + 6, FALL_DAY + 13):
        assert of_kind(signals_of(client, day(today)), FindingKind.OVERREACHING) == []


@pytest.mark.parametrize("seed", range(5))
def test_a_weak_return_after_an_absence_is_not_overreaching(seed):
    back = FALL_DAY
    client = SimulatedClient(
        seed, away=range(back - 14, back), change=drop(back, 0.08, FOUR | {"squat"}, length=10)
    )

    for today in range(back, back + 14):
        assert of_kind(signals_of(client, day(today)), FindingKind.OVERREACHING) == []


@pytest.mark.parametrize("seed", range(5))
def test_one_bad_day_is_not_overreaching(seed):
    def bad_day(on: int, _key: str) -> float:
        return -0.15 if on == FALL_DAY else 0.0

    client = SimulatedClient(seed, change=bad_day)

    for today in range(FALL_DAY, FALL_DAY + 14):
        assert of_kind(signals_of(client, day(today)), FindingKind.OVERREACHING) == []


def test_a_planned_lighter_fortnight_is_not_overreaching():
    # Fewer repetitions were asked and done, and as many more were left.
    def session(at: int) -> LoggedSession:
        reps, left, rpe = ((7,) * 5, 2, 7) if at < 12 else ((5,) * 5, 4, 5)
        groups = (make_sets(e, reps, targets=reps, rir=left) for e in EXERCISES)
        return make_logged_session(*groups, on=day(at * 3), rpe=rpe)

    sessions = [session(at) for at in range(16)]

    found = read_signals(sessions, (), today=sessions[-1].on)

    assert of_kind(found, FindingKind.OVERREACHING) == []


def test_false_alarms_on_steady_clients_of_another_make_stay_below_two_a_year():
    # Eight made-up client-years, noisier than usual (2.5 % a day and 2.5 % an exercise), made by
    # another simulation than the one that the threshold of one a year was chosen on, judged
    # after every session. The model raises 1.9 a year here: it takes their tiring for habit.
    alarms = 0
    for seed in range(8):
        client = SimulatedClient(seed, day_noise=0.025, exercise_noise=0.025)
        alarms += count_alarms(client.sessions(52))

    assert alarms < 2 * 8


def count_alarms(sessions: list[LoggedSession]) -> int:
    """Alarms more than two weeks apart, judged after every session from the sixth week."""
    count, last = 0, date.min
    for believed in read_ability(sessions)[18:]:
        if believed.fall_of_several >= threshold_for(1):
            count += (believed.on - last).days > 14
            last = believed.on
    return count


def test_a_fall_from_sets_that_stopped_at_their_target_is_called_at_least():
    hidden = SimulatedClient(0, "none", change=drop(FALL_DAY, 0.12, FOUR))
    shown = SimulatedClient(0, "all", change=drop(FALL_DAY, 0.12, FOUR))

    [least] = of_kind(signals_of(hidden), FindingKind.OVERREACHING)
    [measured] = of_kind(signals_of(shown), FindingKind.OVERREACHING)

    assert "by at least" in least.sentence
    assert "by at least" not in measured.sentence


# --- what a set shows ----------------------------------------------------------


def test_a_set_stopped_at_its_target_says_only_at_least():
    [met] = read_exposures(course((5, 5, 5)))["pull-up"]
    [missed] = read_exposures(course((5, 5, 4), targets=(5, 5, 5)))["pull-up"]

    assert met.at_least
    assert not missed.at_least


def test_a_fall_is_measured_in_strength_by_epleys_formula():
    # Epley 1985: 1 + r/30. From 10 to 5 repetitions at failure: (35/30) / (40/30) = 0.875.
    usual = read_exposures(course((10,), (10,), (10,), rir=0))["pull-up"]
    [fallen] = read_exposures(course((5,), targets=(10,)))["pull-up"]

    fall = Usual(usual).fall_of(fallen)

    assert fall is not None
    assert percent(fall) == pytest.approx(12.5)


def test_added_load_is_compared_on_the_system_load():
    # 80 kg body: 8 reps at 0 kg show 101.3 kg, 7 reps with 2 kg show 101.1 kg (Epley 1985).
    usual = read_exposures(course((8,), (8,), (8,), rir=0))["pull-up"]
    [heavier] = read_exposures(course((7,), rir=0, load=2, targets=(8,)))["pull-up"]

    fall = Usual(usual).fall_of(heavier)

    assert fall is not None
    assert percent(fall) == pytest.approx(0.2, abs=0.1)


def test_a_load_typed_in_the_wrong_unit_is_left_out():
    sessions = course(*[(6, 6, 6)] * 7, load=20)
    wrong = make_logged_session(make_sets(PULL_UP, (6, 6, 6), 200), on=sessions[3].on)

    exposures = read_exposures([*sessions[:3], wrong, *sessions[4:]])["pull-up"]

    assert [e.load for e in exposures] == [20] * 6


# --- one exercise ---------------------------------------------------------------


def test_an_exercise_whose_sessions_all_lie_far_apart_is_left_out():
    # Each lies far from the middle of those around it.
    loads = (0, 100, 0, 100)
    by_turns = [
        make_logged_session(make_sets(PULL_UP, (8, 8), load), on=day(n))
        for n, load in enumerate(loads)
    ]

    assert read_exposures(by_turns) == {}
    assert of_kind(read_signals(by_turns, (), today=day(4)), FindingKind.HOLDING) == []


def test_a_stair_that_is_climbed_is_progress():
    stair = [(7, 7, 7), (8, 7, 7), (8, 8, 7), (8, 8, 8), (9, 8, 8), (9, 9, 8)]

    [finding] = read_signals(course(*stair), (), today=day(20))

    assert finding.kind is FindingKind.PROGRESSING
    assert finding.exercise == "pull-up"
    assert "Pull up is progressing" in finding.sentence


def test_a_step_up_in_load_with_its_targets_met_is_progress():
    before = course((8, 8, 8), (8, 8, 8), (8, 8, 8), load=10)
    after = [replace(s, on=s.on + timedelta(days=12)) for s in course((5, 5, 5), load=15)]

    [finding] = read_signals([*before, *after], (), today=day(12))

    assert finding.kind is FindingKind.PROGRESSING


def test_six_sessions_of_missed_targets_without_gain_are_stalled():
    tries = [(7, 7, 6), (7, 7, 7), (7, 7, 6), (7, 6, 6), (7, 7, 6), (7, 6, 6)]

    [finding] = read_signals(course(*tries, targets=(8, 7, 7)), (), today=day(20))

    assert finding.kind is FindingKind.STALLED
    assert finding.since == day(4)


@pytest.mark.parametrize("sessions", [3, 4])
def test_a_stall_is_not_called_before_five_sessions(sessions):
    found = read_signals(course(*[(7, 7, 6)] * sessions, targets=(7, 7, 7)), (), today=day(20))

    assert of_kind(found, FindingKind.STALLED) == []


def test_a_repeated_target_that_is_met_is_holding_not_stalled():
    [finding] = read_signals(course(*[(7, 7, 7)] * 6), (), today=day(20))

    assert finding.kind is FindingKind.HOLDING
    assert "Ask for the reserve of the last set" in finding.could_not_know


def test_steady_gainers_are_seldom_called_stalled():
    # Made-up clients who gain 0.5 % a week; five exercises each, at the end of every month.
    called = judged = 0
    for seed in range(8):
        sessions = SimulatedClient(seed, gain_a_week=0.005).sessions(16)
        for week in (8, 12, 16):
            found = read_signals(sessions, (), today=day(7 * week))
            called += len(of_kind(found, FindingKind.STALLED))
            judged += len(EXERCISES)

    assert called <= 0.1 * judged


def test_reps_that_collapse_within_the_session_are_a_pacing_fault():
    found = read_signals(course((9, 8, 6, 5, 4), targets=(7,) * 5), (), today=day(0))

    [finding] = of_kind(found, FindingKind.PACING)
    assert "from 9 to 4 reps" in finding.sentence


@pytest.mark.parametrize(
    ("reps", "targets"),
    [((7, 7, 7, 7, 7), None), ((7, 7, 7, 7, 6), (7,) * 5), ((8, 6, 5), (8, 6, 5))],
)
def test_even_sets_and_falling_targets_are_no_pacing_fault(reps, targets):
    found = read_signals(course(reps, targets=targets), (), today=day(0))

    assert of_kind(found, FindingKind.PACING) == []


# --- pain -------------------------------------------------------------------------


def painful(*pains: int | None, every: int = 2) -> list[LoggedSession]:
    return [
        make_logged_session(make_sets(PUSH_UP, (7, 7), pain=pain), on=day(every * at))
        for at, pain in enumerate(pains)
    ]


def test_pain_above_five_of_ten_comes_first_and_is_referred():
    # Limit of 5 of 10: Thomee 1997, Silbernagel 2007 (knee and Achilles tendon).
    found = read_signals(painful(6), (), today=day(1))

    assert found[0].kind is FindingKind.PAIN
    assert "licensed practitioner" in found[0].sentence
    assert "emergency services" in found[0].sentence
    assert found[0].source_key == "thomee-1997"


@pytest.mark.parametrize("pains", [(5,), (3, 3, 3), (4, 3, 2), (1, 2), (None, None, None)])
def test_pain_within_the_limit_that_does_not_rise_is_not_flagged(pains):
    found = read_signals(painful(*pains), (), today=day(6))

    assert of_kind(found, FindingKind.PAIN) == []


def test_pain_that_rises_over_three_sessions_is_flagged():
    [finding] = of_kind(read_signals(painful(1, 2, 4), (), today=day(5)), FindingKind.PAIN)

    assert "1, 2, 4 of 10" in finding.sentence


def test_old_pain_is_not_flagged_again():
    assert of_kind(read_signals(painful(8), (), today=day(8)), FindingKind.PAIN) == []


@pytest.mark.parametrize(
    "note",
    [
        "Bit of chest pain on the last set",
        "felt faint after squats",
        "fingers went numb",
        "dark urine this morning",
        "knee locks when I stand up",
        "my shoulder gave way",
        "sharp pain in the elbow",
        "short of breath for an hour",
    ],
)
def test_warning_words_in_a_note_come_first(note):
    session = replace(make_logged_session(make_sets(PUSH_UP, (7, 7))), note=note)

    found = read_signals([session], (), today=MONDAY)

    assert found[0].kind is FindingKind.RED_FLAG
    assert note in found[0].evidence[0].value
    assert "licensed practitioner" in found[0].sentence


@pytest.mark.parametrize(
    "note",
    ["a number of good sets", "locked out every rep", "felt strong", "sore chest from Monday"],
)
def test_ordinary_notes_are_no_warning(note):
    session = replace(make_logged_session(make_sets(PUSH_UP, (7, 7))), note=note)

    assert of_kind(read_signals([session], (), today=MONDAY), FindingKind.RED_FLAG) == []


def test_no_finding_names_a_diagnosis():
    client = SimulatedClient(3, change=drop(FALL_DAY, 0.10, FOUR))

    words = " ".join(
        f"{one.sentence} {one.could_not_know} {one.question}" for one in signals_of(client)
    ).lower()

    assert "overtrain" not in words
    assert "injur" not in words
    assert "tendin" not in words


# --- attendance, blocks, odd data ---------------------------------------------------


def attended(**days: bool) -> list[Attendance]:
    return [Attendance(day(int(key[1:])), f"Session {key}", done) for key, done in days.items()]


@pytest.mark.parametrize(
    ("attendance", "flagged"),
    [
        (attended(d8=True, d10=False, d12=False), True),
        (attended(d8=True, d10=True, d12=False), False),
        (attended(d1=False, d3=True, d8=True, d10=False), True),
        (attended(d1=False, d3=False, d8=True, d10=True), False),
        (attended(d12=False, d14=False), False),  # the second is planned for today
        ([], False),
    ],
)
def test_two_missed_in_a_week_or_two_weeks_running_are_flagged(attendance, flagged):
    finding = find_missed_sessions(attendance, today=day(14))

    assert (finding is not None) == flagged


def test_a_deload_is_due_from_four_weeks():
    # Rogerson 2024: every 5.6 +/- 2.3 weeks; 4 to 6 weeks is common practice.
    early, soon, due = (deload_due(weeks) for weeks in (3.5, 4, 6))

    assert early is None
    assert soon is not None
    assert "may be due" in soon.sentence
    assert due is not None
    assert "plan one now" in due.sentence


@pytest.mark.parametrize(("left", "words"), [(7, "ends on Monday"), (-1, "ended on Sunday")])
def test_a_block_is_said_to_end_in_its_last_week(left, words):
    finding = block_ends(day(left), today=day(0))

    assert finding is not None
    assert words in finding.sentence
    assert block_ends(day(8), today=day(0)) is None


@pytest.mark.parametrize(
    "sessions",
    [
        [],
        [make_logged_session()],
        [make_logged_session(make_sets(PUSH_UP, (0, 0), targets=(5, 5)))],
        [make_logged_session(make_sets(PUSH_UP, (5,), load=-3))],
        [make_logged_session(make_sets(PUSH_UP, (5,)), body_weight=0)],
        [make_logged_session(make_sets(PUSH_UP, (5,)), on=day(0)) for _ in range(6)],
        [make_logged_session(make_sets(PULL_UP, (0,), warm_up=True))],
    ],
)
def test_odd_logs_are_read_without_failing(sessions):
    found = read_signals(sessions, (), today=MONDAY)

    assert all(one.kind in {FindingKind.HOLDING, FindingKind.PROGRESSING} for one in found)
