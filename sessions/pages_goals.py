"""What the client page shows of movement goals: each one as a ladder with the client on it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from clients.models import Client
from clients.queries import joint_limits_of
from coaching.library.models import Exercise, MovementGoal
from coaching.rules import ladder_place as rules
from coaching.rules import log, plan
from coaching.rules.ability import Ability
from coaching.rules.goal_forecast import CAUTION as AHEAD_CAUTION
from coaching.rules.joint_limits import JointLimit
from coaching.rules.ladder_times import amount_words
from sessions.forms_goals import ChangeGoalForm, GoalForm
from sessions.goals_ahead import Outlook, Told, outlook
from sessions.queries_goals import (
    exercises_around,
    exercises_that_tell,
    goals_of,
    sessions_of_exercises,
)

# Said in full once under the goals, and so short on every rung.
NOT_LOGGED = "not logged"


@dataclass(frozen=True)
class AskedLine:
    """One prerequisite: its answer as a word, and the numbers."""

    word: str
    asked: str
    log: str

    @property
    def is_met(self) -> bool:
        """Whether it is out of the way."""
        return self.word == rules.Met.MET.value


@dataclass(frozen=True)
class RungLine:
    """One rung of a goal's ladder as it is drawn."""

    number: int
    key: str
    name: str
    asks: str
    log: str
    is_here: bool
    is_goal: bool
    is_owned: bool
    is_beyond: bool
    prerequisites: tuple[AskedLine, ...]
    blocked: str


@dataclass(frozen=True)
class GoalCard:
    """One open goal: how far it is, the ladder, and what is in the way."""

    goal: MovementGoal
    side: str
    amount: str
    ladder: str
    stands: str
    progress: str
    done_on: date | None
    in_the_way: str
    ahead: Told | None
    """When it comes into reach; none when it was done."""
    rungs: tuple[RungLine, ...]
    form: ChangeGoalForm
    is_added: bool


@dataclass(frozen=True)
class ReachedLine:
    """One goal that was called reached."""

    goal: MovementGoal
    amount: str


@dataclass(frozen=True)
class GoalsSection:
    """All movement goals of a client, and the form for another one."""

    client: Client
    cards: tuple[GoalCard, ...]
    reached: tuple[ReachedLine, ...]
    form: GoalForm
    rule: str = rules.RULE
    caution: str = rules.CAUTION
    ahead_caution: str = AHEAD_CAUTION


@dataclass(frozen=True)
class _Around:
    """What every card is read from."""

    by_key: Mapping[str, plan.Exercise]
    by_id: Mapping[int, plan.Exercise]
    sessions: tuple[log.LoggedSession, ...]
    limits: tuple[JointLimit, ...]
    today: date
    outlook: Outlook | None = None
    added: MovementGoal | None = None


def goals_section(
    client: Client,
    today: date,
    *,
    form: GoalForm | None = None,
    changed: tuple[int, ChangeGoalForm] | None = None,
    added: MovementGoal | None = None,
    ability: Ability | None = None,
) -> GoalsSection:
    """The movement goals of a client; 10 queries whatever the history.

    ``ability`` spares 4 of them where the client was followed up to today already; ``form`` and ``changed`` (a goal's id with its form) are shown again with what to correct;
    the heading of a goal that was just ``added`` takes the focus.
    """
    goals = goals_of(client)
    rows = exercises_around(client, goals)
    open_goals = [goal for goal in goals if goal.reached_on is None]
    around = replace(
        _around(client, open_goals, rows, today),
        outlook=outlook(client, today, ability) if open_goals else None,
        added=added,
    )
    forms = dict([changed]) if changed else {}
    return GoalsSection(
        client=client,
        cards=tuple(_card(goal, around, forms.get(goal.pk)) for goal in open_goals),
        reached=tuple(ReachedLine(goal, _amount(goal)) for goal in goals if goal.reached_on),
        form=form or GoalForm(exercises=rows),
    )


