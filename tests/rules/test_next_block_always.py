"""What always holds of the next block, whatever was planned and logged."""

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.next_block import LastBlock, Outcome, next_block
from coaching.rules.plan import (
    Part,
)
from coaching.rules.progression import Exposure, next_target
from coaching.rules.progression_case import Known
from tests.rules.examples import (
    MONDAY,
    make_exercise,
    make_prescription,
    make_sets,
)
from tests.rules.next_block_cases import other, stalled

POOL = [
    make_exercise(f"push-{n}", complexity=1 + n % 4, ladder="ladder" if n % 3 else "", rung=n % 3)
    for n in range(8)
]


@st.composite
def blocks(draw) -> dict[str, LastBlock]:
    found = {}
    for place in range(draw(st.integers(1, 5))):
        exercise = draw(st.sampled_from(POOL))
        asked = make_prescription(
            exercise,
            draw(st.lists(st.integers(4, 10), min_size=1, max_size=5)),
            part=draw(st.sampled_from(Part)),
        )
        free = draw(st.lists(st.sampled_from(POOL), max_size=5, unique=True))
        times = draw(st.integers(0, 4))
        exposures = tuple(
            Exposure(
                on=MONDAY + timedelta(days=3 * n),
                sets=make_sets(
                    exercise,
                    [max(0, target - draw(st.integers(0, 2))) for target in asked.targets],
                    pain=draw(st.sampled_from([None, 3, 7])),
                ),
                planned=asked,
            )
            for n in range(times)
        )
        known: Known = {
            "loads": (0.0, 2.5),
            "harder": None,
            "easier": None,
            "body_weight": 70.0,
        }
        found[f"{place}"] = LastBlock(
            asked=asked,
            exposures=exposures,
            target=next_target(asked, exposures, **known) if exposures else None,
            trend=draw(st.sampled_from([None, stalled()])),
            blocks_alike=draw(st.integers(1, 2)),
            serves_goal=draw(st.booleans()),
            forbidden=draw(st.sampled_from(["", "needs rings"])),
            others=tuple(other(one) for one in free if one.key != exercise.key),
        )
    return found


@given(blocks(), st.dictionaries(st.integers(0, 4).map(str), st.sampled_from(["keep", "push-1"])))
def test_only_what_is_allowed_comes_in_and_the_number_of_sets_stays(lines, wished):
    found = next_block(lines, wished)

    assert list(found) == list(lines)
    for key, choice in found.items():
        case = lines[key]
        allowed = {one.exercise.key for one in case.others}
        if choice.exercise is None:
            assert case.forbidden
            assert choice.outcome is Outcome.LEAVE_OUT
            continue
        assert choice.exercise.key in allowed | {case.exercise.key}
        assert not (case.forbidden and choice.exercise.key == case.exercise.key)
        # Sets on each side stay as they were, so that push and pull stay as they stood.
        assert len(choice.targets) == case.asked.sets
        assert choice.exercise.pattern is case.exercise.pattern
        assert choice.sentence
        assert choice.rule
        assert "{" not in choice.sentence


@given(blocks())
def test_an_exercise_that_comes_in_by_itself_is_never_in_the_block_already(lines):
    had = {case.exercise.key for case in lines.values()}

    for key, choice in next_block(lines).items():
        if choice.exercise is not None and choice.exercise.key != lines[key].exercise.key:
            assert choice.exercise.key not in had


@given(blocks())
def test_what_comes_in_for_variation_is_no_step_down(lines):
    for key, choice in next_block(lines).items():
        case, to = lines[key], choice.exercise
        if choice.outcome is not Outcome.SWAP or choice.why not in {"stalled", "two blocks alike"}:
            continue
        assert to is not None
        assert to.complexity >= case.exercise.complexity
        assert (to.plane, to.load_kind) == (case.exercise.plane, case.exercise.load_kind)


@given(blocks())
def test_nothing_goes_up_that_hurt_above_the_limit_in_two_sessions_or_lately(lines):
    for key, choice in next_block(lines).items():
        case = lines[key]
        lately = any((one.pain or 0) > 5 for e in case.exposures[-2:] for one in e.sets)
        if lately and case.asked.part is not Part.WARM_UP:
            assert choice.outcome is not Outcome.STEP_UP
