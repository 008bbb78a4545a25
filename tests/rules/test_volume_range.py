import pytest

from coaching.rules.plan import Level, Muscle, WeekKind
from coaching.rules.volume import MuscleVolume
from coaching.rules.volume_range import (
    VolumeVerdict,
    judge_volume,
    volume_finding,
    weekly_range,
)


def _volume(sets: float, muscle: Muscle = Muscle.CHEST) -> dict[Muscle, MuscleVolume]:
    return {muscle: MuscleVolume(muscle, fractional_sets=sets)}


# 4: Iversen et al. 2021; 10: Schoenfeld et al. 2017 (a trend, P = 0.074);
# 20: Baz-Valle et al. 2022.
@pytest.mark.parametrize(
    ("level", "low", "high"),
    [
        (Level.ABSOLUTE_BEGINNER, 4, 20),
        (Level.BEGINNER, 4, 20),
        (Level.INTERMEDIATE, 10, 20),
        (Level.ADVANCED, 10, 20),
    ],
)
def test_the_weekly_range_is_the_published_one(level: Level, low: float, high: float) -> None:
    assert weekly_range(level) == (low, high)


@pytest.mark.parametrize(
    ("sets", "verdict"),
    [
        (3.5, VolumeVerdict.TOO_SMALL),
        (4, VolumeVerdict.BELOW),
        (9.5, VolumeVerdict.BELOW),
        (10, VolumeVerdict.WITHIN),
        (20, VolumeVerdict.WITHIN),
        (20.5, VolumeVerdict.ABOVE),
    ],
)
def test_a_plan_is_judged_against_the_range(sets: float, verdict: VolumeVerdict) -> None:
    (line,) = judge_volume(_volume(sets), None, level=Level.INTERMEDIATE)

    assert line.verdict is verdict
    assert (line.planned, line.done) == (sets, None)


def test_what_was_done_is_judged_before_what_was_planned() -> None:
    (line,) = judge_volume(_volume(12), _volume(6), level=Level.ADVANCED)

    assert (line.planned, line.done) == (12, 6)
    assert line.verdict is VolumeVerdict.BELOW


def test_a_muscle_that_should_grow_and_gets_nothing_is_shown() -> None:
    lines = judge_volume(_volume(12), {}, level=Level.BEGINNER, must_grow={Muscle.LATS})

    assert [(line.muscle, line.done) for line in lines] == [(Muscle.CHEST, 0), (Muscle.LATS, 0)]
    assert {line.verdict for line in lines} == {VolumeVerdict.TOO_SMALL}


@pytest.mark.parametrize("kind", [WeekKind.DELOAD, WeekKind.TEST])
def test_a_light_week_is_not_called_too_small(kind: WeekKind) -> None:
    (line,) = judge_volume(_volume(3), _volume(2), level=Level.ADVANCED, kind=kind)

    assert line.verdict is VolumeVerdict.LIGHT_BY_PLAN


@pytest.mark.parametrize(
    ("level", "sets", "sentence", "source", "size"),
    [
        (
            Level.ADVANCED,
            7.5,
            "Chest: 7.5 sets, under the range of 10 to 20.",
            "schoenfeld-2017",
            2.5,
        ),
        (Level.BEGINNER, 3, "Chest: 3 sets, under the range of 4 to 20.", "iversen-2021", 1),
        (Level.ADVANCED, 22, "Chest: 22 sets, above the range of 10 to 20.", "baz-valle-2022", 2),
    ],
)
def test_a_muscle_outside_its_range_is_told_with_the_source_of_that_end(
    level: Level, sets: float, sentence: str, source: str, size: float
) -> None:
    planned = _volume(sets)
    (line,) = judge_volume(planned, None, level=level)

    found = volume_finding(line, planned[Muscle.CHEST], level)

    assert (found.sentence, found.source_key, found.size) == (sentence, source, size)
    assert "is no hard limit" in found.rule
    assert [one.value for one in found.evidence][-2:] == [
        f"{sets:g} sets",
        f"{line.low:g} to {line.high:g} sets a week",
    ]


def test_a_muscle_without_a_set_is_told_with_where_it_has_some() -> None:
    (line,) = judge_volume({}, None, level=Level.ADVANCED, must_grow=[Muscle.CALVES])

    found = volume_finding(line, None, Level.ADVANCED, "6 in week 4")

    assert found.sentence == ("Calves: no set this week, under the range of 10 to 20; 6 in week 4.")
    # As far off as can be: all of the ten that are missing.
    assert (found.size, found.source_key) == (10, "schoenfeld-2017")
    assert [one.value for one in found.evidence][:3] == ["0 sets", "0 sets", "0 sets"]
