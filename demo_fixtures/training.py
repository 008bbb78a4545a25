"""Months of invented training: targets that follow the trade's rules, logs that do not quite.

Every client has a strength for each exercise that grows slowly, good and bad days,
and a story. Sets are what that strength allows against what the plan asks; the
plan then moves as a coach would move it each Monday. Dates count back from today
and the random numbers from the client's name, so a day's practice is always the same.
"""

import random
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from uuid import UUID

from coaching.blocks.shared_templates import SharedTemplate, TemplateLine
from coaching.rules import plan
from coaching.rules.deload import light_week
from coaching.rules.loads import EquipmentItem, available_loads, can_do
from coaching.rules.log import LoggedSet
from coaching.rules.progression import Exposure, NextTarget, next_target
from coaching.rules.volume import system_load
from demo_fixtures.block_plans import BlockPlan
from demo_fixtures.first_loads import first_load
from demo_fixtures.people import DemoClient
from demo_fixtures.stories import Day, day_of, misses
from demo_fixtures.words import LOG_NOTES

Place = tuple[str, plan.Part]
"""An exercise key and the part of the session it is done in."""

DAY_NOISE = 0.012
EXERCISE_NOISE = 0.016
FALL_PER_SET = 0.012
NOTES_SHARE = 0.05
WEEKLY_GAIN = {
    "absolute beginner": 0.02,
    "beginner": 0.01,
    "intermediate": 0.006,
    "advanced": 0.004,
}


@dataclass(frozen=True)
class DoneSession:
    """One invented session: what was planned and the sets that came of it."""

    planned: plan.PlannedSession
    kind: plan.WeekKind
    sets: tuple[tuple[plan.Prescription, LoggedSet], ...]
    rpe: float
    note: str
    body_weight: float
    skipped_reason: str = ""


@dataclass(frozen=True)
class MovedTarget:
    """What a Monday's review made of one exercise."""

    week_starts_on: date
    asked: plan.Prescription
    last: Exposure
    target: NextTarget

    @property
    def changes(self) -> bool:
        """Whether anything is asked that was not asked before."""
        now = (self.asked.exercise.key, self.asked.targets, self.asked.load)
        return (self.target.exercise_key, self.target.targets, self.target.load) != now


@dataclass
class Training:
    """All blocks of a client as week values, the sessions done in them, and what was decided."""

    blocks: list[tuple[str, list[plan.PlannedWeek]]] = field(default_factory=list)
    done: list[DoneSession] = field(default_factory=list)
    moved: list[MovedTarget] = field(default_factory=list)


