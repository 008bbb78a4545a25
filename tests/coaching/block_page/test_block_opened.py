"""What opens in its place on the block's page: an exercise, swaps, exercises to add."""

import pytest
from django.urls import reverse

from clients.services import add_joint_limit
from coaching.blocks.editing.notation import read_rest, read_targets
from coaching.library.models import Exercise
from tests.coaching.block_page.acting import PART, act, lines, open_page, plan_of
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("headers", [PART, {}])
def test_one_exercise_opens_in_its_place_with_all_its_values(ana, block, line, headers):
    url = reverse("blocks:edit-line", args=[block.pk, line.uid])

    answer = signed_in(ana).get(url, headers=headers)

    assert ("<html" in answer.text) is not bool(headers)
    panel = answer.context["panel"] if headers else answer.context["page"].panel
    shown = {one.name: one.value for one in panel.fields}
    for field, value in shown.items():
        assert f'id="panel-{field}"' in answer.text
        assert f'value="{value}"' in answer.text
    assert read_targets(shown["targets"]) == line.targets
    assert read_rest(shown["rest_s"]) == line.rest_s
    assert (shown["tempo"], shown["rir"]) == (line.tempo, str(line.rir))


@pytest.mark.parametrize("query", ["line={line}", "swap={line}", "add={session}", "change=week"])
def test_every_panel_has_an_address_of_its_own(ana, block, line, query):
    session = line.pair.planned_session.uid
    answer = open_page(ana, block, "?week=1&" + query.format(line=line.uid, session=session))

    assert answer.text.count("data-panel") == 1


def test_a_line_that_is_gone_has_no_panel(ana, block, line):
    url = reverse("blocks:edit-line", args=[block.pk, "no-such-line"])

    assert signed_in(ana).get(url, headers=PART).status_code == 404
    assert open_page(ana, block, "?line=no-such-line").status_code == 200


def acts_of(panel):
    """Every act that a panel offers, with the fields that its form sends."""
    known = {
        "line": getattr(panel, "line", ""),
        "session": getattr(panel, "session_uid", ""),
        "week": getattr(panel, "week_starts", ""),
    }
    base = {name: value for name, value in known.items() if value}
    for one in panel.acts:
        yield {**base, "act": one.act, **dict(one.fields)}
    for one in getattr(panel, "choices", ()):
        yield {**base, "act": one.act, one.field: one.options[0][0]}
    for one in getattr(panel, "forms", ()):
        named = {f.name: f.value or (f.options[0][0] if f.options else "x") for f in one.fields}
        yield {**base, "act": one.act, **named}


AS_IT_IS = {
    "line={line}": {("order-pair", "-1")},
    "session={session}": {
        ("arrange-session", ""),
        ("fix-pairing", ""),
        ("rename-session", ""),
        ("move-session", ""),
    },
    "change=week": {("set-week-kind", "")},
}
"""Acts that would leave this block as it is, as they stand in the panel; only they are refused."""


@pytest.mark.parametrize("query", AS_IT_IS)
def test_every_act_of_a_panel_sends_all_that_the_act_needs(ana, block, line, query):
    session = line.pair.planned_session.uid
    asked = "?week=2&" + query.format(line=line.uid, session=session)
    refused = set()

    for sent in acts_of(open_page(ana, block, asked).context["page"].panel):
        if act(ana, block, **sent).status_code == 200:
            assert act(ana, block, "undo-edit").status_code == 200
        else:
            refused.add((sent["act"], sent.get("by", "")))

    assert refused == AS_IT_IS[query]


def swaps_of(coach, block, line):
    url = reverse("blocks:swap-line", args=[block.pk, line.uid])
    return signed_in(coach).get(url, headers=PART).context["panel"].swaps


def test_an_exercise_is_swapped_for_one_that_the_client_can_do(ana, block, line):
    swap = swaps_of(ana, block, line)[0]

    act(ana, block, act="swap-line", line=line.uid, exercise=swap.pk, reach="onward")

    assert swap.name in {one["name"] for one in lines(block)}


def test_each_swap_tells_its_reason_and_what_it_would_do_to_the_week(ana, block, line):
    swaps = swaps_of(ana, block, line)

    assert all(one.reason for one in swaps)
    assert any("sets" in one.effect for one in swaps)


def test_a_swap_for_something_that_is_not_there_is_refused(ana, block, line):
    before = plan_of(block)

    answer = act(ana, block, act="swap-line", line=line.uid, exercise="999999")

    assert answer.status_code == 422
    assert plan_of(block) == before


def test_no_swap_loads_what_the_client_must_avoid(ana, cleo, block, line):
    harder = Exercise.objects.get(ladder=line.exercise.ladder, rung=line.exercise.rung + 1)
    stress = next(iter(harder.joint_stresses))
    assert harder.pk in {swap.pk for swap in swaps_of(ana, block, line)}

    on = line.pair.planned_session.on
    add_joint_limit(client=cleo, stress=stress, action="avoid", since=on)

    rows = Exercise.objects.filter(pk__in={swap.pk for swap in swaps_of(ana, block, line)})
    assert rows
    assert all(stress not in row.joint_stresses for row in rows)


def found_for(coach, block, session, **query):
    url = reverse("blocks:add-line", args=[block.pk, session.uid])
    return signed_in(coach).get(url, query, headers=PART).context["panel"].found


def test_exercises_to_add_are_searched_by_name_muscle_and_pattern(ana, block, line):
    session = line.pair.planned_session

    by_name = found_for(ana, block, session, q="push-up")
    by_muscle = found_for(ana, block, session, q="biceps", pattern="pull")

    assert by_name
    assert all("push-up" in one.name.lower() for one in by_name)
    assert {one.pattern for one in by_muscle} == {"pull"}


def test_what_the_client_has_nothing_for_comes_last_and_says_what_is_missing(ana, block, line):
    found = found_for(ana, block, line.pair.planned_session, q="dip")

    reasons = [one.why_not for one in found]
    assert any("needs" in reason for reason in reasons)
    assert reasons == sorted(reasons, key=bool)


def test_an_exercise_is_added_where_it_was_asked_for(ana, block, line):
    session = line.pair.planned_session
    row = next(one for one in found_for(ana, block, session, pattern="core") if not one.why_not)

    answer = act(ana, block, act="add-exercise", session=session.uid, exercise=row.pk, after="")

    assert answer.status_code == 200
    first = plan_of(block)["weeks"][0]["sessions"][0]
    assert row.pk in {one["exercise"] for pair in first["pairs"] for one in pair["lines"]}
