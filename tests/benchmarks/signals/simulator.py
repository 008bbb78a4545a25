"""A made-up client's year: what was planned, what was logged, and what really happened.

Written from the trade. Strength is the log of the one-repetition maximum on the system load; it
gains slowly, falls and recovers by the calendar, and has good and bad days. Repetitions are
whole, sets take something out of the next ones the nearer to failure they were and the shorter
the rest, and a set ends at its target unless the client trains otherwise.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from math import exp

import numpy as np

from coaching.rules.log import Attendance, LoggedSession, LoggedSet
from coaching.rules.plan import Part, PlannedSession, WeekKind
from tests.benchmarks.signals.calendar import Calendar, draw_calendar
from tests.benchmarks.signals.detector import ClientLog
from tests.benchmarks.signals.one_set import (
    Noise,
    repetitions_done,
    rest_between_sets,
    said_reserve,
    tire,
)
from tests.benchmarks.signals.people import Kind, Person, Stop, draw_person
from tests.benchmarks.signals.programme import (
    SETS,
    Programme,
    Slot,
    planned_session,
    write_programme,
)
from tests.benchmarks.signals.truth import (
    Episode,
    Event,
    Mark,
    OwnDrop,
    Span,
    Stall,
    Truth,
)
from tests.rules.examples import MONDAY

WEEKS = 60  # eight to get to know the client, fifty-two that are judged
_WEEKDAYS = {3: (0, 2, 4), 4: (0, 1, 3, 4), 5: (0, 1, 2, 4, 5)}
# A new exercise is learned over some sessions [log share, sessions]; no source.
UNLEARNED = 0.05
LEARNING = 3.0


@dataclass(frozen=True)
class SimulatedClient:
    """A client with the log that detectors see and the truth that they do not."""

    person: Person
    log: ClientLog
    truth: Truth
    # Repetitions a share of strength buys, by exercise key: for detectors that are told.
    endurance: dict[str, float]
    # Whole repetitions that each set could have had, by place of the session, exercise key and
    # number of the set: for scoring what is told ahead.
    could: dict[tuple[int, str, int], int]


@dataclass
class _Year:
    """What is carried through the year while it is trained."""

    person: Person
    programme: Programme
    calendar: Calendar
    random: np.random.Generator
    noise: Noise
    start: date
    weighed: float
    sensitivity: list[float]  # how much of a shared fall each slot feels
    sessions: list[LoggedSession]
    planned: list[PlannedSession]
    attendance: list[Attendance]
    events: list[Event]
    used: list[list[tuple[int, str]]]  # by slot: from which day which exercise key
    endurance: dict[str, float]
    could: dict[tuple[int, str, int], int] = field(default_factory=dict)

    def on(self, day: int) -> date:
        return self.start + timedelta(days=day)

    def strength(self, number: int, day: int) -> float:
        """The slot's log strength of a day, without the noise of day and exercise."""
        slot, calendar = self.programme.slots[number], self.calendar
        learned = -UNLEARNED * exp(-slot.done / LEARNING) if slot.version or slot.rung else 0.0
        fall = self.sensitivity[number] * float(calendar.shared_falls[day])
        return (
            slot.strength
            + float(calendar.own[number][day])
            + float(calendar.shared[day])
            + fall
            + learned
        )