class Trainee:
    """One client in training: strengths, current targets and how a day goes."""

    def __init__(
        self,
        person: DemoClient,
        exercises: Mapping[str, plan.Exercise],
        today: date,
    ) -> None:
        self.person = person
        self.exercises = exercises
        self.rungs = {(one.ladder, one.rung): one for one in exercises.values() if one.ladder}
        self.today = today
        self.rng = random.Random(f"{person.name} trains")  # noqa: S311 - invented data, no secret
        self.equipment = tuple(
            EquipmentItem(kind, tuple(pieces), bar=20.0 if kind == "barbell" else 0.0)
            for kind, pieces in person.equipment.items()
        )
        self.one_rm: dict[str, float] = {}
        self.asked: dict[Place, plan.Prescription] = {}
        self.exposures: dict[Place, list[Exposure]] = defaultdict(list)
        self.places: dict[str, Place] = {}
        self.taken: frozenset[str] = frozenset()
        self.pace: dict[str, float] = {}
        self.gain = WEEKLY_GAIN[person.level] * self.rng.uniform(0.8, 1.3)
        self.drift = self.rng.uniform(-1.5, 1.5)

    def uid(self) -> str:
        """The next id, the same on every load of the demo."""
        return str(UUID(int=self.rng.getrandbits(128), version=4))

    def haste(self) -> float:
        """The share of the agreed time that a session takes."""
        return self.rng.uniform(0.82, 1.04)

    def train(self, first_monday: date, plans: list[BlockPlan]) -> Training:
        """Live through all blocks; what lies after today is planned and not done."""
        made = Training()
        monday = first_monday
        for block in plans:
            weeks: list[plan.PlannedWeek] = []
            for number, kind in enumerate(block.kinds, start=1):
                week = self.week(block.template, number, kind, monday, weeks)
                weeks.append(week)
                made.done.extend(self.live(week))
                if monday + timedelta(days=7) <= self.today:
                    made.moved.extend(self.review(monday))
                monday += timedelta(days=7)
            made.blocks.append((block.template.name, weeks))
        return made

    def week(
        self,
        template: SharedTemplate,
        number: int,
        kind: plan.WeekKind,
        monday: date,
        before: list[plan.PlannedWeek],
    ) -> plan.PlannedWeek:
        """One week as planned: the current targets, or the light version of the last."""
        if kind is plan.WeekKind.DELOAD and before:
            light = light_week(before[-1], starts_on=monday).week
            return replace(light, number=number, sessions=tuple(map(self.renamed, light.sessions)))
        taken = {line.exercise_key for s in template.sessions for p in s.pairs for line in p.lines}
        self.taken = frozenset(taken)
        sessions = tuple(self.session(template, at, monday) for at in range(len(template.sessions)))
        return plan.PlannedWeek(number, kind, monday, tuple(sorted(sessions, key=_on)))

    def renamed(self, session: plan.PlannedSession) -> plan.PlannedSession:
        """The same session with ids of its own and without what is left out."""
        pairs = []
        for pair in session.pairs:
            kept = tuple(replace(p, key=self.uid()) for p in pair.prescriptions if p.targets)
            if kept:
                pairs.append(replace(pair, prescriptions=kept))
        return replace(session, key=self.uid(), pairs=tuple(pairs))

    def session(self, template: SharedTemplate, at: int, monday: date) -> plan.PlannedSession:
        """One session of the template with the targets that stand now."""
        shape = template.sessions[at]
        pairs = tuple(
            plan.Pair(
                pair.letter,
                pair.part,
                tuple(self.line(line, pair.part, monday) for line in pair.lines),
            )
            for pair in shape.pairs
        )
        day = (shape.day + self.day_shift(template)) % 7
        return plan.PlannedSession(self.uid(), shape.name, monday + timedelta(days=day), pairs)

    def day_shift(self, template: SharedTemplate) -> int:
        """Move the week so that somebody who should train today does."""
        if not self.person.trains_today:
            return 0
        days = {one.day for one in template.sessions}
        wanted = self.today.weekday()
        return next(shift for shift in range(7) if any((d + shift) % 7 == wanted for d in days))

    def line(self, line: TemplateLine, part: plan.Part, monday: date) -> plan.Prescription:
        """One exercise of a session, under an id of its own."""
        place = (line.exercise_key, part)
        if place not in self.asked:
            self.asked[place] = self.fitting(self.first_target(line, part), monday)
        # A session may ask for fewer sets of what another session asks in full.
        sets = min(len(line.targets), self.asked[place].sets)
        key = self.uid()
        self.places[key] = place
        return replace(self.asked[place], key=key, targets=self.asked[place].targets[:sets])

    def first_target(self, line: TemplateLine, part: plan.Part) -> plan.Prescription:
        """What the template says, with a load that suits this client."""
        exercise = self.exercises[line.exercise_key]
        more = self.rng.choice((0, 0, 1)) if part is plan.Part.PRIMARY else 0
        return plan.Prescription(
            key="",
            exercise=exercise,
            targets=tuple(one + more for one in line.targets),
            load=first_load(self.person, exercise, self.loads(exercise), self.rng),
            tempo=plan.Tempo.parse(line.tempo),
            rest=line.rest,
            part=part,
            rir=line.rir,
        )

    def loads(self, exercise: plan.Exercise) -> tuple[float, ...]:
        """What the client's equipment makes for an exercise [kg], easiest first."""
        return available_loads(exercise, self.equipment)

    def fitting(self, asked: plan.Prescription, on: date) -> plan.Prescription:
        """The load and the repetitions that suit somebody who has done the exercise before."""
        key = asked.exercise.key
        if key not in self.one_rm or asked.exercise.measure is plan.Measure.SECONDS:
            return asked
        form = self.growth(key, self.weeks_in(on))
        wanted = max(asked.targets) + 2
        loads = self.loads(asked.exercise) or (asked.load,)
        fit = [one for one in loads if self.capacity(replace(asked, load=one), form) >= wanted]
        load = fit[-1] if fit else loads[0]
        able = int(self.capacity(replace(asked, load=load), form)) - 2
        targets = tuple(max(1, min(one, able)) for one in asked.targets)
        return replace(asked, load=load, targets=targets)

    def weeks_in(self, on: date) -> float:
        """How many weeks the client has trained with this coach."""
        return (on - self.today).days / 7 + self.person.weeks

    def growth(self, key: str, weeks: float) -> float:
        """How much stronger an exercise is than at the start; each has a pace of its own."""
        pace = self.pace.setdefault(key, self.rng.uniform(0.4, 1.2))
        return float((1 + self.gain) ** (weeks * pace))

    def capacity(self, asked: plan.Prescription, strength: float) -> float:
        """Reps (or seconds) to failure at the asked load, with this day's strength."""
        exercise = asked.exercise
        if exercise.measure is plan.Measure.SECONDS:
            start = self.one_rm.setdefault(exercise.key, max(asked.targets) * 1.5 + 15)
            return start * strength**3
        moved = max(system_load(exercise, asked.load, self.person.kg), 1.0)
        if exercise.key not in self.one_rm:
            spare = 8.0 if asked.part is plan.Part.PREHAB else self.rng.uniform(0.8, 2.4)
            spare += 0.35 * (asked.sets - 1)
            reps = max(asked.targets) + spare
            self.one_rm[exercise.key] = moved * (1 + reps / 30) / strength
        return 30 * (self.one_rm[exercise.key] * strength / moved - 1)

    def live(self, week: plan.PlannedWeek) -> Iterator[DoneSession]:
        """The sessions of a week up to yesterday, done as the story has it."""
        for session in week.sessions:
            if session.on >= self.today:
                continue
            reason = misses(self.person, session.on, self.today, self.rng)
            if reason is not None:
                if reason:
                    yield DoneSession(session, week.kind, (), 0, "", self.person.kg, reason)
                continue
            yield self.done(session, week.kind)

    def done(self, session: plan.PlannedSession, kind: plan.WeekKind) -> DoneSession:
        """One session as it was done."""
        day = day_of(self.person, session.on, self.today)
        weeks = self.weeks_in(session.on)
        form = day.strength * (1 + self.rng.gauss(0, DAY_NOISE))
        sets: list[tuple[plan.Prescription, LoggedSet]] = []
        for asked in session.prescriptions:
            grown = self.growth(asked.exercise.key, weeks - day.lost_weeks(asked))
            sets.extend((asked, one) for one in self.sets(asked, form * grown, day))
        if kind is plan.WeekKind.BUILD:
            self.remember(session, sets)
        easy = 3.0 if kind is plan.WeekKind.DELOAD else 0.0
        rpe = min(10.0, max(1.0, round(7 + day.effort - easy + self.rng.gauss(0, 0.5))))
        weight = self.person.kg + self.drift * weeks / 26 + self.rng.gauss(0, 0.3)
        says = self.rng.choice(LOG_NOTES) if self.rng.random() < NOTES_SHARE else ""
        return DoneSession(session, kind, tuple(sets), rpe, day.note or says, round(weight, 1))

    def sets(self, asked: plan.Prescription, form: float, day: Day) -> Iterator[LoggedSet]:
        """The sets of one exercise on one day."""
        strength = form * day.local(asked) * (1 + self.rng.gauss(0, EXERCISE_NOISE))
        for number, target in enumerate(asked.targets, start=1):
            able = self.capacity(asked, strength * (1 - FALL_PER_SET * (number - 1)))
            if day.gives_out(asked, number):
                able = min(able, target - 0.5)
            reps = max(1, min(day.attempts(asked, target, number), int(able)))
            left = round(able - reps + self.rng.gauss(0, 0.5) - 0.5)
            if day.forgets(self.rng):
                continue
            yield LoggedSet(
                exercise=asked.exercise,
                number=number,
                amount=day.typed(reps, self.rng),
                load=asked.load,
                target=target,
                target_load=asked.load,
                rir=max(0, min(5, left)) if self.logs_rir(number, asked) else None,
                pain=day.pain(asked),
                pain_where=day.pain_where if day.pain(asked) else "",
            )

    def logs_rir(self, number: int, asked: plan.Prescription) -> bool:
        """Most clients say it for the last set of an exercise."""
        if not self.person.asks_rir or asked.part is plan.Part.PREHAB:
            return False
        return number == len(asked.targets) or self.rng.random() < 0.3

    def remember(
        self, session: plan.PlannedSession, sets: list[tuple[plan.Prescription, LoggedSet]]
    ) -> None:
        """Keep what the next Monday's review needs."""
        for asked in session.prescriptions:
            mine = tuple(one for p, one in sets if p.key == asked.key)
            place = self.places[asked.key]
            # A day with fewer sets on purpose says nothing about the next full one.
            if mine and asked.sets == self.asked[place].sets:
                self.exposures[place].append(Exposure(session.on, mine, asked))

    def review(self, monday: date) -> Iterator[MovedTarget]:
        """Move each target the way a coach would on Monday; what is stalled is repeated."""
        day = day_of(self.person, monday, self.today)
        for place, asked in self.asked.items():
            exposures = self.exposures.get(place, [])[-6:]
            if not exposures or exposures[-1].on < monday or day.stalls(asked):
                continue
            proposal = self.proposal(asked, exposures)
            self.asked[place] = self.moved(asked, proposal, monday)
            if proposal.exercise_key != asked.exercise.key:
                del self.exposures[place]
            yield MovedTarget(monday, asked, exposures[-1], proposal)

    def proposal(self, asked: plan.Prescription, exposures: list[Exposure]) -> NextTarget:
        """What the rules propose; a hold gets longer and is never loaded."""
        timed = asked.exercise.measure is plan.Measure.SECONDS
        harder = self.rungs.get((asked.exercise.ladder, asked.exercise.rung + 1))
        if harder and (harder.key in self.taken or not can_do(harder, set(self.person.equipment))):
            harder = None
        return next_target(
            replace(asked, key=""),
            exposures,
            loads=(asked.load,) if timed else self.loads(asked.exercise),
            harder=harder,
            easier=None,
            body_weight=self.person.kg,
        )

    def moved(
        self, asked: plan.Prescription, proposal: NextTarget, monday: date
    ) -> plan.Prescription:
        """What is asked from now on; on a new rung with a load that suits the client."""
        if proposal.exercise_key == asked.exercise.key:
            return replace(asked, targets=proposal.targets, load=proposal.load)
        rung = self.exercises[proposal.exercise_key]
        load = first_load(self.person, rung, self.loads(rung), self.rng)
        begun = replace(asked, exercise=rung, targets=proposal.targets, load=load)
        return self.fitting(begun, monday)


def _on(session: plan.PlannedSession) -> date:
    return session.on
