"""The next target of each exercise of a client: what the log asks for, and what else may be chosen."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from clients.models import Client
from coaching.rules import plan
from coaching.rules.joint_limits import Joints, blocked_by, regressed_by, sparing
from coaching.rules.loads import available_loads, can_do
from coaching.rules.numbers import PAIN_LIMIT, REVIEW_DAYS
from coaching.rules.pain_reach import Hurt, hurts_in, may_step_back_to, reaching, spared, steps_back
from coaching.rules.progression import Exposure, NextTarget, Step, next_target
from coaching.rules.progression_case import Known, case_of
from coaching.rules.progression_choices import as_planned, as_planned_after_light, step_choices
from coaching.rules.stair import in_sets
from sessions.ahead_reading import Followed
from sessions.coming_courses import Coming, Course
from sessions.queries import UNKNOWN_BODY_WEIGHT
from sessions.week_facts import Facts, with_chosen_load


@dataclass(frozen=True)
class Proposal:
    """The next target of one exercise, beside what the plan asks now.

    Where it has several courses, as a heavy and a light day, ``course`` names the one it is about,
    ``when`` says in which sessions that is trained, and ``lines`` are the uids of its lines.
    ``planned`` holds every way in which the coming sessions ask for it, the next first;
    ``last`` is none for what was never trained in the weeks that are read.
    """

    exercise_id: int
    exercise: plan.Exercise
    part: plan.Part
    planned: tuple[plan.Prescription, ...]
    last: Exposure | None
    target: NextTarget
    swap_to: int | None
    to: plan.Exercise | None = None
    """The rung or exercise to change to, none when the exercise stays."""
    edited: bool = False
    keeps: bool = False
    """Whether the coach keeps what is planned, in every way in which it is asked."""
    left: bool = False
    """Whether the coach leaves the exercise as it is, without a view of the proposal."""
    proposed: NextTarget | None = None
    """What the log asked for, where the coach chose otherwise."""
    tempo: str | None = None
    """The tempo of an exercise to change to, none where that of the plan stays."""
    course: str = ""
    when: str = ""
    lines: frozenset[str] | None = None

    @property
    def name(self) -> str:
        """The exercise, with its sessions where there is another proposal for it."""
        return f"{self.exercise.name} ({self.when})" if self.when else self.exercise.name

    @property
    def rung(self) -> str:
        """The name of the exercise to change to, empty when it stays."""
        return self.to.name if self.to else ""

    @property
    def changes_plan(self) -> bool:
        """Whether accepting it would change what the coming sessions ask."""
        if self.keeps:
            return False
        wanted, target = (self.target.load, self.target.exercise_key), self.target.targets
        return any(
            (p.load, p.exercise.key) != wanted
            or p.targets != (target if self.changes_sets else in_sets(target, p.sets))
            for p in self.planned
        )

    @property
    def changes_sets(self) -> bool:
        """Whether the coach chose another number of sets than the next session has."""
        return len(self.target.targets) != self.planned[0].sets

    @property
    def key(self) -> str:
        """A word that names this proposal in a form."""
        own = f"{self.exercise_id}-{self.part.value}"
        return f"{own}-{self.course}" if self.course else own


_Rule = Callable[..., NextTarget]
_Rung = tuple[int, plan.Exercise]


@dataclass(frozen=True)
class NextTargets:
    """All that the next targets of one client rest on."""

    client: Client
    week_starts_on: date
    today: date
    facts: Facts
    followed: Followed

    def proposals(self) -> tuple[Proposal, ...]:
        """One proposal for each course trained since the week began that is still to come.

        Each begins with what the usual weeks to come ask, in their sets, and rests on how usual
        weeks went; what was done in a light week says nothing of them, unless it hurt.
        What the client must avoid by now is not proposed: it is replaced, or overridden by name.
        What loads a joint that hurts as another exercise does is proposed untrained, too.
        """
        trained = [course for course in self._open if self._is_trained(course)]
        spared = [course for course in self._open if self._is_spared(course)]
        return (
            *(self._proposal(course) for course in trained),
            *(self._made(course, self.coming.asked[course][0], as_planned) for course in spared),
        )

    def untrained(self) -> tuple[Proposal, ...]:
        """The other exercises to come: each stays as planned, unless the coach chooses."""
        return tuple(
            self._made(course, self.coming.asked[course][0], self._unchanged(course))
            for course in self._open
            if not self._is_trained(course) and not self._is_spared(course)
        )

    def choices(self, proposal: Proposal) -> Mapping[Step, Proposal]:
        """The steps that a coach may choose for an exercise, the proposed one as it is.

        None is up while a joint hurts that the exercise loads.
        """
        course = Course(proposal.exercise_id, proposal.part.value, proposal.course)
        asked, known = self._case(course, proposal.planned[0])
        found = step_choices(asked, self._exposures(course), **known)
        if reaching(asked.exercise, self.hurts):
            found = {step: one for step, one in found.items() if step is not Step.STEP_UP}
        made = {step: self._as_proposal(course, asked, one) for step, one in found.items()}
        own = proposal.target.step
        return made if own is Step.SWAP else {**made, own: proposal}

    @property
    def block_id(self) -> int | None:
        """The block that they go into, none when nothing is to come."""
        coming = self.facts.coming.get(self.client.pk)
        return coming.block_id if coming else None

    @property
    def coming(self) -> Coming:
        """What the sessions to come ask."""
        return self.facts.coming[self.client.pk]

    @property
    def joints(self) -> Joints:
        """The client's joint limits of today."""
        joints = self.facts.joints.get(self.client.pk, Joints())
        return Joints(joints.on(self.today), joints.overrides)

    @cached_property
    def hurts(self) -> tuple[Hurt, ...]:
        """What hurt above the limit, the last time that it was done since the week began."""
        since = min(self.week_starts_on, self.today - timedelta(days=REVIEW_DAYS.value))
        return hurts_in(self.facts.sessions.get(self.client.pk, ()), since)

    @property
    def _open(self) -> list[Course]:
        if self.client.pk not in self.facts.coming:
            return []
        joints, asked = self.joints, self.coming.asked
        return [p for p in asked if not joints.blocking(asked[p][0].exercise, self.today)]

    def _exposures(self, course: Course) -> list[Exposure]:
        found = self.facts.exposures.get(self.client.pk, {}).get(course[:2], [])
        return self.coming.courses.exposures(course, found)

    def _last(self, course: Course) -> Exposure | None:
        """The last time it was not done in place of another exercise, nor added to the plan."""
        own = [one for one in self._exposures(course) if not one.besides]
        return own[-1] if own else None

    def _usual(self, course: Course) -> Exposure | None:
        """The last time in a usual week that it was not done besides the plan."""
        own = [one for one in self._exposures(course) if not one.besides]
        return next((one for one in reversed(own) if one.kind is plan.WeekKind.BUILD), None)

    def _is_trained(self, course: Course) -> bool:
        found = [one for one in self._exposures(course) if one.on >= self.week_starts_on]
        return any(
            not one.besides and (one.kind is plan.WeekKind.BUILD or is_painful(one))
            for one in found
        )

    def _unchanged(self, course: Course) -> _Rule:
        """Why it stays as planned: it was not trained, or not in a usual week."""
        last = self._last(course)
        was_light = last is not None and last.on >= self.week_starts_on
        return as_planned_after_light if was_light else as_planned

    def _is_spared(self, course: Course) -> bool:
        """Whether it was not trained, and steps back for the pain of another time."""
        exercise, part = self.coming.asked[course][0].exercise, plan.Part(course.part)
        return not self._is_trained(course) and steps_back(exercise, part, self.hurts)

    def _proposal(self, course: Course) -> Proposal:
        """What comes next; what was missed in this block is asked again before more is."""
        coming = self.coming.asked[course][0]
        missed = self._missed(course, coming)
        if missed is not None:
            found = self._made(course, missed, next_target)
            if asks_less(found.target, coming):
                return found
        return self._made(course, coming, next_target)

    def _missed(self, course: Course, coming: plan.Prescription) -> plan.Prescription | None:
        """What this block asked the last time, where it was missed; in the sets of what is to come."""
        last = self._usual(course)
        if last is None or last.planned is None or last.on < self.coming.since:
            return None
        asked, known = self._case(course, last.planned)
        asked = replace(asked, targets=in_sets(asked.targets, coming.sets))
        case = case_of(asked, self._exposures(course), **known)
        return None if not case.usual or case.reached(case.usual[-1]) else asked

    def _made(self, course: Course, wanted: plan.Prescription, rule: _Rule) -> Proposal:
        asked, known = self._case(course, wanted)
        done = self._exposures(course)
        target = rule(asked, done, **known)
        if self.hurts:
            target = spared(target, case_of(asked, done, **known), self.hurts)
        return self._as_proposal(course, asked, target)

    def _case(self, course: Course, wanted: plan.Prescription) -> tuple[plan.Prescription, Known]:
        last = self._usual(course) or self._last(course)
        asked = with_chosen_load(wanted, last) if last else wanted
        client = self.client
        equipment = self.facts.equipment.get(client.pk, ())
        harder, easier = self._rungs(asked.exercise)
        neighbours = [value for _, value in (n for n in (harder, easier) if n)]
        on = self.coming.on[course]
        since = last or Exposure(on=on, sets=())
        return asked, {
            "loads": available_loads(asked.exercise, equipment),
            "harder": harder[1] if harder else None,
            "easier": easier[1] if easier else None,
            "body_weight": self.facts.body_weights.get(client.pk, UNKNOWN_BODY_WEIGHT),
            "rung_loads": {value.key: available_loads(value, equipment) for value in neighbours},
            "ahead": self.followed.ahead(since, asked.exercise, on),
        }

    def _as_proposal(
        self, course: Course, asked: plan.Prescription, target: NextTarget
    ) -> Proposal:
        exercise = asked.exercise
        rungs = (one for one in self._rungs(exercise) if one)
        swap = next((one for one in rungs if one[1].key == target.exercise_key), (None, None))
        courses = self.coming.courses
        usual, last = self._usual(course), self._last(course)
        if usual is not None and not (last and is_painful(last)):
            last = usual
        coming = self.coming.asked[course]
        target = named_by(target, coming[0])
        return Proposal(
            exercise_id=course.exercise_id,
            exercise=exercise,
            part=plan.Part(course.part),
            planned=coming,
            last=last,
            target=target,
            keeps=target.step is Step.HOLD and is_as_planned(target, coming[0]),
            swap_to=swap[0],
            to=swap[1],
            course=course.key,
            when=courses.when.get(course.key, ""),
            lines=courses.lines(course),
        )

    def _rungs(self, exercise: plan.Exercise) -> tuple[_Rung | None, _Rung | None]:
        """The harder and the easier rung that the client may do."""
        return (
            _harder(self.client, exercise, self.joints, self.facts),
            _easier(self, exercise),
        )


