"""What a week's logs say of each client: findings first, then the next targets.

Reads a fixed number of weeks for any number of clients with a fixed number of
queries, so that the cost grows with the roster and never with the history.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from django.db.models import prefetch_related_objects

from clients.models import Client
from coaching.rules import log, plan
from coaching.rules.ability import Ability
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.joint_limits import Joints, blocked_by, regressed_by, sparing
from coaching.rules.loads import available_loads, can_do
from coaching.rules.numbers import DELOAD_DUE_UNTIL
from coaching.rules.progression import Exposure, NextTarget, Step, next_target
from coaching.rules.progression_ahead import Ahead
from coaching.rules.signals import block_ends, deload_due, read_signals
from sessions.ahead_reading import Followed, fed
from sessions.kept_abilities import followed as followed_before
from sessions.queries import UNKNOWN_BODY_WEIGHT, week_start
from sessions.set_rows import Place
from sessions.week_facts import BlockPlace, Calendar, Facts, facts_of, with_chosen_load

WEEKS_READ = 8
WEEKS_FOLLOWED = 16
"""How far back the model of ability follows a client at least."""
FOLLOWED_ANEW = 16
"""After so many weeks it begins again, so that the weeks between rest on one belief that goes on."""


@dataclass(frozen=True)
class Proposal:
    """The next target of one exercise, beside what the plan asks now.

    ``planned`` holds every way in which the coming sessions ask for it, the next first.
    """

    exercise_id: int
    exercise: plan.Exercise
    part: plan.Part
    planned: tuple[plan.Prescription, ...]
    last: Exposure
    target: NextTarget
    swap_to: int | None
    to: plan.Exercise | None = None
    """The rung to change to, none when the exercise stays."""
    edited: bool = False

    @property
    def rung(self) -> str:
        """The name of the exercise to change to, empty when it stays."""
        return self.to.name if self.to else ""

    @property
    def changes_plan(self) -> bool:
        """Whether accepting it would change what the coming sessions ask."""
        wanted = (self.target.targets, self.target.load, self.target.exercise_key)
        return any((p.targets, p.load, p.exercise.key) != wanted for p in self.planned)

    @property
    def key(self) -> str:
        """A word that names this proposal in a form."""
        return f"{self.exercise_id}-{self.part.value}"


@dataclass(frozen=True)
class WeekReading:
    """One client's week as the rules read it."""

    client: Client
    week_starts_on: date
    sessions: tuple[log.LoggedSession, ...]
    attendance: tuple[log.Attendance, ...]
    findings: tuple[Finding, ...]
    proposals: tuple[Proposal, ...]
    body_weight: float | None
    place: BlockPlace | None
    plans_block: int | None
    """The block that accepted targets go into, none when nothing is to come."""
    ability: Ability | None = field(default=None, compare=False, repr=False)
    """The client followed up to today, none when the week is history."""

    @property
    def week_sessions(self) -> tuple[log.LoggedSession, ...]:
        """The sessions logged in the week itself."""
        return tuple(s for s in self.sessions if s.on >= self.week_starts_on)

    @property
    def week_attendance(self) -> tuple[log.Attendance, ...]:
        """The week's planned sessions that were due."""
        return tuple(a for a in self.attendance if a.on >= self.week_starts_on)

    @property
    def first(self) -> Finding | None:
        """The finding that brings this client before the coach, if one does."""
        return next(iter(self.urgent), None)

    @property
    def urgent(self) -> tuple[Finding, ...]:
        """The findings that need the coach, most urgent first."""
        found = [f for f in self.findings if f.kind in NEEDS_COACH]
        return tuple(sorted(found, key=lambda f: NEEDS_COACH.index(f.kind)))

    @property
    def steps(self) -> tuple[Proposal, ...]:
        """The proposals that would change the plan."""
        return tuple(p for p in self.proposals if p.changes_plan)

    @property
    def has_week(self) -> bool:
        """Whether there is anything to read: something done, due or found."""
        return bool(self.week_sessions or self.week_attendance or self.first)


