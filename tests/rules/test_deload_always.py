"""What holds for the light week of every usual week."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.rules.deload import DeloadProposal, Wishes, light_week
from coaching.rules.plan import Muscle, Part, Pattern, PlannedWeek, Prescription
from coaching.rules.volume import planned_week_volume
from tests.rules.examples import day, make_exercise, make_session, make_week
from tests.rules.usual_weeks import (
    CUFF,
    DIP,
    NEXT_MONDAY,
    PULL_UP,
    PUSH_UP,
    ROW,
    SQUAT,
    light_prescriptions,
    planned,
    usual_week,
)


@settings(max_examples=30)
@given(
    days=st.integers(5, 10),
    wished=st.dictionaries(st.integers(0, 2), st.integers(0, 4), max_size=3),
)
def test_sessions_stand_on_the_wished_days_and_the_others_beside_them(days, wished):
    wished = {at: on for at, on in wished.items() if list(wished.values()).count(on) == 1}
    on = {f"session-{at}": offset for at, offset in wished.items()}

    week = light_week(usual_week(), starts_on=NEXT_MONDAY, days=days, wishes=Wishes(on=on)).week

    found = {s.key: (s.on - NEXT_MONDAY).days for s in week.sessions}
    assert on.items() <= found.items()
    assert len(set(found.values())) == len(found) == 3
    assert all(0 <= offset < days for offset in found.values())
    assert [s.on for s in week.sessions] == sorted(s.on for s in week.sessions)


@st.composite
def weeks(draw) -> PlannedWeek:
    """Weeks of paired work as coaches write them: 2-4 sessions of 2-3 pairs, perhaps more."""
    pushes = [
        PUSH_UP,
        DIP,
        make_exercise("press", muscles={Muscle.FRONT_DELT: 1, Muscle.CHEST: 0.5}),
    ]
    pulls = [PULL_UP, ROW, make_exercise("curl", Pattern.PULL, muscles={Muscle.BICEPS: 1})]
    sessions = []
    for at in range(draw(st.integers(2, 4))):
        pairs = []
        for place in range(draw(st.integers(2, 3))):
            sets = draw(st.integers(3, 5))
            reps = st.integers(5, 12)
            rir = draw(st.sampled_from([None, 0, 1, 2, 3, 5]))
            load = float(draw(st.integers(0, 20)))
            pairs.append(
                [
                    planned(e, (draw(reps),) * sets, at, load=load, rir=rir)
                    for e in (pushes[place], pulls[place])
                ]
            )
        if draw(st.booleans()):
            pairs.append([planned(SQUAT, (draw(st.integers(5, 12)),) * 3, at)])
        if draw(st.booleans()):
            pairs.append([planned(CUFF, (8,) * 4, at, part=Part.PREHAB)])
        sessions.append(make_session(*pairs, on=day(2 * at), key=f"s{at}"))
    return make_week(*sessions)


@settings(max_examples=40)
@given(usual=weeks(), share=st.sampled_from([0.35, 0.4, 0.5, 0.6]))
def test_every_light_week_holds_shares_balance_loads_and_goals(usual, share):
    keep = frozenset({"pull-up", "press"})

    proposal = light_week(usual, starts_on=NEXT_MONDAY, share=share, keep=keep)

    light = light_prescriptions(proposal)
    before = {p.key: p for session in usual.sessions for p in session.prescriptions}
    reps = sum(p.reps for p in light.values()) / sum(p.reps for p in before.values())
    assert abs(reps - share) <= 0.05 + 1e-9
    assert abs(proposal.share - reps) < 1e-12
    assert proposal.push_sets == proposal.pull_sets
    # Where the usual week leans, the shares may keep some of the lean, never more of it.
    assert abs(proposal.push_reps - proposal.pull_reps) <= 1 + share * lean_of(before.values())
    assert proposal.unmet == ()
    assert_muscles_hold(usual, proposal, share)
    assert {k for k, p in before.items() if p.exercise.key in keep} <= light.keys()
    assert len(proposal.week.sessions) == len(usual.sessions)
    for key, now in light.items():
        assert now.load == before[key].load
        assert now.rir is not None
        assert now.rir >= (before[key].rir or 0)
        assert max(now.targets) <= max(before[key].targets)
        assert now.sets <= before[key].sets


def lean_of(usual: Iterable[Prescription]) -> int:
    sides = {Pattern.PUSH: 1, Pattern.PULL: -1}
    return abs(sum(sides.get(p.exercise.pattern, 0) * p.reps for p in usual))


def assert_muscles_hold(usual: PlannedWeek, proposal: DeloadProposal, share: float) -> None:
    before = planned_week_volume(usual, body_weight=75)
    after = planned_week_volume(proposal.week, body_weight=75)
    for muscle, volume in before.items():
        if volume.fractional_sets >= 6 and muscle is not Muscle.ROTATOR_CUFF:
            got = after[muscle].fractional_reps / volume.fractional_reps
            assert abs(got - share) <= 0.05 + 1e-9, muscle


@settings(max_examples=30)
@given(starts=st.integers(0, 6), begins=st.integers(0, 6))
def test_a_light_week_from_any_day_on_keeps_training_on_its_weekdays(starts, begins):
    """Whether the usual weeks begin in the middle of a week, or the light one does."""
    usual = replace(usual_week(), starts_on=usual_week().starts_on - timedelta(days=begins))
    first = NEXT_MONDAY + timedelta(days=starts)

    week = light_week(usual, starts_on=first).week

    # A usual week from Friday to Thursday holds the same sessions as one from Monday on.
    weekdays = {session.key: session.on.weekday() for session in usual.sessions}
    in_a_week = all(s.on - usual.starts_on < timedelta(weeks=1) for s in usual.sessions)
    assert all(first <= session.on < first + timedelta(weeks=1) for session in week.sessions)
    if in_a_week:
        assert {s.key: s.on.weekday() for s in week.sessions} == weekdays
