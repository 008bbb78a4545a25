"""The quick sizes of a week are those of what is found in it, whatever a plan holds."""

from random import Random

import pytest

from coaching.blocks.block_findings import findings_in, scene_of, sizes_of, volume_findings
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.week_sizes import spaced, week_sizes
from coaching.rules.findings import FindingKind
from coaching.rules.plan import Muscle
from tests.coaching.editing.drawn_plans import drawn_plan, drawn_setting
from tests.coaching.effecting import FACTS, session, week
from tests.coaching.test_remedies_always import EXERCISES, as_typed, drawn_facts


@pytest.mark.parametrize("seed", range(80))
def test_what_is_counted_quickly_is_what_is_found(seed):
    rng = Random(seed)  # noqa: S311 - a drawing, no secret
    plan = as_typed(rng, drawn_plan(rng))
    facts = drawn_facts(rng, plan, drawn_setting(rng, plan))
    weeks = plan_figures(plan, EXERCISES)
    for one in weeks:
        scene = scene_of(weeks, one, facts)
        every = {figures.session.key for figures in one.sessions}

        quick = week_sizes(scene, every, counts=True) | spaced(scene)

        found = sizes_of((*findings_in(scene), *volume_findings(scene)))
        assert quick.keys() == found.keys()
        assert quick == pytest.approx(found)


def test_a_muscle_that_has_no_set_any_more_is_under_its_range():
    was, now = week(1), week(1, session(0, pull=0), session(3, pull=0))
    scene = scene_of([now], now, FACTS)

    sizes = week_sizes(scene, (), counts=True, before=was)

    # The range of an intermediate begins at 10 sets.
    lost = {o.muscle: size for o, size in sizes.items() if o.kind is FindingKind.MUSCLE_VOLUME}
    assert lost[Muscle.LATS] == lost[Muscle.BICEPS] == 10