def _harder(client: Client, exercise: plan.Exercise, joints: Joints, facts: Facts) -> _Rung | None:
    """The next rung, when equipment allows it and it loads nothing to avoid or regress."""
    found = _allowed(client, (exercise.ladder, exercise.rung + 1), joints, facts)
    return found if found and not regressed_by(found[1], joints.limits) else None


def _easier(asks: NextTargets, exercise: plan.Exercise) -> _Rung | None:
    """The nearest rung below that the client may do, and below all that hurts.

    From an exercise that loads what must be regressed it is the nearest that does not, else the
    nearest that loads it less.
    """
    joints, below = asks.joints, range(exercise.rung - 1, 0, -1)
    rungs = (_allowed(asks.client, (exercise.ladder, n), joints, asks.facts) for n in below)
    found = [one for one in rungs if one and may_step_back_to(one[1], asks.hurts)]
    if regressed_by(exercise, joints.limits):
        found.sort(key=lambda one: sparing(exercise, one[1], joints.limits))
    return next(iter(found), None)


def _allowed(client: Client, place: tuple[str, int], joints: Joints, facts: Facts) -> _Rung | None:
    """The exercise on a rung when the client's joints and equipment allow it."""
    found = facts.rungs.get(place)
    if not place[0] or found is None:
        return None
    kinds = {item.kind for item in facts.equipment.get(client.pk, ())}
    forbidden = blocked_by(found[1], joints.limits, joints.overrides)
    return found if can_do(found[1], kinds) and not forbidden else None


