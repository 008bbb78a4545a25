"""What holds for every proposal, whatever was logged."""

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from coaching.rules.plan import LoadKind, Part, Plane
from coaching.rules.progression import Exposure, Step, next_target
from coaching.rules.progression_case import case_of
from coaching.rules.sources import SOURCES
from tests.rules.examples import day, make_exercise, make_prescription, make_pull_up, make_sets

harder_rung = make_exercise("archer", load_kind=LoadKind.NONE, ladder="push-up", rung=5)
easier_rung = make_exercise("incline", load_kind=LoadKind.NONE, ladder="push-up", rung=3)
curl = make_exercise(
    "curl", load_kind=LoadKind.EXTERNAL, body_share=0, plane=Plane.NONE, multi_joint=False
)

amounts = st.lists(st.integers(0, 15), min_size=1, max_size=5)
logs = st.lists(
    st.tuples(amounts, st.sampled_from([0, 2.5, 5, 7]), st.integers(0, 10) | st.none()), max_size=4
)
exercises = st.sampled_from(
    [
        make_pull_up(),
        make_pull_up("assisted", load_kind=LoadKind.ASSISTED),
        curl,
    ]
)
parts = st.sampled_from([Part.PRIMARY, Part.SUPPLEMENTARY, Part.ISOLATION, Part.PREHAB])
available = st.lists(st.sampled_from([0, 2.5, 5, 10, 20]), min_size=1, unique=True)


@st.composite
def cases(draw):
    """A target on the stair, up to four exposures as they may come, loads, neighbours."""
    exercise, load = draw(exercises), draw(st.sampled_from([0, 2.5, 5, 10]))
    bottom = draw(st.integers(4, 9))
    raised, sets = draw(st.integers(0, 4)), draw(st.integers(1, 5))
    targets = (bottom + 1,) * min(raised, sets) + (bottom,) * max(0, sets - raised)
    asked = make_prescription(exercise, targets, load, part=draw(parts))
    exposures = [
        Exposure(
            day(n), make_sets(exercise, done, at, pain=pain), draw(st.sampled_from([asked, None]))
        )
        for n, (done, at, pain) in enumerate(draw(logs))
    ]
    options = {
        "harder": draw(st.sampled_from([None, harder_rung])),
        "easier": draw(st.sampled_from([None, easier_rung])),
    }
    return asked, exposures, tuple(sorted(draw(available))), options


@given(cases())
def test_a_load_is_always_one_that_can_be_made_and_the_answer_never_wavers(case):
    asked, exposures, loads, options = case
    assume(asked.load in loads)

    found = next_target(asked, exposures, loads=loads, body_weight=80, **options)

    assert found == next_target(asked, tuple(exposures), loads=loads, body_weight=80, **options)
    assert found.load in loads or found.exercise_key != asked.exercise.key
    assert len(found.targets) == asked.sets
    assert min(found.targets) >= 1
    assert found.source_key in SOURCES
    assert "{" not in found.sentence
    assert "[" not in found.sentence


@given(cases(), st.lists(st.integers(0, 3), min_size=5, max_size=5))
def test_a_step_up_never_asks_for_more_than_one_rep_beyond_what_was_done(case, extra):
    asked, exposures, loads, options = case
    done = [target + more for target, more in zip(asked.targets, extra, strict=False)]
    reached = Exposure(day(30), make_sets(asked.exercise, done, asked.load), asked)
    well = [one for one in exposures if all((s.pain or 0) <= 5 for s in one.sets)]
    loads = (*loads, asked.load)

    found = next_target(asked, [*well, reached], loads=loads, body_weight=80, **options)

    steady = asked.part is Part.PREHAB
    assert found.step in ({Step.HOLD} if steady else {Step.STEP_UP, Step.SWAP})
    if found.exercise_key == asked.exercise.key:
        pairs = zip(found.targets, done, strict=True)
        assert sum(max(0, target - amount) for target, amount in pairs) <= 1


@given(cases(), st.integers(6, 10))
def test_pain_above_five_never_steps_up_nor_loads_more(case, pain):
    asked, exposures, loads, options = case
    assume(exposures)
    last = exposures[-1]
    exposures[-1] = replace(last, sets=tuple(replace(one, pain=pain) for one in last.sets))

    found = next_target(asked, exposures, loads=loads, body_weight=80, **options)

    assert found.step in {Step.HOLD, Step.STEP_BACK}
    if found.exercise_key == asked.exercise.key:
        assisted = asked.exercise.load_kind is LoadKind.ASSISTED
        # A load that nobody has chosen is the one that was used last.
        before = case_of(asked, exposures, loads=loads, body_weight=80, **options).asked.load
        assert found.load >= before if assisted else found.load <= before
        assert all(new <= old for new, old in zip(found.targets, asked.targets, strict=True))
