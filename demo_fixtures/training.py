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

from coaching.blocks.shared_templates import SharedTemplate
from coaching.rules import plan
from coaching.rules.deload import light_week
from coaching.rules.loads import EquipmentItem, available_loads
from coaching.rules.log import LoggedSet
from coaching.rules.progression import Exposure, next_target
from coaching.rules.volume import system_load
from demo_fixtures.people import DemoClient, Story
from demo_fixtures.stories import WEEKLY_GAIN, Day, day_of, misses

Place = tuple[str, plan.Part]
"""An exercise key and the part of the session it is done in."""

DAY_NOISE = 0.012
EXERCISE_NOISE = 0.012
FALL_PER_SET = 0.012


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


@dataclass
class Training:
    """All blocks of a client as week values, and the sessions done in them."""

    blocks: list[list[plan.PlannedWeek]] = field(default_factory=list)
    done: list[DoneSession] = field(default_factory=list)


class Trainee:
    """One client in training: strengths, current targets and how a day goes."""

    def __init__(
        self,
        person: DemoClient,
        template: SharedTemplate,
        exercises: Mapping[str, plan.Exercise],
        today: date,
    ) -> None:
        self.person = person
        self.template = template
        self.exercises = exercises
        self.today = today
        self.rng = random.Random(f"{person.name} trains")  # noqa: S311 - invented data, no secret
        self.equipment = tuple(
            EquipmentItem(kind, tuple(pieces), bar=20.0 if kind == "barbell" else 0.0)
            for kind, pieces in person.equipment.items()
        )
        self.one_rm: dict[str, float] = {}
        self.asked: dict[Place, plan.Prescription] = {}
        self.exposures: dict[Place, list[Exposure]] = defaultdict(list)
        self.gain = WEEKLY_GAIN * self.rng.uniform(0.7, 1.4)

    def uid(self) -> str:
        """The next id, the same on every load of the demo."""
        return str(UUID(int=self.rng.getrandbits(128), version=4))

    def train(self, first_monday: date, kinds: list[tuple[plan.WeekKind, ...]]) -> Training:
        """Live through all blocks; what lies after today is planned and not done."""
        made = Training()
        monday = first_monday
        for block_kinds in kinds:
            weeks: list[plan.PlannedWeek] = []
            for number, kind in enumerate(block_kinds, start=1):
                week = self.week(number, kind, monday, weeks)
                weeks.append(week)
                made.done.extend(self.live(week))
                if monday + timedelta(days=7) <= self.today:
                    self.review(monday)
                monday += timedelta(days=7)
            made.blocks.append(weeks)
        return made

    def week(
        self,
        number: int,
        kind: plan.WeekKind,
        monday: date,
        before: list[plan.PlannedWeek],
    ) -> plan.PlannedWeek:
        """One week as planned: the current targets, or the light version of the last."""
        if kind is plan.WeekKind.DELOAD and before:
            light = light_week(before[-1], starts_on=monday).week
            return replace(light, number=number, sessions=tuple(map(self.renamed, light.sessions)))
        sessions = tuple(self.session(at, monday) for at in range(len(self.template.sessions)))
        return plan.PlannedWeek(number, kind, monday, tuple(sorted(sessions, key=_on)))

    def renamed(self, session: plan.PlannedSession) -> plan.PlannedSession:
        """The same session with ids of its own and without what is left out."""
        pairs = []
        for pair in session.pairs:
            kept = tuple(replace(p, key=self.uid()) for p in pair.prescriptions if p.targets)
            if kept:
                pairs.append(replace(pair, prescriptions=kept))
        return replace(session, key=self.uid(), pairs=tuple(pairs))

    def session(self, at: int, monday: date) -> plan.PlannedSession:
        """One session of the template with the targets that stand now."""
        shape = self.template.sessions[at]
        pairs = tuple(
            plan.Pair(
                pair.letter,
                pair.part,
                tuple(
                    replace(self.target(line.exercise_key, pair.part, line), key=self.uid())
                    for line in pair.lines
                ),
            )
            for pair in shape.pairs
        )
        day = (shape.day + self.day_shift()) % 7
        return plan.PlannedSession(self.uid(), shape.name, monday + timedelta(days=day), pairs)

    def day_shift(self) -> int:
        """Move the week so that somebody who should train today does."""
        if not self.person.trains_today:
            return 0
        days = {one.day for one in self.template.sessions}
        wanted = self.today.weekday()
        return next(shift for shift in range(7) if any((d + shift) % 7 == wanted for d in days))

    def target(self, key: str, part: plan.Part, line: object) -> plan.Prescription:
        """What is asked for now in this place; the first time, what the template says."""
        place = (key, part)
        if place not in self.asked:
            exercise = self.exercises[key]
            targets = tuple(line.targets)  # type: ignore[attr-defined]
            self.asked[place] = plan.Prescription(
                key="",
                exercise=exercise,
                targets=targets,
                load=self.first_load(exercise),
                tempo=plan.Tempo.parse(line.tempo),  # type: ignore[attr-defined]
                rest=line.rest,  # type: ignore[attr-defined]
                part=part,
                rir=line.rir,  # type: ignore[attr-defined]
            )
        return self.asked[place]

    def first_load(self, exercise: plan.Exercise) -> float:
        """A modest load to begin with, from what the equipment can make."""
        loads = available_loads(exercise, self.equipment) or (0.0,)
        if exercise.load_kind is not plan.LoadKind.EXTERNAL:
            return loads[0]
        return loads[int(len(loads) * (0.3 if exercise.multi_joint else 0.15))]

    def capacity(self, asked: plan.Prescription, strength: float) -> float:
        """Reps (or seconds) to failure at the asked load, with this day's strength."""
        exercise = asked.exercise
        if exercise.measure is plan.Measure.SECONDS:
            start = self.one_rm.setdefault(exercise.key, max(asked.targets) * 1.5)
            return start * strength**3
        moved = max(system_load(exercise, asked.load, self.person.kg), 1.0)
        if exercise.key not in self.one_rm:
            reps = max(asked.targets) + self.rng.uniform(1.5, 3.5)
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
        weeks = (session.on - self.today).days / 7 + self.person.weeks
        form = (1 + self.gain) ** weeks * day.strength * (1 + self.rng.gauss(0, DAY_NOISE))
        sets: list[tuple[plan.Prescription, LoggedSet]] = []
        for asked in session.prescriptions:
            sets.extend((asked, one) for one in self.sets(asked, form, day))
        if kind is plan.WeekKind.BUILD:
            self.remember(session, sets)
        easy = 3.0 if kind is plan.WeekKind.DELOAD else 0.0
        rpe = min(10.0, max(1.0, round(7 + day.effort - easy + self.rng.gauss(0, 0.5))))
        weight = self.person.kg + self.rng.gauss(0, 0.4)
        return DoneSession(session, kind, tuple(sets), rpe, day.note, round(weight, 1))

    def sets(self, asked: plan.Prescription, form: float, day: Day) -> Iterator[LoggedSet]:
        """The sets of one exercise on one day."""
        strength = form * day.local(asked) * (1 + self.rng.gauss(0, EXERCISE_NOISE))
        for number, target in enumerate(asked.targets, start=1):
            able = self.capacity(asked, strength * (1 - FALL_PER_SET * (number - 1)))
            reps = max(1, min(day.attempts(target, number, len(asked.targets)), int(able)))
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
            if mine:
                place = (asked.exercise.key, asked.part)
                self.exposures[place].append(Exposure(session.on, mine, asked))

    def review(self, monday: date) -> None:
        """Move each target the way a coach would on Monday; what is stalled is repeated."""
        day = day_of(self.person, monday, self.today)
        for place, asked in self.asked.items():
            exposures = self.exposures.get(place, [])[-6:]
            if not exposures or day.stalls(asked):
                continue
            proposal = next_target(
                replace(asked, key=""),
                exposures,
                loads=available_loads(asked.exercise, self.equipment),
                harder=None,
                easier=None,
                body_weight=self.person.kg,
            )
            self.asked[place] = replace(asked, targets=proposal.targets, load=proposal.load)


def _on(session: plan.PlannedSession) -> date:
    return session.on


def block_kinds(
    person: DemoClient, template: SharedTemplate
) -> tuple[int, list[tuple[plan.WeekKind, ...]]]:
    """How many weeks ago the first block began, and the kinds of weeks of each block.

    Full blocks are counted back from the one that the present week belongs to.
    """
    usual = template.week_kinds
    now = len(usual) if person.story is Story.LIGHT_NOW else person.week_now
    last = usual
    if person.story is Story.BLOCK_ENDS:
        last = tuple(kind for kind in usual if kind is plan.WeekKind.BUILD)
        now = len(last)
    now = min(now, person.weeks + 1, len(last))
    full = max(0, (person.weeks - (now - 1)) // len(usual))
    return full * len(usual) + now - 1, [*([usual] * full), last]
