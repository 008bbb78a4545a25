"""What happens to the invented clients: a day's strength, effort, pain and slips."""

import random
from dataclasses import dataclass
from datetime import date

from coaching.rules import plan
from demo_fixtures.people import DemoClient, Story
from demo_fixtures.words import REASONS

FELL_DAYS_AGO = 11
HURTS_SINCE_DAYS = 9
ILL_FROM, ILL_UNTIL = 38, 15
STALLED_DAYS = 49
STALLED_AT = 0.955


@dataclass(frozen=True)
class Day:
    """How one day goes: strength against usual, effort beyond usual, and a word."""

    person: DemoClient
    strength: float = 1.0
    effort: float = 0.0
    note: str = ""
    hurts: int = 0
    pain_where: str = ""
    stalled_weeks: float = 0.0

    def stalls(self, asked: plan.Prescription) -> bool:
        """Whether this exercise has stopped moving: the first pull of the week."""
        pull = asked.exercise.pattern is plan.Pattern.PULL
        return self.stalled_weeks > 0 and pull and asked.part is plan.Part.PRIMARY

    def lost_weeks(self, asked: plan.Prescription) -> float:
        """How many weeks of progress an exercise that has stopped moving did not get."""
        return self.stalled_weeks if self.stalls(asked) else 0.0

    def local(self, asked: plan.Prescription) -> float:
        """What a painful joint, or a stall, takes from an exercise."""
        if self.stalls(asked):
            return STALLED_AT
        return 0.93 if self.pain(asked) else 1.0

    def pain(self, asked: plan.Prescription) -> int | None:
        """Pain of 10 on the exercises that push."""
        pushes = asked.exercise.pattern is plan.Pattern.PUSH and asked.exercise.multi_joint
        return self.hurts if self.hurts and pushes else None

    def attempts(self, asked: plan.Prescription, target: int, number: int) -> int:
        """How many the client goes for: most stop at the target."""
        reps = asked.exercise.measure is plan.Measure.REPS
        if self.person.story is Story.PACING and reps and asked.sets > 2:
            return target + 3 if number == 1 else target + 1
        return target

    def gives_out(self, asked: plan.Prescription, number: int) -> bool:
        """Whether the last repetition of a set fails: ever more sets of a stalled exercise."""
        short = 2 if self.stalled_weeks < 5 else 3
        return self.stalls(asked) and asked.sets > 3 and number > asked.sets - short

    def forgets(self, rng: random.Random) -> bool:
        """Whether a set is never written down."""
        return self.person.story is Story.CARELESS and rng.random() < 0.15

    def typed(self, reps: int, rng: random.Random) -> int:
        """What is typed in, which is not always what was done."""
        slips = self.person.story is Story.CARELESS and rng.random() < 0.01
        return reps * 11 if slips else reps


def day_of(person: DemoClient, on: date, today: date) -> Day:
    """The day as the client's story has it."""
    ago = (today - on).days
    if person.story is Story.OVERREACHING and ago <= FELL_DAYS_AGO:
        fallen = 0.125 * min(1.0, (FELL_DAYS_AGO - ago + 2) / 6)
        note = "Slept badly again, everything feels heavy." if ago <= 3 else ""
        return Day(person, 1 - fallen, effort=1 + 10 * fallen, note=note)
    if person.story is Story.SHOULDER and ago <= HURTS_SINCE_DAYS:
        hurts = 4 if ago > 4 else 6
        note = "Left shoulder pinches when I lower." if ago <= 4 else ""
        return Day(person, effort=0.5, note=note, hurts=hurts, pain_where="left shoulder")
    if person.story is Story.RETURNER and ago < ILL_UNTIL:
        return Day(person, 0.96, effort=1, note="Good to be back." if ago > 10 else "")
    if person.story is Story.STALL and ago < STALLED_DAYS:
        return Day(person, stalled_weeks=(STALLED_DAYS - ago) / 7)
    return Day(person)


def misses(person: DemoClient, on: date, today: date, rng: random.Random) -> str | None:
    """Why a session was not done: a reason, "" when nobody said, None when it was done."""
    ago = (today - on).days
    if person.story is Story.RETURNER and ILL_UNTIL <= ago <= ILL_FROM:
        return "ill" if ago > ILL_FROM - 6 else ""
    if person.story is Story.MISSING and ago <= 12:
        return "late shifts" if ago in range(5, 9) else ""
    if person.story is Story.CARELESS and rng.random() < 0.12:
        return ""
    if person.story is Story.OVERREACHING and ago < 30:
        return None
    return rng.choice(REASONS) if rng.random() < 0.025 else None
