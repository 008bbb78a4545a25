"""What the review proposes for usual weeks comes from usual weeks, in the sets that they have.

That a light week is no measure for the weeks after it, and that its sets are fewer than theirs,
is common practice, no source.
"""

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.rules.progression import Step
from sessions.models import LoggedSet
from sessions.next_targets import with_targets
from sessions.proposal_words import proposal_words
from sessions.review_services import accept_proposals
from sessions.week_reading import read_weeks
from tests.factories.written_blocks import written_block
from tests.sessions.courses.days import PRESS, ROW, asked, done

pytestmark = pytest.mark.django_db

LESS = {"A": [("primary", PRESS, (6, 6, 6), 60.0), ("primary", ROW, (6, 6), 50.0)]}


def usual(press=(6,) * 5, row=(6,) * 5, loads=(60.0, 50.0)):
    return {"A": [("primary", PRESS, press, loads[0]), ("primary", ROW, row, loads[1])]}


def proposed(client, week, today):
    return {one.exercise.name: one for one in read_weeks([client], week, today)[0].proposals}


def accept_all(client, week, today, by):
    reading = read_weeks([client], week, today)[0]
    accept_proposals(reading=reading, proposals=reading.proposals, today=today, by=by)


@pytest.fixture
def after_light(cleo, last_week, now):
    """A block that ended with a light week, all done, and the next one that begins after it."""
    start = last_week - timedelta(weeks=1)
    written_block(cleo, start, [usual(), LESS], light=[1])
    done(cleo, start, last_week + timedelta(days=6))
    return written_block(cleo, last_week + timedelta(weeks=1), [usual((7, 6, 6, 6, 6))] * 3)


def test_a_light_week_that_ends_the_block_proposes_nothing(
    ana, cleo, after_light, last_week, today
):
    before = snapshot_of(after_light)

    reading = read_weeks([cleo], last_week, today)[0]
    assert reading.proposals == ()
    assert "the week was a light one" in proposal_words(reading, today)
    assert reading.asks is not None
    stays = {one.target.sentence for one in reading.asks.untrained()}
    told = f"{ROW} was done in a light or test week only: 6, 6, 6, 6, 6 reps at 50 kg, as planned."
    assert any(one.startswith(told) for one in stays)
    accept_all(cleo, last_week, today, ana)

    assert snapshot_of(after_light) == before


def test_a_light_week_in_the_middle_proposes_nothing(ana, cleo, last_week, today, now):
    start = last_week - timedelta(weeks=1)
    block = written_block(cleo, start, [usual(), LESS, *[usual((7, 6, 6, 6, 6))] * 2], light=[1])
    done(cleo, start, last_week + timedelta(days=6))
    before = snapshot_of(block)

    accept_all(cleo, last_week, today, ana)

    assert snapshot_of(block) == before


def test_pain_of_a_light_week_counts_and_keeps_the_sets(ana, cleo, after_light, last_week, today):
    row = LoggedSet.objects.filter(exercise__name=PRESS, logged_session__on__gte=last_week)
    row.update(pain=7, pain_where="shoulder")

    press = proposed(cleo, last_week, today)[PRESS]
    assert press.target.step is Step.STEP_BACK
    assert len(press.target.targets) == 5
    accept_all(cleo, last_week, today, ana)

    assert {len(targets) for targets, _load in asked(after_light).values()} == {5}


def test_a_new_block_that_asks_more_than_was_done_stands(ana, cleo, last_week, today, now):
    """Its maker has put the step up into it already."""
    written_block(cleo, last_week, [usual()])
    done(cleo, last_week, last_week + timedelta(days=6))
    block = written_block(cleo, last_week + timedelta(weeks=1), [usual((7, 6, 6, 6, 6))] * 2)

    press = proposed(cleo, last_week, today)[PRESS]

    assert (press.target.step, press.target.targets) == (Step.HOLD, (7, 6, 6, 6, 6))
    before = snapshot_of(block)
    accept_all(cleo, last_week, today, ana)
    assert (
        snapshot_of(block)["weeks"][0]["sessions"][0]["pairs"][0]
        == (before["weeks"][0]["sessions"][0]["pairs"][0])
    )


def test_a_new_block_that_asks_less_than_was_done_steps_up_from_what_it_asks(
    cleo, last_week, today, now
):
    written_block(cleo, last_week, [usual()])
    done(cleo, last_week, last_week + timedelta(days=6))
    written_block(cleo, last_week + timedelta(weeks=1), [usual((5, 5, 5))] * 2)

    press = proposed(cleo, last_week, today)[PRESS]

    # Every set reached 6, so 6 is done and one set is asked for 7; the plan has 3 sets.
    assert (press.target.step, press.target.targets) == (Step.STEP_UP, (7, 6, 6))


def test_a_target_missed_in_the_same_block_is_not_asked_higher(cleo, last_week, today, now):
    """The plan was written before it was missed: what was missed is asked again."""
    written_block(cleo, last_week, [usual(), *[usual((7,) * 5)] * 2])
    done(cleo, last_week, last_week + timedelta(days=6), drop=1)

    press = proposed(cleo, last_week, today)[PRESS]

    assert press.target.targets == (6, 6, 6, 6, 6)
    assert press.target.step is Step.STEP_BACK


def test_weeks_of_other_numbers_of_sets_keep_them(ana, cleo, last_week, today, now):
    weeks = [usual((6,) * 3), usual((6,) * 3), usual((6,) * 4), usual((6,) * 5)]
    block = written_block(cleo, last_week, weeks)
    done(cleo, last_week, last_week + timedelta(days=6))

    accept_all(cleo, last_week, today, ana)

    assert [len(targets) for targets, _ in asked(block).values()] == [3, 3, 4, 5]


def test_a_coach_may_change_the_number_of_sets(ana, cleo, last_week, today, now):
    block = written_block(cleo, last_week, [usual()] * 4)
    done(cleo, last_week, last_week + timedelta(days=6))
    reading = read_weeks([cleo], last_week, today)[0]
    press = next(one for one in reading.proposals if one.exercise.name == PRESS)

    fewer = with_targets(press, (6, 6, 6), 60.0)
    accept_proposals(reading=reading, proposals=[fewer], today=today, by=ana)

    assert [targets for targets, _ in asked(block, since=today).values()] == [(6, 6, 6)] * 2


targets = st.lists(st.integers(4, 9), min_size=1, max_size=6).map(tuple)


@settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    # Each case writes a block; making a found one smaller would take minutes.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
@given(
    weeks=st.lists(st.tuples(targets, targets, st.booleans()), min_size=2, max_size=4),
    drop=st.integers(0, 3),
)
def test_all_accepted_no_week_has_other_sets_than_before(
    ana, cleo, last_week, today, now, weeks, drop
):
    cleo.blocks.all().delete()
    plan = [usual(press, row) for press, row, _light in weeks]
    light = [place for place, (_p, _r, is_light) in enumerate(weeks) if is_light]
    block = written_block(cleo, last_week, plan, light=light)
    done(cleo, last_week, last_week + timedelta(days=6), drop=drop)
    before = sets_of(block)

    if read_weeks([cleo], last_week, today)[0].plans_block is not None:
        accept_all(cleo, last_week, today, ana)

    assert sets_of(block) == before


def sets_of(block):
    return [len(line["targets"]) for _session, line in lines_of(snapshot_of(block))]
