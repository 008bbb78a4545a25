"""What differs between two plans leads from one to the other and exactly back."""

import copy
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from coaching.blocks.editing.deltas import applied, delta, reverse

LEAVES = st.none() | st.booleans() | st.integers(0, 3) | st.text("ab", max_size=2)
TREES = st.recursive(
    LEAVES,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from("abc"), inner),
    max_leaves=12,
)


@given(TREES, TREES)
def test_a_difference_leads_there_and_back(before, after):
    kept = copy.deepcopy((before, after))

    changes = delta(before, after)

    assert applied(before, changes) == after
    assert applied(after, reverse(changes)) == before
    assert (before, after) == kept


@given(TREES)
def test_nothing_differs_from_itself(tree):
    assert delta(tree, tree) == []
    assert applied(tree, []) is tree


def test_one_changed_value_is_kept_alone_however_large_the_plan():
    before: Any = {"weeks": [{"lines": [{"targets": [n], "rest_s": 90}]} for n in range(6)]}
    after = copy.deepcopy(before)
    after["weeks"][3]["lines"][0]["rest_s"] = 60

    assert delta(before, after) == [
        {"path": ["weeks", 3, "lines", 0, "rest_s"], "was": 90, "now": 60}
    ]


def test_a_week_put_in_is_kept_alone():
    before: Any = {"weeks": [{"starts_on": n} for n in range(6)]}
    after: Any = {"weeks": [*before["weeks"][:2], {"starts_on": 9}, *before["weeks"][2:]]}

    changes = delta(before, after)

    assert changes == [{"path": ["weeks"], "start": 2, "was": [], "now": [{"starts_on": 9}]}]
    assert applied(after, reverse(changes)) == before