# In the order in which clients are put before the coach.
NEEDS_COACH = (
    FindingKind.PAIN,
    FindingKind.JOINT_LIMIT,
    FindingKind.OVERREACHING,
    FindingKind.MISSED,
    FindingKind.EXERCISE_DROP,
    FindingKind.STALLED,
    FindingKind.PACING,
    FindingKind.EFFORT,
    FindingKind.LOG_MISTAKE,
    FindingKind.DELOAD_DUE,
    FindingKind.BLOCK_ENDS,
)


def ranking_key(reading: WeekReading) -> tuple[int, int, str]:
    """Where a client stands in the review, in words: urgency, how much, name."""
    urgency = NEEDS_COACH.index(reading.first.kind) if reading.first else len(NEEDS_COACH)
    return (urgency, -len(reading.urgent), reading.client.name.lower())


def followed_from(week_starts_on: date) -> date:
    """The Monday from which a client is followed for the review of a week."""
    since = (week_starts_on - date.min) // timedelta(weeks=1) % FOLLOWED_ANEW
    return week_starts_on - timedelta(weeks=WEEKS_FOLLOWED - 1 + since)


def read_weeks(clients: Sequence[Client], week_starts_on: date, today: date) -> list[WeekReading]:
    """The readings of those clients for one week, in the order they need the coach.

    17 queries for any number of clients and any length of history.
    """
    start = week_starts_on - timedelta(weeks=WEEKS_READ - 1)
    # Nothing where the coach came with the client, one query for all of them otherwise.
    prefetch_related_objects(clients, "coach")
    followed = followed_from(week_starts_on)
    facts = facts_of(clients, (followed, start), week_starts_on, today)
    readings = [_read(client, week_starts_on, today, facts) for client in clients]
    return sorted(readings, key=ranking_key)


def _read(client: Client, week_starts_on: date, today: date, facts: Facts) -> WeekReading:
    """One client's week; what came after it counts for the next targets only."""
    end = week_starts_on + timedelta(days=6)
    start = week_starts_on - timedelta(weeks=WEEKS_READ - 1)
    followed = tuple(s for s in facts.sessions.get(client.pk, ()) if s.on <= end)
    sessions = tuple(s for s in followed if s.on >= start)
    attendance = tuple(
        a
        for a in facts.attendance.get(client.pk, ())
        if a.on <= end and (a.done or a.skipped_reason or a.on < today)
    )
    coming = facts.coming.get(client.pk)
    calendar = facts.calendars.get(client.pk)
    as_of = min(end + timedelta(days=1), today)
    budget = client.coach.false_alarms_a_year
    ability = followed_before(client.pk, followed)
    findings = read_signals(
        sessions,
        attendance,
        today=as_of,
        believed=ability.believed,
        false_alarms_a_year=budget,
    )
    is_history = week_starts_on < week_start(today) - timedelta(days=7)
    if not is_history:
        fed(ability, facts.sessions.get(client.pk, ())[len(followed) :])
    weight = facts.body_weights.get(client.pk, UNKNOWN_BODY_WEIGHT)
    then = Followed(ability, findings, weight)
    avoided = () if is_history else facts.avoided.get(client.pk, ())
    return WeekReading(
        client=client,
        week_starts_on=week_starts_on,
        sessions=sessions,
        attendance=attendance,
        findings=(*findings, *avoided, *findings_of_plan(calendar, as_of)),
        proposals=_proposals(client, week_starts_on, today, facts, then),
        body_weight=facts.body_weights.get(client.pk),
        place=calendar.place if calendar else None,
        plans_block=coming.block_id if coming else None,
        ability=None if is_history else ability,
    )


