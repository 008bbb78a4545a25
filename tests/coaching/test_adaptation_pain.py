"""What loads a joint that hurt lately steps back in a draft too: common practice, no source."""

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.rules.loads import EquipmentItem
from coaching.rules.pain_reach import Hurt, Reach, reach
from coaching.rules.plan import EquipmentKind, Level, Part
from tests.coaching.test_adaptation_rungs import DAY, LEVELS, LIBRARY, TEMPOS, keys, plan

SHOULDER = Hurt(LIBRARY["incline-push-up"], 6, "left shoulder", DAY)
OVERHEAD = Hurt(LIBRARY["pike-push-up"], 6, "left shoulder", DAY)


def fit(made, *pains):
    return adapted(
        made,
        LIBRARY,
        ClientMeans(
            list(LIBRARY.values()),
            equipment=[EquipmentItem(one) for one in EquipmentKind],
            levels=LEVELS,
            level=list(Level).index(Level.ADVANCED),
            tempos=TEMPOS,
            pains=pains,
        ),
    )


@pytest.mark.parametrize(
    ("asked", "hurt"),
    [("dip", OVERHEAD), ("push-up", SHOULDER), ("incline-push-up", SHOULDER)],
)
def test_a_press_that_loads_the_sore_joint_alike_gives_way_to_an_easier_rung(asked, hurt):
    found = fit(plan(asked), hurt)
    ((without, _),), ((key, _),) = keys(fit(plan(asked))), keys(found)

    assert (without, reach(hurt, LIBRARY[asked])) == (asked, Reach.ALIKE)
    assert reach(hurt, LIBRARY[key]) is not Reach.ALIKE
    assert LIBRARY[key].ladder in {hurt.exercise.ladder, LIBRARY[asked].ladder}
    why = f"{hurt.exercise.name} hurt 6 of 10 on 25 Nov."
    assert any(one.endswith(why) for one in found.told.must_see)


def test_what_the_pain_does_not_reach_and_what_steadies_stay():
    ((squat, _),) = keys(fit(plan("squat"), SHOULDER))
    ((cuff, _),) = keys(fit(plan("band-external-rotation", part=Part.PREHAB), SHOULDER))

    assert (squat, cuff) == ("squat", "band-external-rotation")


def test_no_rung_comes_twice_into_a_session():
    found = [key for key, _ in keys(fit(plan("push-up", "dip"), SHOULDER))]

    assert len(set(found)) == len(found) == 2
