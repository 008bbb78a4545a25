"""Judge detectors on training and testing clients, and write the table."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from tests.benchmarks.signals.detector import Detector
from tests.benchmarks.signals.scoring import (
    Calibration,
    Decide,
    Detection,
    Read,
    calibration,
    choose_threshold,
    false_alarm_rate,
    learn_chances,
    overreaching_days,
    read_all,
    score_detection,
)
from tests.benchmarks.signals.simulator import SimulatedClient
from tests.benchmarks.signals.stalls import (
    OwnDropScore,
    StallScore,
    best_stall_threshold,
    score_own_drops,
    score_stalls,
    stall_points,
)


@dataclass(frozen=True)
class Row:
    """Everything the table says of one detector, on the testing clients."""

    name: str
    by_session: Detection
    by_week: Detection
    untuned: float | None  # false alarms a year at the threshold coaches use
    raw: Calibration | None  # probabilities as given
    learned: Calibration  # learned from the score on the training clients
    stalls: StallScore | None
    own_drops: OwnDropScore | None
    milliseconds: float  # a client


def judge(
    detector: Detector,
    training: Sequence[SimulatedClient],
    testing: Sequence[SimulatedClient],
) -> Row:
    """Choose thresholds on the training clients, apply them to the testing clients."""
    started = time.perf_counter()
    before, after = read_all(detector, training), read_all(detector, testing)
    spent = 1000 * (time.perf_counter() - started) / (len(training) + len(testing))
    detections = {}
    for decide in Decide:
        threshold = 1.0 if _says_yes_or_no(before) else choose_threshold(before, decide)
        detections[decide] = score_detection(after, threshold, decide)
    untuned = getattr(detector, "untuned", None)
    raw, learned = _calibrations(before, after)
    return Row(
        name=detector.name,
        by_session=detections[Decide.SESSION],
        by_week=detections[Decide.WEEK],
        untuned=None if untuned is None else false_alarm_rate(after, untuned, Decide.SESSION),
        raw=raw,
        learned=learned,
        stalls=_stalls(before, after),
        own_drops=score_own_drops(after),
        milliseconds=spent,
    )


def _says_yes_or_no(reads: Sequence[Read]) -> bool:
    return {r.score for read in reads for r in read.judged} <= {0.0, 1.0}


def _calibrations(
    before: Sequence[Read], after: Sequence[Read]
) -> tuple[Calibration | None, Calibration]:
    """Probabilities as they were given, and as learned from the score elsewhere."""
    known, was = overreaching_days(before)
    later, true = overreaching_days(after)
    learned = learn_chances(np.array([r.score for r in known]), was)
    said = [r.probability for r in later]
    given = [p for p in said if p is not None]
    raw = calibration(np.array(given), true) if len(given) == len(said) else None
    return raw, calibration(learned(np.array([r.score for r in later])), true)


def _stalls(before: Sequence[Read], after: Sequence[Read]) -> StallScore | None:
    said, true = stall_points(before)
    if not np.isfinite(said).any():
        return None
    yes_or_no = set(said[np.isfinite(said)].tolist()) == {0.0, 1.0}
    threshold = 1.0 if yes_or_no else best_stall_threshold(said, true)
    return score_stalls(*stall_points(after), threshold)


def show(rows: Sequence[Row], testing: Sequence[SimulatedClient]) -> str:
    """The tables as text."""
    parts = [
        _heading(rows, testing),
        _table(rows, "after every session"),
        _table(rows, "weekly"),
        _others(rows),
        _kinds(rows),
        *(_reliability(row) for row in rows if row.raw is not None),
    ]
    return "\n\n".join(parts)


def _heading(rows: Sequence[Row], testing: Sequence[SimulatedClient]) -> str:
    episodes = sum(len(c.truth.episodes) for c in testing)
    own = sum(len(c.truth.own_drops) for c in testing)
    sessions = sum(len(c.log.sessions) for c in testing)
    error = sqrt(0.25 / max(1, episodes))
    return (
        f"{len(testing)} made-up testing clients, {sessions} sessions, {episodes} episodes of "
        f"overreaching, {own} drops of one exercise. Thresholds: one false alarm a client-year on "
        f"other clients. Standard error of a share about half: {error:.2f}. Made up: good "
        f"for comparing, not for promising."
    )


def _table(rows: Sequence[Row], decided: str) -> str:
    lines = [
        f"Overreaching, decided {decided}",
        f"{'':36} {'14 d':>5} {'7 d':>5} {'delay':>6} {'onset±':>6} {'false/y':>8} "
        f"{'precis.':>8} {'own drop':>9} {'untuned/y':>10}",
    ]
    for row in rows:
        one = row.by_session if decided != "weekly" else row.by_week
        if one.threshold == float("inf"):
            continue
        lines.append(
            f"{row.name:36} {_two(one.within_14):>5} {_two(one.within_7):>5} "
            f"{_two(one.delay, 0):>6} {_two(one.onset_error, 0):>6} {one.false_a_year:8.2f} "
            f"{_two(one.precision):>8} {_two(one.own_called_shared):>9} {_two(row.untuned, 1):>10}"
        )
    return "\n".join(lines)


def _others(rows: Sequence[Row]) -> str:
    lines = [
        "Probabilities (raw as given, learned from the score), stalls, drops of one exercise, time",
        f"{'':36} {'Brier':>6} {'error':>6} | {'Brier':>6} {'error':>6} | {'F1':>5} {'prec.':>5} "
        f"{'rec.':>5} {'share':>5} | {'named':>7} {'false/y':>7} | {'ms':>6}",
    ]
    for row in rows:
        raw, stalls, own = row.raw, row.stalls, row.own_drops
        share = stalls.stalled / stalls.judged if stalls else None
        cells = [
            f"{row.name:36}",
            f"{_two(raw.brier if raw else None, 3):>6} {_two(raw.error if raw else None, 3):>6} |",
            f"{row.learned.brier:6.3f} {row.learned.error:6.3f} |",
            f"{_two(stalls.f1 if stalls else None):>5}",
            f"{_two(stalls.precision if stalls else None):>5}",
            f"{_two(stalls.recall if stalls else None):>5} {_two(share):>5} |",
            f"{f'{own.named}/{own.drops}' if own else '-':>7}",
            f"{_two(own.false_a_year if own else None):>7} |",
            f"{row.milliseconds:6.0f}",
        ]
        lines.append(" ".join(cells))
    return "\n".join(lines)


def _kinds(rows: Sequence[Row]) -> str:
    kinds = sorted({kind for row in rows for kind in row.by_session.by_kind})
    lines = ["Found within 14 days after every session, by kind of client"]
    lines += [f"  {number}. {kind}" for number, kind in enumerate(kinds, start=1)]
    lines.append(f"{'':36}" + "".join(f"{n:>8}" for n in range(1, len(kinds) + 1)))
    for row in rows:
        if row.by_session.threshold == float("inf"):
            continue
        cells = [row.by_session.by_kind.get(kind, (0, 0)) for kind in kinds]
        lines.append(f"{row.name:36}" + "".join(f"{f'{a}/{b}':>8}" for a, b in cells))
    return "\n".join(lines)


def _reliability(row: Row) -> str:
    lines = [f"Reliability of {row.name}: said, came true, days"]
    if row.raw is not None:
        lines += [f"  {r.said:.2f}  {r.true:.2f}  {r.days}" for r in row.raw.table]
    return "\n".join(lines)


def _two(value: float | None, places: int = 2) -> str:
    return "-" if value is None else f"{value:.{places}f}"
