"""What a coach may decide for each exercise to come: step up, hold, step back, swap, or leave it.

Every choice is a proposal with numbers set by set, so that the page shows what would be planned
and the service plans what was shown.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from functools import cached_property

from coaching.blocks.adaptation import swap_reason, swap_word
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import PlannedSession
from coaching.rules import plan
from coaching.rules.findings import Evidence
from coaching.rules.load_to_choose import needs_load
from coaching.rules.loads import available_loads
from coaching.rules.progression import Step
from coaching.rules.progression_words import CHOOSE_LOAD
from coaching.rules.stair import start_of
from coaching.rules.swapped_targets import swapped_targets
from sessions.next_targets import NextTargets, Proposal, as_it_is
from sessions.pages_swaps import Choice, load_to_begin
from sessions.queries_phone import LastTime, last_times
from sessions.set_words import load_words, sets_words
from sessions.week_reading import WeekReading


class Act(StrEnum):
    """What a coach may decide for one exercise."""

    STEP_UP = Step.STEP_UP.value
    HOLD = Step.HOLD.value
    STEP_BACK = Step.STEP_BACK.value
    SWAP = Step.SWAP.value
    LEAVE = "leave"


SWAP_RULE = (
    "An exercise that trains the same main mover, with the equipment there is and within the joint "
    "limits; targets are kept, or begin anew where it is harder or they were missed, and the load "
    "begins where it was last used. Without a log of it, "
    "body weight alone, or a load that is chosen with the client."
)


@dataclass(frozen=True)
class SwapChoice:
    """One exercise that may take the place of another, with the reason."""

    proposal: Proposal
    word: str
    reason: str


@dataclass(frozen=True)
class ExerciseChoices:
    """The exercises to come of one client, and what may be decided for each."""

    reading: WeekReading
    asks: NextTargets

    @cached_property
    def rows(self) -> Mapping[str, Proposal]:
        """Every exercise to come by its key: what was trained in the week first; no query."""
        found = (*self.reading.proposals, *self.asks.untrained())
        return {one.key: one for one in found}

    def steps(self, proposal: Proposal) -> Mapping[Act, Proposal]:
        """The steps that may be chosen, with their numbers; no query."""
        found = {Act(step.value): one for step, one in self.asks.choices(proposal).items()}
        kept = replace(as_it_is(proposal), keeps=True)
        kept = replace(kept, target=replace(kept.target, sentence=_stays(kept)))
        found.setdefault(Act.HOLD, kept)
        found[Act.LEAVE] = replace(kept, left=True)
        return {act: _instead(proposal, found[act]) for act in Act if act in found}

    def swaps(self, proposal: Proposal) -> tuple[SwapChoice, ...]:
        """What may take its place, best first; 6 or 7 queries for all exercises together."""
        place = proposal.exercise_id
        choice, offers = self._choice, self._offers[place]
        limits, overrides = choice.joints.on(choice.on), choice.joints.overrides
        asked = choice.value(place)
        return tuple(
            SwapChoice(
                proposal=self._swap(proposal, pk, reason),
                word=swap_word(asked, choice.value(pk)),
                reason=reason,
            )
            for pk in offers
            if (reason := swap_reason(asked, choice.value(pk), limits, overrides))
        )

    def _swap(self, proposal: Proposal, pk: int, reason: str) -> Proposal:
        to, now = self._choice.value(pk), proposal.planned[0]
        load, is_open = self._load(to, self._choice.last.get(pk))
        in_place = f"{to.name} in the place of {proposal.exercise.name}: {reason}."
        target = replace(
            proposal.target,
            step=Step.SWAP,
            exercise_key=to.key,
            targets=_begun(proposal, to),
            load=load,
            sentence=in_place + (CHOOSE_LOAD if is_open else ""),
            evidence=(*proposal.target.evidence, Evidence("Why this one", reason)),
            rule=SWAP_RULE,
            source_key="common-practice",
        )
        tempo = self._choice.rows[pk].tempo if to.measure is not now.exercise.measure else None
        made = replace(proposal, target=target, swap_to=pk, to=to, tempo=tempo)
        return _instead(proposal, made)

    def _load(self, to: plan.Exercise, last: LastTime | None) -> tuple[float, bool]:
        """The load [kg] to begin with, and whether it is left to be chosen.

        The easiest that the equipment makes may be far too heavy, an empty bar for a curl, or a
        weight of one kilogram: no log says which.
        """
        if last is None and needs_load(to):
            return 0.0, True
        loads = available_loads(to, self._choice.equipment)
        return load_to_begin(to, loads, last), False

    @cached_property
    def _choice(self) -> Choice:
        named = {one.exercise_id for one in self.rows.values()}
        client = self.reading.client
        return Choice(client, joints_of(client), self.asks.today, named)

    @cached_property
    def _offers(self) -> Mapping[int, Sequence[int]]:
        """By exercise what may take its place and is not in the plan already."""
        choice = self._choice
        planned = {one.exercise_id for one in self.rows.values()}
        found = {pk: choice.instead_of(pk, besides=planned) for pk in planned}
        offered = {one for offers in found.values() for one in offers}
        choice.last = last_times(self.reading.client, offered, None, self.asks.today)
        return found


def _begun(proposal: Proposal, to: plan.Exercise) -> tuple[int, ...]:
    """Where an exercise begins in the place of another: anew after targets that were missed."""
    now = proposal.planned[0]
    found = swapped_targets(now.targets, now.exercise, to, now.part)
    done = proposal.last.sets if proposal.last else ()
    missed = any(
        one.amount < one.target
        for one in done
        if one.target is not None and one.exercise.key == now.exercise.key and not one.warm_up
    )
    first = start_of(now.part, to)
    return tuple(min(one, first) for one in found) if missed else found


def _stays(kept: Proposal) -> str:
    now = kept.planned[0]
    load = load_words(now.load, now.exercise.load_kind)
    sets = sets_words(now.targets, now.exercise.measure)
    return f"{now.exercise.name} stays at {sets}{f' · {load}' if load else ''}."


def _instead(proposal: Proposal, chosen: Proposal) -> Proposal:
    """The choice, with what the log asked for when it is another."""
    return chosen if chosen is proposal else replace(chosen, proposed=proposal.target)


def choices_of(reading: WeekReading) -> ExerciseChoices | None:
    """What may be decided; nothing when the week is history or nothing is to come."""
    if reading.asks is None or reading.plans_block is None:
        return None
    return ExerciseChoices(reading, reading.asks)


def coming_days(reading: WeekReading, today: date) -> tuple[tuple[date, str], ...]:
    """The sessions to come of the block that is decided about, by day and name; 1 query."""
    rows = PlannedSession.objects.filter(
        week__block=reading.plans_block, on__gte=today, started_at__isnull=True
    )
    days = dict(rows.order_by("-on", "-position").values_list("on", "name"))
    return tuple(sorted(days.items()))
