"""A choice of the next block put into words, with its numbers: kept, or another exercise."""

from coaching.rules import next_block_words as words
from coaching.rules.findings import Evidence
from coaching.rules.joint_limits import regressed_by
from coaching.rules.load_to_choose import needs_load
from coaching.rules.next_block_case import LastBlock, LineChoice, Other, Outcome
from coaching.rules.next_load import load_words
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise, LoadKind
from coaching.rules.progression import Exposure
from coaching.rules.progression_words import amounts, day
from coaching.rules.stair import start_of


def as_kept(line: LastBlock, why: str, sentence: str, rule: str) -> LineChoice:
    """The exercise as it was planned."""
    asked, to = line.asked, line.rung or line.exercise
    told = {"name": line.exercise.name, "to": to.name}
    return LineChoice(
        outcome=Outcome.KEEP,
        exercise=line.exercise,
        targets=asked.targets,
        load=asked.load,
        tempo=asked.tempo,
        why=why,
        sentence=sentence.format(**told, goal=goal_words(line.exercise, asked.targets, asked.load)),
        rule=rule,
        evidence=evidence_of(line),
        as_it_was=True,
    )


def as_swap(line: LastBlock, other: Other, why: str, sentence: str, rule: str) -> LineChoice:
    """Another exercise, as many sets of it, from the bottom of its range."""
    asked, to = line.asked, other.exercise
    targets = (start_of(asked.part, to),) * asked.sets
    is_open = needs_load(to) and not other.load_known
    sentence += words.BEGIN + (words.CHOOSE_LOAD if is_open else "")
    sentence += words.EQUAL_LOAD if other.load_equal and other.load > 0 else ""
    sentence += other.load_from + (words.HURT_BEFORE if other.hurt else "")
    goal = goal_words(to, targets, other.load)
    # The easiest that the equipment makes says nothing of what the client can do.
    load = 0.0 if is_open and to.load_kind is LoadKind.EXTERNAL else other.load
    if is_open and not load:
        goal = amounts(targets, to.measure)
    limits = ", ".join(
        f"{one}{one.when(line.days)}" for one in regressed_by(line.exercise, line.limits)
    )
    return LineChoice(
        outcome=Outcome.SWAP,
        exercise=to,
        targets=targets,
        load=load,
        tempo=asked.tempo if to.measure is line.exercise.measure else other.tempo,
        why=why,
        sentence=sentence.format(
            name=line.exercise.name,
            to=to.name,
            rung=line.rung.name if line.rung else "",
            reason=other.reason,
            why=line.forbidden,
            times=line.hurt,
            limit=PAIN_LIMIT.value,
            limits=limits,
            goal=goal,
        ),
        rule=rule,
        evidence=(*evidence_of(line), Evidence("Why this one", other.reason)),
        could_not_know=words.NOT_KNOWN_NOW if other.load_from else words.NOT_KNOWN_OF_SWAP,
        load_is_open=is_open,
    )


def goal_words(exercise: Exercise, targets: tuple[int, ...], load: float) -> str:
    """Targets and load in a sentence: 5, 5, 5 reps at +10 kg."""
    return f"{amounts(targets, exercise.measure)} at {load_words(exercise, load)}"


def evidence_of(line: LastBlock) -> tuple[Evidence, ...]:
    """How an exercise stood in the block, in numbers."""
    asked = goal_words(line.exercise, line.asked.targets, line.asked.load)
    times = Evidence("Trained in the block", _times(len(line.exposures)))
    hurt = Evidence(f"Pain above {PAIN_LIMIT.value:g} of 10", _times(line.hurt))
    return (
        Evidence("Asked", asked),
        *(_done_evidence(line, one) for one in line.exposures[-1:]),
        times,
        *([hurt] if line.hurt else ()),
        *trend_evidence(line),
    )


def _done_evidence(line: LastBlock, exposure: Exposure) -> Evidence:
    done = [one.amount for one in exposure.sets if not one.warm_up]
    return Evidence(f"Last done, {day(exposure.on)}", amounts(done, line.exercise.measure))


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def trend_evidence(line: LastBlock) -> tuple[Evidence, ...]:
    """The course of its strength, where one is known."""
    return () if line.trend is None else (Evidence("Over the block", line.trend.sentence),)
