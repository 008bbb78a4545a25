"""What holds after any sequence of acts on any plan."""

from collections import Counter
from datetime import date

from hypothesis import event, given, settings
from hypothesis import strategies as st

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.light_weeks import KEPT
from coaching.blocks.editing.places import find_line, is_fixed
from coaching.blocks.editing.values import MOST_WEEKS
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import week_as_value
from coaching.rules.plan import WeekKind
from coaching.rules.session_clock import session_minutes
from coaching.rules.session_order import findings_for
from coaching.rules.volume import planned_week_volume
from tests.coaching.editing.drawn_plans import (
    all_lines,
    all_sessions,
    drawn_act,
    drawn_plan,
    drawn_setting,
)
from tests.coaching.editing.plans import EXERCISES, setting

BY_CHANCE = st.randoms(use_true_random=True)
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
MOVES = ("move-line", "move-pair", "order-pair", "turn-pair", "move-session")
REBUILDS = ("arrange-session", "fix-pairing", "unpair", "pair-lines")


def tried(plan, act, where):
    """The edit, or none where it is refused; a refusal says something."""
    try:
        edited = apply_act(plan, act, where)
    except BlockError as error:
        said = str(error)
    else:
        event(act["act"])
        return edited
    assert said.endswith(".")
    return None


def values_of(plan):
    return [week_as_value(week, n, EXERCISES) for n, week in enumerate(plan["weeks"], start=1)]


def check_well_formed(plan):
    uids = [one["uid"] for one in [*all_sessions(plan), *all_lines(plan)]]
    assert len(set(uids)) == len(uids)
    assert 1 <= len(plan["weeks"]) <= MOST_WEEKS
    starts = [week["starts_on"] for week in plan["weeks"]]
    assert starts == sorted(set(starts))
    for week, end in zip(plan["weeks"], [*starts[1:], date.max.isoformat()], strict=True):
        days = [session["on"] for session in week["sessions"]]
        assert days == sorted(days)
        assert all(week["starts_on"] <= day < end for day in days)
    for session in all_sessions(plan):
        assert [pair["letter"] for pair in session["pairs"]] == list(
            LETTERS[: len(session["pairs"])]
        )
        assert all(1 <= len(pair["lines"]) <= 2 for pair in session["pairs"])
    for line in all_lines(plan):
        assert 1 <= len(line["targets"]) <= 12
        assert min(line["targets"]) >= 1
        assert 0 <= line["rest_s"] <= 900
        assert line["rir"] is None or 0 <= line["rir"] <= 10
        assert line["name"] == EXERCISES[line["exercise"]].name


@settings(max_examples=300)
@given(BY_CHANCE)
def test_any_acts_leave_the_plan_well_formed_and_the_past_as_it_was(rng):
    plan = drawn_plan(rng)
    where = drawn_setting(rng, plan)
    fixed = [s for s in all_sessions(plan) if is_fixed(s, where)]

    for _ in range(rng.randint(1, 6)):
        before = str(plan)
        edited = tried(plan, drawn_act(rng, plan), where)
        assert str(plan) == before
        plan = edited.snapshot if edited else plan

        check_well_formed(plan)
        now = all_sessions(plan)
        assert all(session in now for session in fixed)


UNLOCKING = ("lock", "unlock")


@settings(max_examples=300)
@given(BY_CHANCE)
def test_no_act_changes_what_is_locked(rng):
    plan = drawn_plan(rng)
    act = drawn_act(rng, plan)
    edited = tried(plan, act, setting())
    if edited is None or act["act"] in UNLOCKING:
        return
    now = {session["uid"]: session for session in all_sessions(edited.snapshot)}
    for session in all_sessions(plan):
        if session.get("locked"):
            # Whole weeks may move on; the day of the week stays.
            after = now[session["uid"]]
            assert after == {**session, "on": after["on"]}
            days = date.fromisoformat(after["on"]) - date.fromisoformat(session["on"])
            assert days.days % 7 == 0
        for pair in session["pairs"]:
            if pair.get("locked"):
                pairs = now[session["uid"]]["pairs"]
                there: list[object] = [{**one, "letter": pair["letter"]} for one in pairs]
                assert pair in there
                # Its place among the pairs is held, unless one came or went.
                if len(pairs) == len(session["pairs"]):
                    assert there.index(pair) == session["pairs"].index(pair)


