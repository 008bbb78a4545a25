"""What the next block of a client rests on: the last plan, its log, and what could be in its place."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.adaptation import swap_reason, why_not
from coaching.blocks.editing.places import lines_in
from coaching.blocks.from_template import candidates_for, known_of
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, Prescription
from coaching.blocks.next_plan import same_weekday, usual_week_of
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import goal_keys
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.library.client_body import bodies_of, fitted_exercises
from coaching.library.models import Exercise
from coaching.library.queries import exercises_by_key
from coaching.rules import plan
from coaching.rules.exercise_trend import judge_exercise
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.joint_limits import JointLimit, Joints
from coaching.rules.loads import EquipmentItem, available_loads
from coaching.rules.next_block import LastBlock, Other, are_alike
from coaching.rules.next_block_likeness import equal_load
from coaching.rules.next_block_load import DoneBefore, beginning
from coaching.rules.progression import Exposure, NextTarget
from coaching.rules.stair import start_of
from coaching.rules.stand_in import Known, stand_ins
from sessions.coming_courses import Coming, Course
from sessions.next_block_courses import Courses, courses_of
from sessions.next_targets import NextTargets, Proposal
from sessions.pages_swaps import load_to_begin
from sessions.queries import week_start
from sessions.queries_done_before import done_before
from sessions.set_rows import Place
from sessions.week_facts import log_since
from sessions.week_reading import WeekReading, read_weeks

_WEEK_DAYS = timedelta(days=6)
_LEVELS = [level.value for level in plan.Level]
_STEADY = frozenset({plan.Part.PREHAB.value, plan.Part.WARM_UP.value})


@dataclass(frozen=True)
class LastPlan:
    """The last published block of a client, its usual week, and its last day."""

    block: Block
    snapshot: Snapshot
    base: WeekData
    ends_on: date
    weeks: int
    previous: frozenset[int]
    """The exercises of the block before it."""
    later: tuple[Block, date] | None = None
    """The newest block and its last day, where it has no usual week to go on from."""

    @property
    def until(self) -> tuple[Block, date]:
        """The block that must be over first, and its last day."""
        return self.later or (self.block, self.ends_on)

    @property
    def after(self) -> date:
        """The Monday after the last week that is planned."""
        return week_start(self.until[1]) + timedelta(weeks=1)


def last_plan(client: Client) -> LastPlan | None:
    """The newest published block with a usual week; none without any; 6 queries at most.

    Each newer block without a usual week, only light weeks or none, takes 4 queries more.
    """
    blocks = list(client.blocks.filter(published_at__isnull=False).order_by("-number"))
    plans = ((place, snapshot_of(one)) for place, one in enumerate(blocks))
    made = ((place, plan, usual_week_of(plan)) for place, plan in plans)
    place, snapshot, base = next((one for one in made if one[2]), (0, None, None))
    if snapshot is None or base is None:
        return None
    before = Prescription.objects.filter(
        pair__planned_session__week__block__in=blocks[place + 1 : place + 2]
    )
    return LastPlan(
        block=blocks[place],
        snapshot=snapshot,
        base=base,
        ends_on=_last_day(snapshot),
        later=_last_of(blocks[:place]),
        weeks=len(snapshot["weeks"]),
        previous=frozenset(before.order_by().values_list("exercise_id", flat=True).distinct()),
    )


def _last_day(snapshot: Snapshot) -> date:
    return date.fromisoformat(max(one["starts_on"] for one in snapshot["weeks"])) + _WEEK_DAYS


def _last_of(newer: Sequence[Block]) -> tuple[Block, date] | None:
    """Which of the newer blocks ends last, and when; those without a week end nowhere."""
    plans = ((one, snapshot_of(one)) for one in newer)
    found = [(one, _last_day(plan)) for one, plan in plans if plan["weeks"]]
    return max(found, key=lambda each: each[1], default=None)


@dataclass(frozen=True)
class NextReading:
    """All that the choices of one client's next block rest on."""

    client: Client
    last: LastPlan
    starts_on: date
    until: date
    """The last day of the block."""
    today: date
    week: WeekReading
    exposures: Mapping[Place, Sequence[Exposure]]
    trends: Mapping[str, Finding]
    exercises: Mapping[int, plan.Exercise]
    library: "Offered"
    goals: frozenset[str]

    @property
    def fell(self) -> bool:
        """Whether strength as a whole has fallen for no cause in the plan."""
        return any(one.kind is FindingKind.OVERREACHING for one in self.week.findings)

    @cached_property
    def _days(self) -> Mapping[str, frozenset[date]]:
        """On which days of the block each key would stand: on its weekdays, in every week."""
        found: dict[str, frozenset[date]] = defaultdict(frozenset)
        weeks = range(1 + (self.until - self.starts_on).days // timedelta(weeks=1).days)
        for session, _pair, _line, key in self.places():
            first = same_weekday(session["on"], self.starts_on)
            found[key] |= {first + timedelta(weeks=number) for number in weeks}
        return found

    def exercise_of(self, line: Line) -> plan.Exercise:
        """The exercise of a line of the usual week, as the client's body loads it."""
        return self.exercises[line["exercise"]]

    @cached_property
    def courses(self) -> Courses:
        """Which lines of the usual week are decided about together; no query."""
        return courses_of(self.last.snapshot, self.last.base, self.exercises)

    def places(self) -> Iterator[tuple[SessionData, PairData, Line, str]]:
        """Every line of the usual week with the key under which it is decided about."""
        for session in self.last.base["sessions"]:
            for pair, line in lines_in(session):
                yield session, pair, line, self.courses.key_of[line["uid"]]

    @cached_property
    def lines(self) -> Mapping[str, LastBlock]:
        """Each exercise of the usual week, by the key it is decided under; no query.

        Where a stair was climbed within the week, it stands where the week ended.
        """
        keys = dict.fromkeys(key for *_, key in self.places())
        return {key: self._line(key, *self.courses.newest[key]) for key in keys}

    def _line(self, key: str, part: str, line: Line) -> LastBlock:
        exercise = self.exercises[line["exercise"]]
        offered, days = self.library, self._days[key]
        limits, overrides = offered.joints.on_any(days), offered.joints.overrides
        asked = asked_of(part, line, exercise)
        done = self.courses.own(key, self.exposures.get((line["exercise"], part), ()))
        proposal = self._proposal((line["exercise"], part), asked, done, limits) if done else None
        weight = self.week.body_weight
        return LastBlock(
            asked=asked,
            exposures=tuple(done),
            target=proposal.target if proposal else None,
            rung=proposal.to if proposal else None,
            trend=self.trends.get(exercise.key),
            blocks_alike=1 + (self.is_alike and line["exercise"] in self.last.previous),
            serves_goal=exercise.key in self.goals,
            forbidden=why_not(exercise, limits, offered.kinds, overrides, days),
            held=self.fell,
            limits=limits,
            days=days,
            known=offered.known,
            level=plan.Level(self.client.level),
            others=offered.others(asked, limits, weight),
            following=self._following((line["exercise"], part), asked, done, proposal, limits),
            body_weight=weight,
        )

    @cached_property
    def is_alike(self) -> bool:
        """Whether the last two blocks are alike, prehab and warm-up left aside."""
        work = {
            line["exercise"]
            for session in self.last.base["sessions"]
            for pair, line in lines_in(session)
            if pair["part"] not in _STEADY
        }
        return are_alike({str(pk) for pk in work}, {str(pk) for pk in self.last.previous})

    def _following(
        self,
        place: Place,
        asked: plan.Prescription,
        done: Sequence[Exposure],
        proposal: Proposal | None,
        limits: tuple[JointLimit, ...],
    ) -> NextTarget | None:
        """What comes after a step that the plan holds already, were it reached."""
        if proposal is None or proposal.to is not None:
            return None
        target = proposal.target
        if (target.targets, target.load) != (asked.targets, asked.load) or not done[-1].sets:
            return None
        after = self._proposal(
            place, asked, [*done, _as_asked(done[-1], asked, self.today)], limits
        )
        return after.target if after is not None and after.to is None else None

    def _proposal(
        self,
        place: Place,
        asked: plan.Prescription,
        done: Sequence[Exposure],
        limits: tuple[JointLimit, ...],
    ) -> Proposal | None:
        """What the log asks for next; none when joints forbid the exercise on a day of the block."""
        if self.week.asks is None:
            return None
        pk = self.client.pk
        course = Course(*place)
        coming = Coming(self.last.block.pk, {course: (asked,)}, {course: self.starts_on})
        # A rung that is avoided later in the block is none to step to.
        held = tuple(replace(one, since=None, until=None) for one in limits)
        facts = replace(
            self.week.asks.facts,
            joints={pk: Joints(held, self.library.joints.overrides)},
            exposures={pk: {place: _without_light(done, asked)}},
            coming={pk: coming},
        )
        since = self.last.block.starts_on
        asks = NextTargets(self.client, since, self.starts_on, facts, self.week.asks.followed)
        return next(iter(asks.proposals()), None)


def _as_asked(last: Exposure, asked: plan.Prescription, on: date) -> Exposure:
    """How it would be logged if all that is asked were done."""
    work = next((one for one in last.sets if not one.warm_up), last.sets[0])
    made = replace(work, exercise=asked.exercise, load=asked.load, pain=None, warm_up=False)
    return replace(
        last,
        on=max(last.on, on),
        sets=tuple(replace(made, amount=one, target=one) for one in asked.targets),
        planned=asked,
        kind=plan.WeekKind.BUILD,
    )


def _without_light(done: Sequence[Exposure], asked: plan.Prescription) -> list[Exposure]:
    """What a light week asked for is no target to go on from; its pain counts."""
    usual = [one.planned for one in done if one.kind is plan.WeekKind.BUILD and one.planned]
    last = usual[-1] if usual else asked
    build = plan.WeekKind.BUILD
    return [one if one.kind is build else replace(one, planned=last) for one in done]


def asked_of(part: str, line: Line, exercise: plan.Exercise) -> plan.Prescription:
    """One line of a plan as a value."""
    return plan.Prescription(
        key=line["uid"],
        exercise=exercise,
        targets=tuple(line["targets"]),
        load=line["load_kg"],
        tempo=plan.Tempo.parse(line["tempo"]),
        rest=line["rest_s"],
        part=plan.Part(part),
        rir=line["rir"],
    )


@dataclass
class Offered:
    """What a client may do in place of an exercise, from level, equipment and joints."""

    rows: Mapping[str, Exercise]
    candidates: Sequence[plan.Exercise]
    equipment: Sequence[EquipmentItem]
    joints: Joints
    last: Mapping[int, DoneBefore]
    known: Known

    @property
    def kinds(self) -> frozenset[plan.EquipmentKind]:
        """What kinds of equipment there are."""
        return frozenset(item.kind for item in self.equipment)

    def others(
        self,
        asked: plan.Prescription,
        limits: Collection[JointLimit],
        body_weight: float | None,
    ) -> tuple[Other, ...]:
        """What may take the place of an exercise under those limits, best first; no query."""
        overrides, own = self.joints.overrides, asked.exercise
        found = stand_ins(own, self.candidates, limits, self.kinds, overrides, self.known)
        why = {one.key: swap_reason(own, one, limits, overrides) for one in found}
        made = (self._other(asked, one, why[one.key], body_weight) for one in found)
        return tuple(self._as_heavy(asked, one, body_weight) for one in made)

    def _as_heavy(self, asked: plan.Prescription, other: Other, body_weight: float | None) -> Other:
        """With the load that makes it as heavy as what was asked, unless more is known."""
        if not body_weight:
            return other
        loads = available_loads(other.exercise, self.equipment)
        equal = equal_load((asked.exercise, asked.load), other.exercise, loads, body_weight)
        if equal is None or (other.load_known and other.load >= equal):
            return other
        return replace(other, load=equal, load_known=False, load_equal=True, load_from="")

    def _other(
        self,
        asked: plan.Prescription,
        exercise: plan.Exercise,
        reason: str,
        body_weight: float | None,
    ) -> Other:
        row, own = self.rows[exercise.key], self.rows.get(asked.exercise.key)
        apart = _LEVELS.index(row.level) - _LEVELS.index(own.level if own else row.level)
        loads, last = available_loads(exercise, self.equipment), self.last.get(row.pk)
        wanted = start_of(asked.part, exercise)
        known = beginning(exercise, last, wanted, loads, body_weight) if last else None
        return Other(
            exercise=exercise,
            reason=reason,
            load=known.load if known else load_to_begin(exercise, loads, None),
            tempo=plan.Tempo.parse(row.tempo),
            levels_apart=abs(apart),
            load_known=known is not None,
            load_from=known.words if known and exercise.load_kind is not plan.LoadKind.NONE else "",
            hurt=last is not None and last.hurt,
        )


def _offered(client: Client, today: date) -> Offered:
    """6 queries, 7 with joint limits."""
    rows = exercises_by_key(client.coach)
    return Offered(
        rows=rows,
        candidates=candidates_for(client, rows.values()),
        known=known_of(client, rows.values()),
        equipment=equipment_of(client),
        joints=joints_of(client),
        last=done_before(client, [row.pk for row in rows.values()], today),
    )


def read_next(
    client: Client, last: LastPlan, starts_on: date, today: date, *, weeks: int
) -> NextReading:
    """The readings for a next block of so many weeks; 46 queries at most, whatever the history."""
    week = read_weeks([client], week_start(today - timedelta(days=1)), today)[0]
    sessions, exposures = log_since(client, last.block.starts_on, today)
    fell = any(one.kind is FindingKind.OVERREACHING for one in week.findings)
    named = {line["exercise"] for one in last.base["sessions"] for _pair, line in lines_in(one)}
    weights = {client.pk: week.body_weight} if week.body_weight else {}
    fitted = fitted_exercises(named, bodies_of([client], weights, today))
    return NextReading(
        client=client,
        last=last,
        starts_on=starts_on,
        until=starts_on + timedelta(weeks=weeks) - timedelta(days=1),
        today=today,
        week=week,
        exposures=exposures,
        trends={
            key: judge_exercise(series, fell_with_others=fell)
            for key, series in read_exposures(sessions).items()
        },
        exercises={pk: fitted.of(client.pk, pk) for pk in named},
        library=_offered(client, today),
        goals=goal_keys(client),
    )
