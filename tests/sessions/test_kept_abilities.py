"""A client is followed on from where the last reading stopped, and anew when the log was changed."""

from dataclasses import replace

import pytest

from coaching.rules.ability import Ability, believe
from sessions import kept_abilities
from sessions.kept_abilities import followed, forget_abilities
from tests.rules.simulated_client import SimulatedClient

SESSIONS = SimulatedClient(3).sessions(6)


@pytest.fixture(autouse=True)
def taken(monkeypatch):
    """Days of the sessions that were read."""
    days = []
    take = Ability.take

    def counted(self, session):
        days.append(session.on)
        take(self, session)

    monkeypatch.setattr(Ability, "take", counted)
    forget_abilities()
    yield days
    forget_abilities()


def test_only_new_sessions_are_read_and_the_belief_is_the_same(taken):
    followed(1, SESSIONS[:-1])
    taken.clear()

    ability = followed(1, SESSIONS)

    assert taken == [SESSIONS[-1].on]
    assert ability.believed == believe(SESSIONS)


def test_a_corrected_set_is_followed_anew():
    followed(1, SESSIONS)
    first = SESSIONS[0]
    sets = (replace(first.sets[0], amount=first.sets[0].amount + 1), *first.sets[1:])
    corrected = [replace(first, sets=sets), *SESSIONS[1:]]

    assert followed(1, corrected).believed == believe(corrected)


def test_what_the_caller_adds_is_the_callers_own(taken):
    followed(1, SESSIONS[:-1]).take(SESSIONS[-1])

    assert followed(1, SESSIONS[:-1]).believed == believe(SESSIONS[:-1])


def test_an_older_week_is_read_rightly_and_costs_the_newer_one_nothing(taken):
    followed(1, SESSIONS)

    assert followed(1, SESSIONS[:5]).believed == believe(SESSIONS[:5])
    taken.clear()
    followed(1, SESSIONS)

    assert taken == []


def test_no_more_than_so_many_are_kept(monkeypatch):
    monkeypatch.setattr(kept_abilities, "KEPT_AT_MOST", 2)
    for client in range(5):
        followed(client, SESSIONS[:1])

    assert len(kept_abilities._KEPT) <= 2
