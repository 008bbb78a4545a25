"""The next block from the last one: what stays, steps up, steps back, gives way to another.

Continuity where it worked, steps from what was achieved, another exercise where one hurt,
stalled or cannot be done any more, and change after two blocks alike. All of it is common
practice without a published source, but for the limit of pain. A choice proposes; the coach
decides line by line. For healthy adults: who hurts belongs to a licensed practitioner.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from coaching.rules import next_block_words as words
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import regressed_by, sparing
from coaching.rules.next_block_case import (
    LastBlock,
    LineChoice,
    Other,
    Outcome,
    with_sore,
)
from coaching.rules.next_block_choice import (
    as_kept,
    as_swap,
    evidence_of,
    goal_words,
    trend_evidence,
)
from coaching.rules.next_block_likeness import harder, nearest_first, ranked, that_spare, varied
from coaching.rules.next_block_numbers import (
    ALIKE_SHARE,
    BLOCKS_ALIKE_MOST,
    HURT_TIMES,
)
from coaching.rules.next_block_stays import with_why_it_stays
from coaching.rules.pain_reach import REACH_RULE
from coaching.rules.plan import Level, Part
from coaching.rules.progression import NextTarget, Step
from coaching.rules.progression_ahead import without_ahead
from coaching.rules.progression_words import PAIN_RULE, TOP_RULE
from coaching.rules.stair import usual_range

__all__ = [
    "ALIKE",
    "KEEP",
    "LastBlock",
    "LineChoice",
    "Other",
    "Outcome",
    "are_alike",
    "next_block",
    "ranked",
]

ALIKE = "two blocks alike"
"""Why an exercise changes though nothing is wrong with it."""

KEEP = "keep"
"""A coach's wish to leave a line as it was, where others name the exercise to take."""

_STEADY = frozenset({Part.PREHAB, Part.WARM_UP})
_NEW = frozenset({Level.ABSOLUTE_BEGINNER, Level.BEGINNER})


def are_alike(last: Collection[str], before: Collection[str]) -> bool:
    """Whether two blocks are on similar exercises, from the keys of their exercises.

    >>> are_alike({"dip", "row", "squat"}, {"dip", "row", "lunge"})
    True
    """
    return bool(last) and len(set(last) & set(before)) >= ALIKE_SHARE.value * len(set(last))


def next_block(
    lines: Mapping[str, LastBlock],
    wished: Mapping[str, str] | None = None,
    unfit: Mapping[str, Mapping[str, str]] | None = None,
) -> dict[str, LineChoice]:
    """What each exercise of the last block becomes in the next one.

    The same exercise gives way to the same one everywhere, and no exercise comes in that
    the block has already, but an easier rung for one that hurt.

    Args:
        lines: How each exercise stood, by a key of the caller's, in the order of the block.
        wished: What the coach chose by the same key: ``KEEP``, or the key of another
            exercise. What cannot be done is not kept, and only what is offered is taken.
        unfit: By the same key which exercises would put a muscle out of its range, and what
            they would do in words: they come in only where one has to and no other can.
    """
    own, lines, barred = wished or {}, with_sore(lines), unfit or {}
    chosen: dict[str, LineChoice] = {}
    taken = {line.exercise.key for line in lines.values()}
    swapped: dict[str, str] = {}
    # What the coach chose is settled first, so that no proposal takes it away.
    for key in sorted(lines, key=lambda key: not own.get(key)):
        line = lines[key]
        twin = swapped.get(line.exercise.key, "")
        choice = _wished(line, own.get(key, "")) or _choose(
            line, taken - {twin}, twin, barred.get(key, {})
        )
        chosen[key] = choice
        if choice.exercise is not None and choice.exercise.key != line.exercise.key:
            swapped.setdefault(line.exercise.key, choice.exercise.key)
            taken.add(choice.exercise.key)
    return {key: chosen[key] for key in lines}


def _wished(line: LastBlock, wish: str) -> LineChoice | None:
    if wish == KEEP and not line.forbidden:
        return as_kept(line, "your choice", words.KEPT, words.KEPT_RULE)
    other = next((one for one in line.others if one.exercise.key == wish), None)
    if other is None:
        return None
    return as_swap(line, other, "your choice", words.WISHED, words.WISHED_RULE)


_Decision = Callable[[LastBlock, Sequence[Other]], LineChoice | None]


