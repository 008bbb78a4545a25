"""The scoring of the detection bench, on small cases that can be counted by hand."""

from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from tests.benchmarks.signals.__main__ import main
from tests.benchmarks.signals.ability_model import AbilityModel
from tests.benchmarks.signals.calendar import LEAD_DAYS
from tests.benchmarks.signals.detector import (
    ClientLog,
    ExerciseReading,
    Reading,
    looks_ahead,
)
from tests.benchmarks.signals.oracle import Oracle
from tests.benchmarks.signals.people import Kind
from tests.benchmarks.signals.scoring import (
    Decide,
    Read,
    calibration,
    choose_threshold,
    false_alarm_rate,
    learn_chances,
    overreaching_days,
    read_all,
    score_detection,
)
from tests.benchmarks.signals.simple_rules import (
    SIMPLE_RULES,
    Best,
    cusum,
    falling_mann_kendall,
    sessions_without_best,
    two_falls,
    under_mean_of_three,
)
from tests.benchmarks.signals.simulator import SimulatedClient, cohort, simulate
from tests.benchmarks.signals.stalls import (
    best_stall_threshold,
    score_own_drops,
    score_stalls,
    stall_points,
)
from tests.benchmarks.signals.truth import Episode
from tests.rules.examples import MONDAY


@cache
def fallen() -> SimulatedClient:
    """A client of forty weeks with an episode."""
    made = (simulate(Kind.INTERMEDIATE, n, weeks=40) for n in range(50))
    return next(c for c in made if c.truth.episodes)


def reading_where(client: SimulatedClient, suspicious) -> Read:
    """A detector that suspects overreaching on the days for which the function holds."""
    return Read(
        client,
        [Reading(s.on, 1.0 if suspicious(s.on) else 0.0) for s in client.log.sessions],
    )


def first_episode() -> Episode:
    return fallen().truth.episodes[0]


# --- alarms --------------------------------------------------------------------------


def test_who_is_always_suspicious_is_alarmed_every_two_weeks():
    read = reading_where(fallen(), lambda _on: True)

    days = read.alarms(1.0, Decide.SESSION)

    assert all((b - a).days >= 14 for a, b in pairwise(days))
    assert days[0] >= MONDAY + timedelta(days=LEAD_DAYS)
    assert len(days) > 10


def test_who_knows_the_truth_finds_every_episode_without_a_false_alarm():
    def known(on: date) -> bool:
        return any(e.onset <= on < e.recovery_from for e in fallen().truth.episodes)

    found = score_detection([reading_where(fallen(), known)], 1.0, Decide.SESSION)

    assert found.within_14 == 1
    assert found.within_7 == 1
    assert found.false_a_year == 0
    assert found.precision == 1
    assert found.delay is not None
    assert found.delay <= 6


def test_an_alarm_before_the_fall_is_false_and_finds_nothing():
    early = [s.on for s in fallen().log.sessions if s.on < first_episode().onset][-1]
    read = reading_where(fallen(), lambda on: on == early)

    found = score_detection([read], 1.0, Decide.SESSION)

    assert found.within_14 == 0
    assert found.precision == 0
    assert found.false_a_year == pytest.approx(1 / read.years)


def test_an_alarm_during_recovery_is_neither_false_nor_a_detection():
    episode = first_episode()
    late = [
        s.on for s in fallen().log.sessions if episode.recovery_from <= s.on < episode.recovered_on
    ]
    read = reading_where(fallen(), lambda on: on == late[0])

    found = score_detection([read], 1.0, Decide.SESSION)

    assert found.within_14 == 0
    assert found.false_a_year == 0
    assert found.precision == 1


def test_a_week_is_decided_on_the_monday_after_from_its_last_reading():
    read = reading_where(fallen(), lambda on: on == first_episode().onset)
    days, scores = read.by_week

    assert all(on.weekday() == 0 for on in days)
    assert len(days) == len({(on - timedelta(days=1)).isocalendar()[:2] for on in days})
    assert set(scores.tolist()) <= {0.0, 1.0}


