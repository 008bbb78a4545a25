"""Constructed courses of a log, and what is found in them."""

from collections.abc import Iterable, Sequence
from datetime import date

from coaching.rules.ability import read_ability
from coaching.rules.exposures import ExposureReader
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.signals import read_signals
from tests.rules.examples import day, make_exercise, make_logged_session, make_pull_up, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient

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


def found_on(
    client: SimulatedClient, days: Iterable[date], weeks: int = 14
) -> list[tuple[Finding, ...]]:
    """What is found on each day; the log is followed once, as it is from week to week."""
    sessions = client.sessions(weeks)
    followed, reader = read_ability(sessions), ExposureReader()
    return [
        read_signals(
            sessions,
            (),
            today=today,
            believed=[one for one in followed if one.on <= today][-1],
            reader=reader,
        )
        for today in days
    ]


def course(*amounts: Sequence[int], every: int = 4, targets=None, rir=None, load=0.0):
    """Sessions of one pull-up exercise, ``every`` so many days."""
    return [
        make_logged_session(
            make_sets(PULL_UP, reps, load, targets=targets or reps, rir=rir), on=day(every * i)
        )
        for i, reps in enumerate(amounts)
    ]