def simulate(kind: Kind, seed: int, *, weeks: int = WEEKS, start: date = MONDAY) -> SimulatedClient:
    """One client of a kind; the same numbers give the same client."""
    random = np.random.default_rng([seed, list(Kind).index(kind)])
    person = draw_person(kind, random)
    programme = write_programme(person, random)
    calendar = draw_calendar(person, programme, 7 * weeks, random)
    year = _Year(
        person=person,
        programme=programme,
        calendar=calendar,
        random=random,
        noise=Noise(random),
        start=start,
        weighed=person.body_weight,
        sensitivity=np.clip(random.normal(1, 0.25, len(programme.slots)), 0.4, 1.6).tolist(),
        sessions=[],
        planned=[],
        attendance=[],
        events=[],
        used=[[] for _ in programme.slots],
        endurance={},
    )
    rotation = 0
    for week in range(weeks):
        if 7 * week in calendar.block_starts:
            _start_block(year, 7 * week)
        light = int(random.integers(0, person.sessions_a_week)) if person.light_day else -1
        for place, weekday in enumerate(_WEEKDAYS[person.sessions_a_week]):
            _plan_and_train(year, 7 * week + weekday, rotation, light=place == light)
            rotation = (rotation + 1) % len(programme.sessions)
    log = ClientLog(tuple(year.sessions), tuple(year.planned), tuple(year.attendance))
    return SimulatedClient(person, log, _truth(year, 7 * weeks), year.endurance, year.could)


def cohort(seeds: Iterable[int], *, weeks: int = WEEKS) -> list[SimulatedClient]:
    """One client of every kind for each number."""
    return [simulate(kind, seed, weeks=weeks) for seed in seeds for kind in Kind]


def _start_block(year: _Year, day: int) -> None:
    """Some exercises are swapped, some loads set anew; the primary pair mostly stays."""
    person, random = year.person, year.random
    for number, slot in enumerate(year.programme.slots):
        swap = 0.05 if slot.part is Part.PRIMARY else 0.2
        if day > 0 and slot.part is not Part.PREHAB and random.random() < swap:
            slot.version += 1
            slot.strength += float(random.normal(0, 0.08))
            slot.own_the_body(person)
            slot.renew()
            year.events.append(Event(year.on(day), Mark.SWAP, slot.exercise.key))
        elif day > 0 and random.random() < 0.5:
            continue
        guess = year.strength(number, day) + float(random.normal(0, 0.03))
        key = slot.exercise.key
        slot.plan_afresh(guess, person, float(year.calendar.body_weight[day]))
        if key != slot.exercise.key and day > 0:
            year.events.append(Event(year.on(day), Mark.NEW_RUNG, slot.exercise.key))


def _plan_and_train(year: _Year, day: int, rotation: int, *, light: bool) -> None:
    on, person = year.on(day), year.person
    deload = day // 7 in year.calendar.deload_weeks
    numbers = [n for pair in year.programme.sessions[rotation] for n in pair]
    works = {n: _work(year.programme.slots[n], deload=deload, light=light) for n in numbers}
    plan = planned_session(year.programme, rotation, on, works)
    year.planned.append(plan)
    away = any(a <= day < b for a, b in year.calendar.absences)
    done = not away and year.noise.uniform() < person.attendance
    year.attendance.append(Attendance(on, plan.name, done, "" if done else "no time"))
    if not done:
        return
    if light and not deload:
        year.events.append(Event(on, Mark.LIGHT_DAY))
    session = _train(year, day, rotation, works, easy=deload or light, deload=deload)
    year.sessions.append(_mistyped(year, session))


def _work(slot: Slot, *, deload: bool, light: bool) -> tuple[list[int], float]:
    """Targets and load of the day: a deload keeps about 40 % of the repetitions, at the load."""
    if deload:
        keep = 2 if SETS[slot.part] < 5 else 3
        return [max(3, round(0.65 * t)) for t in slot.targets[:keep]], slot.load
    if light and slot.part is not Part.PREHAB:
        return [max(3, round(0.7 * t)) for t in slot.targets], slot.load
    return list(slot.targets), slot.load


@dataclass
class _Day:
    """Noise of one day, and the reserves that its effort is rated from."""

    shared: float
    short_after: int
    rest_factor: float
    reserves: list[float]


