"""A usual week of paired work, to be lightened."""

from collections.abc import Sequence
from datetime import timedelta

from coaching.rules.deload import DeloadProposal
from coaching.rules.plan import Exercise, Measure, Muscle, Part, Pattern, PlannedWeek, Prescription
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_session,
    make_week,
)

NEXT_MONDAY = MONDAY + timedelta(days=7)
PUSH_UP = make_exercise()
PULL_UP = make_pull_up()
DIP = make_exercise("dip", body_share=1.0, muscles={Muscle.CHEST: 1.0, Muscle.TRICEPS: 0.5})
ROW = make_exercise(
    "row", Pattern.PULL, muscles={Muscle.UPPER_BACK: 1.0, Muscle.LATS: 0.5, Muscle.BICEPS: 0.5}
)
SQUAT = make_exercise("squat", Pattern.LEGS, muscles={Muscle.QUADRICEPS: 1.0, Muscle.GLUTES: 0.5})
CUFF = make_exercise("external-rotation", Pattern.PREHAB, muscles={Muscle.ROTATOR_CUFF: 1.0})
PLANK = make_exercise("plank", Pattern.CORE, measure=Measure.SECONDS, muscles={Muscle.ABS: 1.0})


def planned(exercise: Exercise, targets: Sequence[int], at: int, **more) -> Prescription:
    return make_prescription(exercise, targets, key=f"{exercise.key}-{at}", **more)


def usual_session(at: int, offset: int, *, rir: int | None = 2, load: float = 5):
    return make_session(
        (
            planned(PUSH_UP, (7,) * 5, at, load=load, rir=rir),
            planned(PULL_UP, (6,) * 5, at, load=load, rir=rir),
        ),
        (
            planned(DIP, (9,) * 3, at, part=Part.SUPPLEMENTARY, rir=1),
            planned(ROW, (10,) * 3, at, part=Part.SUPPLEMENTARY, rir=1),
        ),
        planned(SQUAT, (10, 10, 10), at, load=20, part=Part.SUPPLEMENTARY),
        planned(CUFF, (8,) * 4, at, load=3, part=Part.PREHAB),
        planned(PLANK, (40, 40, 40), at, part=Part.ISOLATION),
        on=day(offset),
        key=f"session-{at}",
        name=f"Session {at + 1}",
    )


def usual_week(sessions: int = 3) -> PlannedWeek:
    return make_week(*(usual_session(at, at * 7 // sessions) for at in range(sessions)))


def light_prescriptions(proposal: DeloadProposal) -> dict[str, Prescription]:
    return {p.key: p for session in proposal.week.sessions for p in session.prescriptions}
