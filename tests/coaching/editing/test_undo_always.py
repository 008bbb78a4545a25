"""Whatever acts were done: going back restores the block exactly, and what is past never differs."""

import json

from hypothesis import given, settings

from coaching.blocks.editing.deltas import applied, delta, reverse
from coaching.blocks.editing.settling import settled
from tests.coaching.editing.drawn_plans import drawn_act, drawn_plan, drawn_setting
from tests.coaching.editing.test_acts_always import BY_CHANCE, tried


@settings(max_examples=200)
@given(BY_CHANCE)
def test_undo_restores_the_block_exactly_and_redo_does_it_again(rng):
    start = plan = drawn_plan(rng)
    where = drawn_setting(rng, plan)
    kept = []
    for _ in range(rng.randint(1, 10)):
        edited = tried(plan, drawn_act(rng, plan), where)
        if edited is not None:
            # Kept as the database keeps it.
            kept.append(json.loads(json.dumps(delta(plan, edited.snapshot))))
            plan = edited.snapshot
    end = plan

    for changes in reversed(kept):
        plan = applied(plan, reverse(changes))
    assert plan == start

    for changes in kept:
        plan = applied(plan, changes)
    assert plan == end


@settings(max_examples=200)
@given(BY_CHANCE)
def test_an_edited_plan_can_be_published_as_it_is(rng):
    start = plan = drawn_plan(rng)
    where = drawn_setting(rng, plan)
    for _ in range(rng.randint(1, 6)):
        edited = tried(plan, drawn_act(rng, plan), where)
        plan = edited.snapshot if edited else plan

    assert settled(plan, start, today=where.today, begun=where.begun) == plan