def _train(
    year: _Year,
    day: int,
    rotation: int,
    works: dict[int, tuple[list[int], float]],
    *,
    easy: bool,
    deload: bool,
) -> LoggedSession:
    noise, person, on = year.noise, year.person, year.on(day)
    today = _Day(noise.tailed(person.day_noise), 99, exp(0.15 * noise.normal()), [])
    if noise.uniform() < 0.02:
        today.shared -= 0.05 + 0.06 * noise.uniform()
        year.events.append(Event(on, Mark.BAD_DAY))
    pairs = year.programme.sessions[rotation]
    if noise.uniform() < 0.03:
        today.short_after = max(1, len(pairs) // 2)
        year.events.append(Event(on, Mark.SHORT_SESSION))
    sets: list[LoggedSet] = []
    for place, pair in enumerate(pairs):
        if place >= today.short_after:
            break
        for number in pair:
            work = works[number]
            sets += _exercise(year, day, number, work, today, paired=len(pair) > 1, easy=easy)
    if noise.uniform() < 0.25:
        year.weighed = float(year.calendar.body_weight[day]) + 0.4 * noise.normal()
    return LoggedSession(
        on=on,
        sets=tuple(sets),
        body_weight=round(year.weighed, 1),
        kind=WeekKind.DELOAD if deload else WeekKind.BUILD,
        rpe=_effort(year, day, today),
        name=f"Session {rotation + 1}",
        finished=today.short_after == 99,
    )


def _effort(year: _Year, day: int, today: _Day) -> float | None:
    """Session RPE from how near to failure the sets were; tired people rate a little higher."""
    noise, person = year.noise, year.person
    if not today.reserves or noise.uniform() >= person.effort_logged:
        return None
    left = sum(today.reserves) / len(today.reserves)
    feel = -5 * float(year.calendar.shared_falls[day])
    rated = 9.3 - 0.65 * left + feel + person.effort_offset + person.effort_noise * noise.normal()
    return float(min(10, max(1, round(rated))))


def _exercise(
    year: _Year,
    day: int,
    number: int,
    work: tuple[list[int], float],
    today: _Day,
    *,
    paired: bool,
    easy: bool,
) -> list[LoggedSet]:
    person, noise, slot = year.person, year.noise, year.programme.slots[number]
    exercise = slot.exercise
    if not year.used[number] or year.used[number][-1][1] != exercise.key:
        year.used[number].append((day, exercise.key))
        year.endurance[exercise.key] = slot.endurance
    weight = float(year.calendar.body_weight[day])
    strength = year.strength(number, day) + today.shared + noise.tailed(person.exercise_noise)
    rest = rest_between_sets(slot.part, paired=paired) * today.rest_factor
    sets = _sets(year, slot, strength, weight, work, rest, today, easy=easy)
    hasty = sets[0].amount - sets[-1].amount - max(0, work[0][0] - work[0][-1]) >= 2
    if hasty and sets[0].amount > work[0][0]:
        year.events.append(Event(year.on(day), Mark.PACING_FAULT, exercise.key))
    slot.done += 1
    if not easy:
        met = all(s.amount >= (s.target or 0) and s.load >= work[1] for s in sets)
        before = slot.exercise.key
        # After a session at the limit a coach who looks on repeats the target.
        hurry = person.hurry * (0.4 if met and today.reserves[-1:] == [0.0] else 1.0)
        if met and noise.uniform() >= hurry:
            return sets
        if slot.follow(met=met, person=person, body_weight=weight):
            mark = Mark.NEW_RUNG if slot.exercise.key != before else Mark.LOAD_JUMP
            year.events.append(Event(year.on(day), mark, slot.exercise.key))
    return sets


def _sets(
    year: _Year,
    slot: Slot,
    strength: float,
    weight: float,
    work: tuple[list[int], float],
    rest: float,
    today: _Day,
    *,
    easy: bool,
) -> list[LoggedSet]:
    person, noise = year.person, year.noise
    targets, load = work
    fast = slow = 0.0
    stop = Stop.TARGET if easy or slot.part is Part.PREHAB else person.stops
    haste = 2 + int(2 * noise.uniform()) if not easy and noise.uniform() < person.pacing else 0
    done: list[LoggedSet] = []
    now = load
    for place, target in enumerate(targets):
        fresh = slot.fresh_reps(strength, slot.system(weight, now))
        jitter = slot.endurance * person.set_noise * noise.normal()
        could = max(0.0, fresh * exp(-(fast + slow)) + jitter)
        open_end = stop is Stop.FAILURE or (stop is Stop.OPEN_LAST and place == len(targets) - 1)
        asked = target + haste if place == 0 else target
        amount = repetitions_done(
            int(could), asked, target, open_end=open_end, person=person, noise=noise
        )
        year.could[len(year.sessions), slot.exercise.key, place + 1] = int(could)
        left = int(could) - amount
        if slot.part is not Part.PREHAB:
            today.reserves.append(float(left))
        rir = said_reserve(
            left, last=place == len(targets) - 1, part=slot.part, person=person, noise=noise
        )
        done.append(LoggedSet(slot.exercise, place + 1, amount, now, target, work[1], rir=rir))
        fast, slow = tire(fast, slow, amount / max(int(could), 1), rest, person.fatigue)
        if person.drops_load and amount < target and slot.part is Part.SUPPLEMENTARY:
            now = max(0.0, now - person.load_step)
    return done


def _mistyped(year: _Year, session: LoggedSession) -> LoggedSession:
    """Now and then a digit too many, a load in pounds, or a comma that slipped."""
    noise = year.noise
    if not session.sets or noise.uniform() >= year.person.mistakes:
        return session
    victim = session.sets[int(noise.uniform() * len(session.sets))]
    way = noise.uniform()
    sets = []
    for one in session.sets:
        wrong = one
        if one is victim and (way < 0.5 or victim.load == 0):
            wrong = replace(one, amount=one.amount * 11 if one.amount < 8 else one.amount + 10)
        elif one.exercise is victim.exercise and victim.load > 0 and way >= 0.5:
            factor = 2.2 if way < 0.75 else 10 if way < 0.9 else 0.1
            wrong = replace(one, load=round(one.load * factor, 2))
        sets.append(wrong)
    year.events.append(Event(session.on, Mark.TYPING_MISTAKE, victim.exercise.key))
    return replace(session, sets=tuple(sets))


def _truth(year: _Year, days: int) -> Truth:
    calendar = year.calendar
    episodes = tuple(
        Episode(
            onset=year.on(f.onset),
            depth=f.depth,
            full_on=year.on(f.onset + f.ramp - 1),
            recovery_from=year.on(f.end),
            recovered_on=year.on(f.recovered),
        )
        for f in calendar.falls
    )
    drops = tuple(
        OwnDrop(key, year.on(f.onset), f.depth, year.on(f.end))
        for slot, f in calendar.own_drops
        for key, first, last in _stints(year, slot, f.onset, f.end, days)
        if first <= f.onset and last >= f.onset + 10
    )
    stalls = tuple(
        Stall(key, year.on(first), year.on(last))
        for slot, since, until in calendar.stalls
        for key, first, last in _stints(year, slot, since, until, days)
    )
    weeks = sorted(w for w in calendar.deload_weeks if 7 * w < days)
    return Truth(
        episodes=episodes,
        own_drops=drops,
        stalls=stalls,
        absences=tuple(Span(year.on(a), year.on(b)) for a, b in calendar.absences),
        deloads=tuple(Span(year.on(7 * w), year.on(7 * w + 7)) for w in weeks),
        events=tuple(year.events),
        shared_fall=tuple(calendar.shared_falls.tolist()),
        body_weight=(float(calendar.body_weight[0]), float(calendar.body_weight[-1])),
    )


def _stints(
    year: _Year, slot: int, since: int, until: int, days: int
) -> list[tuple[str, int, int]]:
    """Which exercise a slot held in a span of days, with the days of each."""
    used = year.used[slot]
    found = []
    for place, (first, key) in enumerate(used):
        last = used[place + 1][0] if place + 1 < len(used) else days
        if first < until and last > since:
            found.append((key, max(first, since), min(last, until)))
    return found