def test_the_threshold_keeps_the_budget_and_a_lower_one_would_not():
    clients = cohort(range(2), weeks=30)
    reads = read_all(SIMPLE_RULES[0], clients)

    threshold = choose_threshold(reads, Decide.SESSION)

    assert false_alarm_rate(reads, threshold, Decide.SESSION) <= 1
    seen = np.unique(np.concatenate([r.by_session[1] for r in reads]))
    lower = float(seen[np.searchsorted(seen, threshold) - 1])
    assert false_alarm_rate(reads, lower, Decide.SESSION) > 1


def test_a_detector_that_skips_a_session_is_refused():
    class Lazy:
        name = "lazy"

        def read(self, log: ClientLog) -> list[Reading]:
            return [Reading(s.on, 0.0) for s in log.sessions[1:]]

    with pytest.raises(ValueError, match="one reading for every session"):
        read_all(Lazy(), [fallen()])


def test_who_looks_ahead_is_found():
    class Cheat:
        name = "cheat"

        def read(self, log: ClientLog) -> list[Reading]:
            return [Reading(s.on, float(len(log.sessions))) for s in log.sessions]

    assert looks_ahead(Cheat(), fallen().log, sessions=[20, 30]) == [20, 30]
    for rule in SIMPLE_RULES:
        assert looks_ahead(rule, fallen().log, sessions=[20, 41]) == []


# --- probabilities ---------------------------------------------------------------------


def test_brier_score_and_calibration_of_a_case_counted_by_hand():
    # Brier 1950: mean of squared differences. (0.01 + 0.01 + 0.64 + 0.04) / 4 = 0.175;
    # bins 0.1 (one of two true) and 0.8 (both): (2 x 0.35 + ...) see below.
    said = np.array([0.1, 0.1, 0.2, 0.8])
    true = np.array([False, False, True, True])

    found = calibration(said, true)

    assert found.brier == pytest.approx((0.01 + 0.01 + 0.64 + 0.04) / 4)
    assert found.error == pytest.approx((2 * 0.1 + 1 * 0.8 + 1 * 0.2) / 4)
    assert [row.days for row in found.table] == [2, 1, 1]


def test_calibration_agrees_with_a_general_library_on_squares():
    random = np.random.default_rng(5)
    said = random.random(4000)
    true = random.random(4000) < said

    found = calibration(said, true)

    # Drawn by their own probabilities: mean of p(1 - p) over 0 to 1 is 1/6.
    assert found.brier == pytest.approx(1 / 6, abs=0.01)
    assert found.error < 0.03


def test_chances_learned_from_scores_agree_with_scipys_isotonic_regression():
    from scipy.optimize import isotonic_regression  # noqa: PLC0415 - only this check needs it

    random = np.random.default_rng(6)
    scores = np.sort(random.random(300))
    true = random.random(300) < scores

    learned = learn_chances(scores, true)

    expected = isotonic_regression(true.astype(float)).x
    assert learned(scores) == pytest.approx(expected)


def test_days_of_recovery_are_left_out_of_calibration():
    episode = first_episode()
    readings, labels = overreaching_days([reading_where(fallen(), lambda _on: False)])
    by_day = {r.on: bool(label) for r, label in zip(readings, labels, strict=True)}

    assert not any(episode.recovery_from <= on < episode.recovered_on for on in by_day)
    assert all(by_day[on] for on in by_day if episode.onset <= on < episode.recovery_from)
    assert not all(by_day.values())


# --- single exercises -----------------------------------------------------------------


def test_precision_recall_and_f1_of_a_case_counted_by_hand():
    said = np.array([0.9, 0.8, 0.3, 0.2, float("-inf")])
    true = np.array([True, False, True, False, False])

    found = score_stalls(said, true, 0.5)

    assert (found.precision, found.recall, found.f1) == (0.5, 0.5, 0.5)
    assert best_stall_threshold(said, true) == pytest.approx(0.3)


def test_who_knows_the_stalls_tells_them_all():
    client = fallen()
    keys = {s.exercise.key for x in client.log.sessions for s in x.sets}
    spans = client.truth.stalls

    def stalled(key: str, on: date) -> float:
        return float(any(s.exercise == key and s.since <= on < s.until for s in spans))

    read = Read(
        client,
        [
            Reading(s.on, 0.0, exercises={k: ExerciseReading(stalled(k, s.on)) for k in keys})
            for s in client.log.sessions
        ],
    )
    said, true = stall_points([read])

    assert true.any()
    assert not true.all()
    assert score_stalls(said, true, 1.0).f1 == 1


