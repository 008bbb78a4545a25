"""The next target of each exercise as the coach can accept it, change it, or choose another act."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coaching.rules.findings import FindingKind
from coaching.rules.pain_reach import REACH_RULE
from coaching.rules.plan import Exercise, LoadKind, Measure
from coaching.rules.progression import Step
from coaching.rules.progression_words import PAIN_RULE
from sessions.charts import Series, Spark, spark
from sessions.decided import Kept, is_open
from sessions.exercise_choices import Act, ExerciseChoices, SwapChoice, choices_of
from sessions.next_targets import Proposal
from sessions.pages_review import ReviewWeek, change_line
from sessions.review_words import LIGHT_WEEK, asked_words, before_words, source_words
from sessions.set_words import done_words
from sessions.week_reading import WEEKS_READ, WeekReading

ACT_KEYS = {
    Act.STEP_UP: "u",
    Act.HOLD: "h",
    Act.STEP_BACK: "b",
    Act.SWAP: "s",
    Act.LEAVE: "l",
}
"""The keys that choose an act for the exercise at hand."""


@dataclass(frozen=True)
class ActOption:
    """One act for an exercise with the numbers that would be planned."""

    act: str
    key: str
    targets: str
    load: str
    has_load: bool
    unit: str
    rung: str
    sentence: str
    rule: str


@dataclass(frozen=True)
class SwapOption:
    """One exercise that may take the place, with the numbers that would be planned."""

    pk: int
    name: str
    word: str
    reason: str
    option: ActOption


@dataclass(frozen=True)
class TargetRow:
    """The next target of one exercise as the coach can accept or change it."""

    key: str
    name: str
    when: str
    """Its sessions, where those of the exercise are decided about one by one."""
    side: str
    part: str
    asked: str
    done: str
    done_on: date | None
    is_short: bool
    before: str
    after: str
    changes: bool
    step: str
    sentence: str
    rule: str
    source: str
    rung: str
    unit: str
    targets: str
    load: str
    has_load: bool
    spark: Spark | None
    act: str = ""
    acts: tuple[ActOption, ...] = ()
    swaps: tuple[SwapOption, ...] = ()
    swap: int = 0
    chosen: bool = True
    error: str = ""
    is_care: bool = False
    """Whether it is asked so because something hurts: that is never folded away."""

    @property
    def label(self) -> str:
        """The exercise, told apart from its other rows."""
        return f"{self.name} ({self.when})" if self.when else self.name

    @property
    def may_load(self) -> bool:
        """Whether any act asks for a load."""
        options = (*self.acts, *(one.option for one in self.swaps))
        return self.has_load or any(one.has_load for one in options)

    def as_sent(self, sent: Mapping[str, str], *, chosen: bool, error: str) -> "TargetRow":
        """The same with what the coach sent, and what is wrong with it.

        Numbers that were sent for another plan than that of now give way to those of the act.
        """
        row = replace(self, chosen=chosen, error=error)
        act, swap = sent.get(f"act-{self.key}", self.act), self._swap_sent(sent)
        option = self._option(act, swap)
        if option is None:
            return row
        row = replace(
            row,
            act=act,
            swap=swap,
            rung=option.rung,
            unit=option.unit,
            has_load=option.has_load,
            sentence=option.sentence,
            rule=option.rule,
            source="",
            targets=option.targets,
            load=option.load,
        )
        if self._is_old(sent, option):
            return row
        targets = sent.get(f"targets-{self.key}", row.targets)
        return replace(row, targets=targets, load=sent.get(f"load-{self.key}", row.load))

    def _swap_sent(self, sent: Mapping[str, str]) -> int:
        """The exercise that was chosen to take the place; 0 when it is not offered."""
        wanted = sent.get(f"swap-{self.key}", "")
        return next((one.pk for one in self.swaps if str(one.pk) == wanted), 0)

    def _option(self, act: str, swap: int) -> ActOption | None:
        """What the act plans now; none when it cannot be chosen any more."""
        if act == Act.SWAP:
            return next((one.option for one in self.swaps if one.pk == swap), None)
        return next((one for one in self.acts if one.act == act), None)

    def _is_old(self, sent: Mapping[str, str], option: ActOption) -> bool:
        """Whether the numbers were sent for another plan, rung or act than the row shows now."""
        key = self.key
        if sent.get(f"planned-{key}") != self.before:
            return True
        if sent.get(f"shown-{key}", option.act) != option.act:
            # Without scripts the numbers stay those of another act unless they are written over.
            return sent.get(f"was-{key}") == sent.get(f"targets-{key}")
        return option.act != Act.SWAP and sent.get(f"rung-{key}", "") != option.rung


def courses_of(series: Sequence[Series], week: ReviewWeek, onset: date | None) -> dict[str, Spark]:
    """The course of each exercise over the weeks that are read, by its key."""
    first = week.starts_on - timedelta(weeks=WEEKS_READ - 1)
    last = min(week.ends_on, week.today)
    return {one.exercise.key: spark(one, first, last, onset) for one in series}


def target_rows(
    reading: WeekReading, courses: Mapping[str, Spark], kept: Kept, *, has_light_week: bool = False
) -> tuple[tuple[TargetRow, ...], tuple[TargetRow, ...]]:
    """What was trained in the week, first what would change; then what is to come besides."""
    choices = choices_of(reading)
    if choices is None:
        return (), ()
    # Where a light week comes first, the coach ticks what should change all the same; once it is
    # in, what steps back does so after it.
    waits = reading.first is not None and reading.first.kind in LIGHT_WEEK
    open_ = [p for p in choices.rows.values() if is_open(p, kept)]
    own = [p for p in open_ if p in reading.proposals]
    flagged = {f.exercise for f in reading.urgent if f.exercise}
    # Nothing is built on a number of which the log check asks whether it is right.
    doubted = {f.exercise for f in reading.findings if f.kind is FindingKind.LOG_MISTAKE}

    def place(proposal: Proposal) -> tuple[bool, bool]:
        return (not proposal.changes_plan, proposal.exercise.key not in flagged)

    def row(proposal: Proposal, *, chosen: bool) -> TargetRow:
        made = target_row(proposal, courses.get(proposal.exercise.key))
        return replace(with_acts(made, proposal, choices), chosen=chosen)

    def eases(proposal: Proposal) -> bool:
        is_back = proposal.target.step is Step.STEP_BACK and proposal.changes_plan
        return has_light_week and is_back

    def ticked(proposal: Proposal) -> bool:
        return (not waits or eases(proposal)) and proposal.exercise.key not in doubted

    return (
        tuple(row(p, chosen=ticked(p)) for p in sorted(own, key=place)),
        tuple(row(p, chosen=False) for p in open_ if p not in own),
    )


def target_row(proposal: Proposal, course: Spark | None) -> TargetRow:
    """One proposal as a line of the form."""
    exercise, last, target = proposal.exercise, proposal.last, proposal.target
    line = change_line(proposal)
    work = [s for s in last.sets if not s.warm_up] if last else []
    goal = proposal.to or exercise
    asked = (last.planned if last else None) or proposal.planned[0]
    return TargetRow(
        key=proposal.key,
        name=exercise.name,
        when=proposal.when,
        side=line.side,
        part=proposal.part.value,
        asked=asked_words(asked),
        done=done_words(
            [s.amount for s in work], [s.load for s in work], exercise.measure, exercise.load_kind
        )
        if work
        else "",
        done_on=last.on if last else None,
        is_short=any(s.target is not None and s.amount < s.target for s in work),
        before=before_words(proposal),
        after=line.after,
        changes=proposal.changes_plan,
        step=line.step,
        sentence=target.sentence,
        rule=target.rule,
        source=source_words(target.source_key),
        rung=proposal.rung,
        unit=_unit(goal),
        targets="-".join(str(n) for n in target.targets),
        load=f"{target.load:g}",
        has_load=goal.load_kind is not LoadKind.NONE,
        spark=course,
        is_care=target.rule in {PAIN_RULE, REACH_RULE},
    )


def with_acts(row: TargetRow, proposal: Proposal, choices: ExerciseChoices) -> TargetRow:
    """The line with all that may be decided instead."""
    steps, swaps = choices.steps(proposal), choices.swaps(proposal)
    acts = {act: _option(act, one) for act, one in steps.items()}
    if swaps:
        acts[Act.SWAP] = _option(Act.SWAP, swaps[0].proposal)
    own = proposal.target.step
    return replace(
        row,
        act=(Act.HOLD if own is Step.SWAP else Act(own.value)).value,
        acts=tuple(acts[act] for act in Act if act in acts),
        swaps=tuple(_swap(one) for one in swaps),
    )


def _option(act: Act, proposal: Proposal) -> ActOption:
    goal, target = proposal.to or proposal.exercise, proposal.target
    return ActOption(
        act=act.value,
        key=ACT_KEYS[act],
        targets="-".join(str(n) for n in target.targets),
        load=f"{target.load:g}",
        has_load=goal.load_kind is not LoadKind.NONE,
        unit=_unit(goal),
        rung="" if act is Act.SWAP else proposal.rung,
        sentence=target.sentence,
        rule=f"{target.rule} {source_words(target.source_key)}",
    )


def _swap(choice: SwapChoice) -> SwapOption:
    made = choice.proposal
    option = _option(Act.SWAP, made)
    return SwapOption(made.swap_to or 0, made.rung, choice.word, choice.reason, option)


def _unit(exercise: Exercise) -> str:
    return "s" if exercise.measure is Measure.SECONDS else "reps"