@settings(max_examples=300)
@given(BY_CHANCE)
def test_moving_within_a_week_keeps_its_sets_reps_and_volume_per_muscle(rng):
    plan = drawn_plan(rng)
    edited = tried(plan, drawn_act(rng, plan, MOVES), setting())
    if edited is None:
        return

    for before, after in zip(values_of(plan), values_of(edited.snapshot), strict=True):
        # A line beside another takes its part; only warm-up sets count otherwise, and they
        # are never put beside working sets.
        was = planned_week_volume(before, body_weight=80)
        assert planned_week_volume(after, body_weight=80) == was


@settings(max_examples=300)
@given(BY_CHANCE)
def test_pairing_and_unpairing_take_no_time(rng):
    """Each set keeps its own rest by the clock's conventions, so a pair takes what two take alone.

    So pairing never lengthens a session. What it saves is rest: the coach may shorten the first
    one's, as the other's set is a rest too.
    """
    plan = drawn_plan(rng)
    edited = tried(plan, drawn_act(rng, plan, REBUILDS), setting())
    if edited is None:
        return

    for before, after in zip(values_of(plan), values_of(edited.snapshot), strict=True):
        for was, now in zip(before.sessions, after.sessions, strict=True):
            minutes = session_minutes(was).total
            assert abs(session_minutes(now).total - minutes) < 1e-9


@settings(max_examples=300)
@given(BY_CHANCE)
def test_a_change_of_one_week_leaves_the_others_equal(rng):
    plan = drawn_plan(rng)
    act = {**drawn_act(rng, plan), "reach": "week"}
    edited = tried(plan, act, setting())
    if edited is None or act["act"] in {"replace-exercise", "leave-out"} or "week" in act["act"]:
        return

    pairs = zip(plan["weeks"], edited.snapshot["weeks"], strict=True)
    changed = [after for before, after in pairs if before != after]
    assert len(changed) == 1
    assert edited.touched <= {s["uid"] for s in all_sessions({"weeks": changed})} | {act["session"]}


@settings(max_examples=300)
@given(BY_CHANCE)
def test_a_session_put_into_order_or_paired_anew_has_no_more_findings(rng):
    plan = drawn_plan(rng, most_weeks=1)
    names = ("arrange-session", "fix-pairing")
    act = drawn_act(rng, plan, names)
    edited = tried(plan, act, setting())
    if edited is None:
        return

    def found(snapshot):
        value = next(s for s in values_of(snapshot)[0].sessions if s.key == act["session"])
        return Counter(one.rule for one in findings_for(value))

    before, after = found(plan), found(edited.snapshot)
    if act["act"] == "fix-pairing":
        rule = next((r for r in before if r.startswith("Push and pull are paired")), "")
        assert after[rule] <= before[rule]
    elif not any(p.get("locked") for s in all_sessions(plan) for p in s["pairs"]):
        parts = next((r for r in before if r.startswith("Warm-up, primary")), "")
        assert after[parts] == 0


@settings(max_examples=300)
@given(BY_CHANCE)
def test_of_values_carried_on_light_weeks_take_how_it_is_done_and_keep_their_sets(rng):
    plan = drawn_plan(rng)
    act = drawn_act(rng, plan, ("change-line", "nudge-line"))
    edited = tried(plan, {**act, "reach": "onward"}, setting())
    if edited is None:
        return

    is_light = plan["weeks"][find_line(plan, act["line"]).week]["kind"] == WeekKind.DELOAD
    usual = plan["weeks"][0], edited.snapshot["weeks"][0]
    for before, after in zip(plan["weeks"], edited.snapshot["weeks"], strict=True):
        if is_light or before["kind"] != WeekKind.DELOAD:
            usual = before, after
            continue
        for was, now in zip(values_in(before), values_in(after), strict=True):
            assert now["targets"] == was["targets"]
            for key in KEPT:
                if now[key] != was[key]:
                    pairs = zip(values_in(usual[0]), values_in(usual[1]), strict=True)
                    assert (was[key], now[key]) in [(then[key], one[key]) for then, one in pairs]


def values_in(week) -> list[dict[str, object]]:
    return [dict(one) for one in all_lines({"weeks": [week]})]