def findings_of_plan(calendar: Calendar | None, as_of: date) -> tuple[Finding, ...]:
    """What the weeks as planned say: a block that ends, a deload that is due and not near."""
    if calendar is None:
        return ()
    ends = block_ends(calendar.ends_on, today=as_of)
    weeks = calendar.weeks_without_deload
    is_due = weeks >= DELOAD_DUE_UNTIL.value and not calendar.deload_is_near
    due = deload_due(weeks) if is_due else None
    return tuple(found for found in (due, ends) if found is not None)


def _proposals(
    client: Client, week_starts_on: date, today: date, facts: Facts, followed: Followed
) -> tuple[Proposal, ...]:
    """One proposal for each exercise trained since the week began that is still to come.

    A week longer ago is history: its logs no longer say what to ask next. What the client
    must avoid by now is not proposed: it is replaced, or overridden by name.
    """
    coming = facts.coming.get(client.pk)
    if coming is None or week_starts_on < week_start(today) - timedelta(days=7):
        return ()
    done = facts.exposures.get(client.pk, {})
    joints = facts.joints.get(client.pk, Joints())
    now = Joints(joints.on(today), joints.overrides)

    last = {place: own[-1] for place, found in done.items() if (own := _as_planned(found))}

    def ahead(place: Place, exercise: plan.Exercise) -> Ahead:
        return followed.ahead(last[place], exercise, coming.on[place])

    return tuple(
        _proposal(client, place, planned, done[place], now, facts, ahead)
        for place, planned in coming.asked.items()
        if place in last and last[place].on >= week_starts_on
        if not now.blocking(planned[0].exercise, today)
    )


def _as_planned(exposures: Sequence[Exposure]) -> list[Exposure]:
    """The times when an exercise was not done in place of another one, nor added to the plan."""
    return [one for one in exposures if not one.besides]


def _proposal(
    client: Client,
    place: Place,
    planned: tuple[plan.Prescription, ...],
    exposures: list[Exposure],
    joints: Joints,
    facts: Facts,
    ahead: Callable[[Place, plan.Exercise], Ahead],
) -> Proposal:
    exercise_id, part = place
    equipment = facts.equipment.get(client.pk, ())
    last = _as_planned(exposures)[-1]
    asked = with_chosen_load(last.planned or planned[0], last)
    harder = _harder(client, asked.exercise, joints, facts)
    easier = _easier(client, asked.exercise, joints, facts)
    neighbours = [value for _, value in (n for n in (harder, easier) if n)]
    target = next_target(
        asked,
        exposures,
        loads=available_loads(asked.exercise, equipment),
        harder=harder[1] if harder else None,
        easier=easier[1] if easier else None,
        body_weight=facts.body_weights.get(client.pk, UNKNOWN_BODY_WEIGHT),
        rung_loads={value.key: available_loads(value, equipment) for value in neighbours},
        ahead=ahead(place, asked.exercise),
    )
    rungs = (one for one in (harder, easier) if one)
    swap = next((one for one in rungs if one[1].key == target.exercise_key), (None, None))
    return Proposal(exercise_id, asked.exercise, plan.Part(part), planned, last, target, *swap)


_Rung = tuple[int, plan.Exercise]


def _harder(client: Client, exercise: plan.Exercise, joints: Joints, facts: Facts) -> _Rung | None:
    """The next rung, when equipment allows it and it loads nothing to avoid or regress."""
    found = _allowed(client, (exercise.ladder, exercise.rung + 1), joints, facts)
    return found if found and not regressed_by(found[1], joints.limits) else None


def _easier(client: Client, exercise: plan.Exercise, joints: Joints, facts: Facts) -> _Rung | None:
    """The nearest rung below that the client may do.

    From an exercise that loads what must be regressed it is the nearest that does not, else the
    nearest that loads it less.
    """
    below = [(exercise.ladder, rung) for rung in range(exercise.rung - 1, 0, -1)]
    found = [one for place in below if (one := _allowed(client, place, joints, facts))]
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
    return replace(proposal, target=target, edited=True)
