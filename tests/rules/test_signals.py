"""What a log says: constructed clients whose course is known.

The simulated clients are made up (``simulated_client``). They show that the rules do what
they say on such data; how often the rules are right in life they do not show.
"""

from datetime import date

import pytest

from coaching.rules.ability import read_ability
from coaching.rules.findings import FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.plan import WeekKind
from coaching.rules.signals import read_signals
from coaching.rules.watchfulness import threshold_for
from tests.rules.courses import FALL_DAY, FOUR, PULL_UP, PUSH_UP, found_on, of_kind, signals_of
from tests.rules.examples import MONDAY, day, make_logged_session, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop


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

    for found in found_on(client, (day(FALL_DAY + 6), day(FALL_DAY + 13))):
        assert of_kind(found, FindingKind.OVERREACHING) == []


@pytest.mark.parametrize("seed", range(5))
def test_a_weak_return_after_an_absence_is_not_overreaching(seed):
    back = FALL_DAY
    client = SimulatedClient(
        seed, away=range(back - 14, back), change=drop(back, 0.08, FOUR | {"squat"}, length=10)
    )

    for found in found_on(client, map(day, range(back, back + 14))):
        assert of_kind(found, FindingKind.OVERREACHING) == []


@pytest.mark.parametrize("seed", range(5))
def test_one_bad_day_is_not_overreaching(seed):
    def bad_day(on: int, _key: str) -> float:
        return -0.15 if on == FALL_DAY else 0.0

    client = SimulatedClient(seed, change=bad_day)

    for found in found_on(client, map(day, range(FALL_DAY, FALL_DAY + 14))):
        assert of_kind(found, FindingKind.OVERREACHING) == []


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


def test_no_finding_names_a_diagnosis():
    client = SimulatedClient(3, change=drop(FALL_DAY, 0.10, FOUR))

    words = " ".join(
        f"{one.sentence} {one.could_not_know} {one.question}" for one in signals_of(client)
    ).lower()

    assert "overtrain" not in words
    assert "injur" not in words
    assert "tendin" not in words


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