def test_a_drop_of_one_exercise_is_named_or_falsely_named():
    made = (simulate(Kind.ADVANCED, n, weeks=40) for n in range(50))
    client = next(c for c in made if c.truth.own_drops)
    drop = client.truth.own_drops[0]
    last = drop.onset + timedelta(days=21)

    def naming(key: str) -> Read:
        readings = [
            Reading(
                s.on,
                0.0,
                exercises={key: ExerciseReading(0.0, float(drop.onset <= s.on <= last))},
            )
            for s in client.log.sessions
        ]
        return Read(client, readings)

    right, wrong = (score_own_drops([naming(key)]) for key in (drop.exercise, "another"))

    assert right is not None
    assert wrong is not None
    assert (right.named, right.false_a_year) == (1, 0)
    assert wrong.named == 0
    assert wrong.false_a_year > 0


# --- simple rules --------------------------------------------------------------------


def bests(*values: float) -> list[Best]:
    return [Best(MONDAY + timedelta(days=3 * i), v) for i, v in enumerate(values)]


def test_two_falls_in_a_row_count_by_the_smaller():
    assert two_falls(bests(1.0, 0.9, 0.85)) == pytest.approx(0.05)
    assert two_falls(bests(1.0, 0.9, 0.95)) < 0


def test_five_percent_under_the_mean_of_three():
    assert under_mean_of_three(bests(1.0, 1.02, 0.98, 0.95)) == pytest.approx(0.05)


def test_mann_kendall_counts_all_fifteen_pairs_of_six_that_only_fall():
    # Mann 1945: six values have 15 pairs; the slope decides between equals.
    assert falling_mann_kendall(bests(6, 5, 4, 3, 2, 1)) == pytest.approx(15.49)


def test_cusum_adds_up_a_fall_and_stays_at_nothing_without_one():
    steady = bests(1.00, 1.01, 1.00, 1.01, 1.00, 1.01, 1.00, 1.01, 1.00, 1.01)
    falling = [*steady[:6], *bests(0.95, 0.94, 0.94, 0.93)]

    assert cusum(steady) < 1
    assert cusum(falling) > 5


def test_sessions_since_the_best():
    assert sessions_without_best(bests(1, 3, 2, 2)) == 2


def test_the_model_reads_every_session_and_never_ahead():
    client = simulate(Kind.RESERVE, 2, weeks=11)
    model = AbilityModel()

    readings = model.read(client.log)

    assert [r.on for r in readings] == [s.on for s in client.log.sessions]
    assert all(0 <= (r.probability or 0) <= 1 for r in readings)
    assert any(r.exercises for r in readings)
    assert looks_ahead(model, client.log, sessions=[12, 22]) == []


def test_the_limit_is_sure_of_a_deep_fall_and_of_a_steady_client_and_never_looks_ahead():
    made = cache(lambda n: simulate(Kind.RESERVE, n, weeks=26))
    deep = next(c for c in map(made, range(30)) if any(e.depth > 0.11 for e in c.truth.episodes))
    steady = next(c for c in map(made, range(30)) if not c.truth.episodes)
    episode = next(e for e in deep.truth.episodes if e.depth > 0.11)
    oracle = Oracle.of([deep, steady])

    fallen_days = [
        r for r in oracle.read(deep.log) if episode.full_on <= r.on < episode.recovery_from
    ]
    steady_days = oracle.read(steady.log)

    assert max(r.probability or 0 for r in fallen_days) > 0.9
    assert sum((r.probability or 0) > 0.5 for r in steady_days) <= 0.02 * len(steady_days)
    assert looks_ahead(oracle, deep.log, sessions=[25, 50]) == []


def test_the_table_prints_every_chosen_rule(capsys):
    main(["--clients", "1", "--only", "Mann-Kendall", "everything"])

    printed = capsys.readouterr().out
    assert "Mann-Kendall of six, mean" in printed
    assert "made-up testing clients" in printed
    assert "everything is stalled" in printed