def is_painful(exposure: Exposure) -> bool:
    """Whether it hurt above the limit."""
    return any((one.pain or 0) > PAIN_LIMIT.value for one in exposure.sets)


def is_as_planned(target: NextTarget, coming: plan.Prescription) -> bool:
    """Whether a proposal asks just what the next session does; what later ones ask stands too."""
    own = (target.exercise_key, target.targets, target.load)
    return own == (coming.exercise.key, coming.targets, coming.load)


def asks_less(target: NextTarget, coming: plan.Prescription) -> bool:
    """Whether a proposal asks less than is planned, and more of it nowhere."""
    if target.exercise_key != coming.exercise.key:
        return target.step is Step.STEP_BACK
    loads = (target.load, coming.load)
    if coming.exercise.load_kind is plan.LoadKind.ASSISTED:
        loads = (coming.load, target.load)
    pairs = list(zip(target.targets, coming.targets, strict=True))
    no_more = loads[0] <= loads[1] and all(one <= other for one, other in pairs)
    return no_more and (loads[0] < loads[1] or any(one < other for one, other in pairs))


def named_by(target: NextTarget, coming: plan.Prescription) -> NextTarget:
    """A hold that asks less than is planned is a step back."""
    is_down = target.step is Step.HOLD and asks_less(target, coming)
    return replace(target, step=Step.STEP_BACK) if is_down else target


def with_targets(proposal: Proposal, targets: tuple[int, ...], load: float) -> Proposal:
    """The proposal as the coach changed it; unchanged numbers leave it as it is."""
    if (targets, load) == (proposal.target.targets, proposal.target.load):
        return proposal
    now = proposal.planned[0]
    before, after = (now.load, sum(now.targets)), (load, sum(targets))
    if proposal.exercise.load_kind is plan.LoadKind.ASSISTED:
        before, after = (-before[0], before[1]), (-after[0], after[1])
    if proposal.to is not None:
        step = proposal.target.step
    elif (targets, load) == (now.targets, now.load):
        step = Step.HOLD
    else:
        step = Step.STEP_UP if after > before else Step.STEP_BACK
    target = replace(proposal.target, step=step, targets=targets, load=load)
    proposed = proposal.proposed or proposal.target
    return replace(proposal, target=target, edited=True, keeps=False, left=False, proposed=proposed)


def as_it_is(proposal: Proposal) -> Proposal:
    """The exercise as the next session asks it, in the place of what was proposed."""
    now, proposed = proposal.planned[0], proposal.proposed or proposal.target
    target = replace(
        proposal.target,
        step=Step.HOLD,
        exercise_key=now.exercise.key,
        targets=now.targets,
        load=now.load,
    )
    return replace(proposal, target=target, swap_to=None, to=None, proposed=proposed)
