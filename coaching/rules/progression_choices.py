"""What a coach may choose instead of the proposal: one step up, hold, or an easier target.

A proposal says what the log asks for. These say what the next step would be in either
direction, so that a coach who knows better has numbers to start from. Common practice,
without a published source.
"""

from collections.abc import Mapping, Sequence
from typing import Unpack

from coaching.rules import progression_words as words
from coaching.rules.loads import next_load_down
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Prescription
from coaching.rules.progression import (
    NextTarget,
    Step,
    after_pain,
    answer,
    past_the_top,
    restart,
    step_back,
    to_rung,
)
from coaching.rules.progression_case import Case, Exposure, Known, case_of
from coaching.rules.stair import one_step_up


def as_planned(
    prescription: Prescription, exposures: Sequence[Exposure], **known: Unpack[Known]
) -> NextTarget:
    """What is asked of an exercise that was not trained in the week: the same."""
    case = case_of(prescription, exposures, **known)
    load = prescription.load
    return answer(case, Step.HOLD, words.NOT_TRAINED, words.NOT_TRAINED_RULE, load=load)


def as_planned_after_light(
    prescription: Prescription, exposures: Sequence[Exposure], **known: Unpack[Known]
) -> NextTarget:
    """What is asked of an exercise that was done in a light or test week only: the same."""
    case = case_of(prescription, exposures, **known)
    load = prescription.load
    return answer(case, Step.HOLD, words.LIGHT_ONLY, words.LIGHT_ONLY_RULE, load=load)


def step_choices(
    prescription: Prescription, exposures: Sequence[Exposure], **known: Unpack[Known]
) -> Mapping[Step, NextTarget]:
    """The step up and the step back from what is asked now, as far as there are any.

    Nothing goes up while it hurts above the limit of pain or while strength falls; what cannot
    be made easier has no step back. The arguments are those of ``next_target``.
    """
    case = case_of(prescription, exposures, **known)
    found = {Step.STEP_UP: _up(case), Step.STEP_BACK: _back(case)}
    return {step: target for step, target in found.items() if target is not None}


def _hurts(case: Case) -> bool:
    return any(pain > PAIN_LIMIT.value for pain in case.pains())


def _up(case: Case) -> NextTarget | None:
    if case.ahead.held is not None or _hurts(case):
        return None
    load = case.possible_load(case.asked.load)
    base = case.asked.targets
    if min(base) < case.range.top:
        return answer(
            case,
            Step.STEP_UP,
            words.CHOSEN_UP,
            words.CHOSEN_UP_RULE,
            targets=one_step_up(base, case.range.step),
            load=load,
        )
    found = past_the_top(case, base, load, min(base))
    return found if found.step is Step.STEP_UP else None


def _back(case: Case) -> NextTarget | None:
    if _hurts(case):
        found = after_pain(case)
        return found if found.step is Step.STEP_BACK else _easier(case)
    if case.usual and case.fell_short(case.usual[-1]):
        found = step_back(case, words.CHOSEN_BACK, words.MISSED_RULE)
        return found if found.step is Step.STEP_BACK else None
    return _easier(case)


def _easier(case: Case) -> NextTarget | None:
    """Fewer on every set within the range; below it a lighter load, an easier rung, or fewer."""
    step, asked = case.range.step, case.asked.targets
    fewer = tuple(max(min(step, one), one - step) for one in asked)
    less = answer(case, Step.STEP_BACK, words.CHOSEN_BACK, words.CHOSEN_BACK_RULE, targets=fewer)
    if min(fewer) >= case.range.bottom:
        return less
    lighter = next_load_down(case.asked.load, case.loads, assisted=case.assisted)
    if lighter is not None:
        goal = (min(case.range.bottom, *asked),) * len(asked)
        return answer(
            case,
            Step.STEP_BACK,
            words.CHOSEN_BACK,
            words.CHOSEN_BACK_RULE,
            targets=goal,
            load=lighter,
        )
    if case.easier is not None:
        return to_rung(case, case.easier, Step.STEP_BACK, restart(case, case.easier))
    return less if sum(fewer) < sum(asked) else None