def _choose(
    line: LastBlock, taken: Collection[str], twin: str, unfit: Mapping[str, str]
) -> LineChoice:
    """The first decision that has an answer; what took its place elsewhere comes first."""
    free = [one for one in ranked(line) if one.exercise.key not in taken]
    free.sort(key=lambda one: one.exercise.key != twin)
    # What hurt when it was last done comes in only for what cannot stay, where nothing else can.
    sound = [one for one in free if not one.hurt]
    fit = [one for one in sound if one.exercise.key not in unfit]
    # For the joints all that is sound is looked at: the range of a muscle only decides between
    # what spares them alike, so those that keep it stand first.
    spared = [*fit, *(one for one in sound if one.exercise.key in unfit)]
    for decide in _DECISIONS:
        found = decide(line, spared if decide in _MUST else fit)
        if found is None and decide is _forbidden:
            found = decide(line, free)
        if found is not None:
            return found
    found = _from_log(line, taken, fit)
    return with_why_it_stays(line, found, is_due=_is_due(line), taken=taken, unfit=unfit)


def _forbidden(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    if not line.forbidden:
        return None
    best = next(iter(nearest_first(line, free)), None)
    if best is None:
        return None
    return as_swap(line, best, "not possible now", words.FORBIDDEN, words.FORBIDDEN_RULE)


def _out(line: LastBlock, _free: Sequence[Other]) -> LineChoice | None:
    """What cannot stay and has nothing in its place."""
    if not line.forbidden:
        return None
    asked = line.asked
    return LineChoice(
        outcome=Outcome.LEAVE_OUT,
        exercise=None,
        targets=(),
        load=0.0,
        tempo=asked.tempo,
        why="not possible now",
        sentence=words.LEFT_OUT.format(name=line.exercise.name, why=line.forbidden),
        rule=words.FORBIDDEN_RULE,
        evidence=evidence_of(line),
    )


def _hurt(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    """Another exercise for one that keeps hurting, if there is one that loads less of the same."""
    if line.hurt < HURT_TIMES.value:
        return None
    best = next(iter(that_spare(line, free)), None)
    if best is None:
        return None
    found = as_swap(line, best, "hurt", words.HURT, words.HURT_RULE)
    return replace(found, sentence=found.sentence + words.CAUTION, source_key="thomee-1997")


def _regressed(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    if not regressed_by(line.exercise, line.limits):
        return None
    own, limits = line.exercise, line.limits
    nearest = nearest_first(line, free)
    best = next((one for one in nearest if sparing(own, one.exercise, limits).spares), None)
    if best is None:
        return None
    return as_swap(line, best, "joint limit", words.REGRESSED, words.REGRESSED_RULE)


def _stalled(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    if line.trend is None or line.trend.kind is not FindingKind.STALLED:
        return None
    if line.serves_goal:
        return _lower(line)
    best = next(iter(varied(line, free)), None)
    if best is None:
        return None
    return as_swap(line, best, "stalled", words.STALLED, words.STALLED_RULE)


def _lower(line: LastBlock) -> LineChoice:
    """The stair again from where the log steps back to, or from the bottom of the range."""
    asked, target = line.asked, line.target
    bottom = min(usual_range(asked.part, line.exercise.measure).bottom, *asked.targets)
    targets, load = (bottom,) * asked.sets, asked.load
    if target is not None and target.step is Step.STEP_BACK and line.rung is None:
        targets, load = target.targets, target.load
    is_lower = (targets, load) != (asked.targets, asked.load)
    goal = goal_words(line.exercise, targets, load)
    return LineChoice(
        outcome=Outcome.STEP_BACK if is_lower else Outcome.KEEP,
        exercise=line.exercise,
        targets=targets,
        load=load,
        tempo=asked.tempo,
        why="stalled, a goal",
        sentence=words.STALLED_GOAL.format(name=line.exercise.name, goal=goal),
        rule=words.STALLED_RULE,
        evidence=evidence_of(line),
    )


def _is_due(line: LastBlock) -> bool:
    """Whether it is to change after two blocks alike: not what is to stay or to change by a rung."""
    part = line.asked.part
    judged = line.exposures and not line.held
    stays = line.serves_goal or not judged or part in _STEADY or line.rung is not None or line.sore
    still_works = line.progresses and (part is Part.PRIMARY or line.level in _NEW)
    return line.blocks_alike >= BLOCKS_ALIKE_MOST.value and not (stays or still_works)


def _alike(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    if not _is_due(line):
        return None
    best = next(iter(varied(line, free)), None)
    if best is None:
        return None
    return as_swap(line, best, ALIKE, words.ALIKE, words.ALIKE_RULE)


def _too_easy(line: LastBlock, free: Sequence[Other]) -> LineChoice | None:
    if line.target is None or line.target.step is not Step.SWAP:
        return None
    best = next(iter(harder(line, free)), None)
    if best is None:
        return None
    return as_swap(line, best, "too easy", words.TOO_EASY, words.TOO_EASY_RULE)


_MUST: tuple[_Decision, ...] = (_forbidden, _hurt, _regressed)
"""Those that are made for the client's joints, whatever becomes of the volume."""
_DECISIONS: tuple[_Decision, ...] = (
    *(_forbidden, _out, _hurt, _regressed),
    *(_stalled, _alike, _too_easy),
)


def _beside_its_rung(line: LastBlock, fit: Sequence[Other], target: NextTarget) -> LineChoice:
    """An exercise whose next rung the block has: past its range another takes its place."""
    best = next(iter(harder(line, fit)), None)
    if best is None or target.step is not Step.STEP_UP:
        return as_kept(line, "next rung is there", words.RUNG_IN_BLOCK, target.rule)
    return as_swap(line, best, "next rung is there", words.RUNG_TAKEN, words.RUNG_TAKEN_RULE)


def _from_log(line: LastBlock, taken: Collection[str], fit: Sequence[Other]) -> LineChoice:
    """What the log asks for next, from what was achieved; without a log all stays."""
    target = line.target
    if target is None or not line.exposures:
        return as_kept(line, "no log", words.NO_LOG, words.NO_LOG_RULE)
    # Pain is no reason to wait for a rung: the easier one may stand in the block twice.
    if line.rung is not None and line.rung.key in taken and target.rule not in _OF_PAIN:
        return _beside_its_rung(line, fit, target)
    to = line.rung or line.exercise
    outcome = _OUTCOME[target.step]
    same = (to.key, target.targets, target.load) == (
        line.exercise.key,
        line.asked.targets,
        line.asked.load,
    )
    if same and target.step is Step.STEP_UP:
        return _onward(line)
    kept = Outcome.KEEP if same else outcome
    known = _BY_RULE if line.rung is None else dict.fromkeys(_OF_PAIN, "hurt")
    why = known.get(target.rule, _WHY[kept])
    return LineChoice(
        outcome=kept,
        exercise=to,
        targets=target.targets,
        load=target.load,
        tempo=line.asked.tempo,
        why=why,
        sentence=without_ahead(target.sentence),
        rule=target.rule,
        evidence=(*target.evidence, *trend_evidence(line)),
        source_key=target.source_key,
        could_not_know=line.trend.could_not_know if line.trend else "",
    )


def _onward(line: LastBlock) -> LineChoice:
    """The step after the one that the last block holds already; as it runs where there is none."""
    asked, after = line.asked, line.following
    goal = goal_words(line.exercise, asked.targets, asked.load)
    told = {"name": line.exercise.name, "asked": goal}
    if after is None or after.step is not Step.STEP_UP:
        return as_kept(
            line, "as it runs now", words.AS_IT_RUNS.format(**told), words.AS_IT_RUNS_RULE
        )
    goal = goal_words(line.exercise, after.targets, after.load)
    return LineChoice(
        outcome=Outcome.STEP_UP,
        exercise=line.exercise,
        targets=after.targets,
        load=after.load,
        tempo=asked.tempo,
        why=words.IF_AS_PLANNED,
        sentence=words.ONWARD.format(**told, goal=goal),
        rule=after.rule,
        evidence=evidence_of(line),
        source_key=after.source_key,
        could_not_know=words.NOT_LOGGED_YET,
    )


_OUTCOME = {
    Step.STEP_UP: Outcome.STEP_UP,
    Step.HOLD: Outcome.KEEP,
    Step.STEP_BACK: Outcome.STEP_BACK,
    Step.SWAP: Outcome.KEEP,
}
_OF_PAIN = (PAIN_RULE, REACH_RULE)
_BY_RULE = {**dict.fromkeys(_OF_PAIN, "hurt"), TOP_RULE: "past its range"}
_WHY = {
    Outcome.STEP_UP: "worked",
    Outcome.KEEP: "goes on",
    Outcome.STEP_BACK: "too hard for now",
}