def _around(
    client: Client, goals: Sequence[MovementGoal], rows: Sequence[Exercise], today: date
) -> _Around:
    if not goals:
        return _Around({}, {}, (), (), today)
    # The coach's own exercise goes before a shared one of the same key.
    in_order = sorted(rows, key=lambda row: row.coach_id is not None)
    values = exercises_that_tell(goals, {row.key: row for row in in_order})
    return _Around(
        by_key={one.key: one for one in values.values()},
        by_id=values,
        sessions=sessions_of_exercises(client, values, today),
        limits=joint_limits_of(client, today),
        today=today,
    )


def _card(goal: MovementGoal, around: _Around, form: ChangeGoalForm | None) -> GoalCard:
    exercise = around.by_id[goal.exercise_id]
    rungs = [one for one in around.by_key.values() if one.ladder and one.ladder == exercise.ladder]
    if exercise not in rungs:
        rungs.append(exercise)
    place = rules.place_on_ladder(
        rungs,
        around.sessions,
        known=around.by_key,
        limits=around.limits,
        today=around.today,
    )
    answer = rules.goal_answer(exercise, goal.reps, around.sessions, today=around.today)
    is_done = answer.met is rules.Met.MET
    told = None if is_done or around.outlook is None else around.outlook
    lines = tuple(_rung(one, place, exercise) for one in reversed(place.rungs))
    return GoalCard(
        goal=goal,
        side=exercise.pattern.value if exercise.pattern.value in {"push", "pull"} else "",
        amount=_amount(goal),
        ladder=str(goal.exercise.ladder or ""),
        stands=place.sentence if exercise.ladder and place.here else "",
        progress=answer.sentence,
        done_on=answer.on if is_done else None,
        in_the_way=_in_the_way(lines),
        ahead=told.of(exercise, goal.reps, rungs) if told else None,
        rungs=lines,
        form=form or ChangeGoalForm(goal=goal),
        is_added=goal == around.added,
    )


def _rung(one: rules.RungPlace, place: rules.LadderPlace, goal: plan.Exercise) -> RungLine:
    is_goal, is_beyond = one.exercise == goal, one.exercise.rung > goal.rung
    is_unknown = one.state is rules.RungState.UNKNOWN
    # What a client has passed asks nothing any more, even where it was never owned.
    is_passed = place.here is not None and one.exercise.rung < place.here.exercise.rung
    asked = () if one.is_owned or is_passed or is_beyond else one.prerequisites
    return RungLine(
        number=one.exercise.rung,
        key=one.exercise.key,
        name=one.exercise.name,
        asks=one.asks_words,
        log="" if is_unknown and is_beyond else NOT_LOGGED if is_unknown else one.sentence,
        is_here=one is place.here,
        is_goal=is_goal,
        is_owned=one.is_owned,
        is_beyond=is_beyond,
        prerequisites=tuple(_asked(p) for p in asked),
        blocked=" and ".join(str(limit) for limit in one.blocked_by),
    )


def _asked(one: rules.PrerequisiteAnswer) -> AskedLine:
    log_words = NOT_LOGGED if one.log_words == rules.NOT_LOGGED else one.log_words
    return AskedLine(one.met.value, one.asked_words, log_words)


def _in_the_way(lines: Sequence[RungLine]) -> str:
    """What stands between the client and the goal, counted: each prerequisite once."""
    asked = {line.asked: line.word for rung in lines for line in rung.prerequisites}
    words = list(asked.values())
    not_met, unknown = words.count(rules.Met.NOT_MET.value), words.count(rules.Met.UNKNOWN.value)
    counts = (f"{not_met} not met" if not_met else "", f"{unknown} unknown" if unknown else "")
    told = ", ".join(count for count in counts if count)
    if told:
        return f"Prerequisites on the way: {told}."
    return "All prerequisites on the way are met." if words else ""


def _amount(goal: MovementGoal) -> str:
    return amount_words(goal.reps, plan.Measure(goal.exercise.measure))
