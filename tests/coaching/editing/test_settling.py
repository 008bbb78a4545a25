"""What is past or begun stands as it was published, whatever a working copy says of it."""

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from coaching.blocks.editing.settling import settled
from coaching.blocks.snapshots import Snapshot

MONDAYS = ("2026-03-02", "2026-03-09", "2026-03-16")
WEDNESDAY = date(2026, 3, 11)


def line(uid, reps=5):
    return {"uid": uid, "exercise": 1, "name": "Row", "targets": [reps], "load_kg": 0.0,
            "tempo": "3-0-1-0", "rest_s": 90, "rir": 2}  # fmt: skip


def session(uid, on, *lines):
    pairs = [{"letter": "A", "part": "primary", "lines": [one]} for one in lines]
    return {"uid": uid, "name": "A", "on": on, "pairs": pairs}


def week(starts_on, *sessions, kind="build"):
    return {"starts_on": starts_on, "kind": kind, "sessions": list(sessions)}


PLAN: Snapshot = {
    "weeks": [
        week(MONDAYS[0], session("s1", "2026-03-02", line("l1"))),
        week(
            MONDAYS[1],
            session("s2", "2026-03-09", line("l2")),
            session("s3", "2026-03-12", line("l3")),
        ),
        week(MONDAYS[2], session("s4", "2026-03-16", line("l4"))),
    ]
}


def test_a_plan_without_changes_of_the_past_comes_back_itself():
    assert settled(PLAN, PLAN, today=WEDNESDAY, begun=frozenset()) is PLAN


def test_a_changed_session_that_is_begun_meanwhile_is_as_published():
    changed: Snapshot = {
        "weeks": [*PLAN["weeks"][:2], week(MONDAYS[2], session("s4", "2026-03-16"))]
    }

    assert settled(changed, PLAN, today=WEDNESDAY, begun=frozenset()) is changed
    assert settled(changed, PLAN, today=WEDNESDAY, begun=frozenset({"s4"})) == PLAN


def test_a_line_moved_out_of_a_session_begun_meanwhile_stands_there_once():
    moved: Snapshot = {
        "weeks": [
            PLAN["weeks"][0],
            week(
                MONDAYS[1],
                PLAN["weeks"][1]["sessions"][0],
                session("s3", "2026-03-12"),
            ),
            week(MONDAYS[2], session("s4", "2026-03-16", line("l4"), line("l3"))),
        ]
    }

    plan = settled(moved, PLAN, today=WEDNESDAY, begun=frozenset({"s3"}))

    uids = [
        one["uid"]
        for one_week in plan["weeks"]
        for one_session in one_week["sessions"]
        for pair in one_session["pairs"]
        for one in pair["lines"]
    ]
    assert len(uids) == len(set(uids)) == 5
    assert plan == settled(moved, PLAN, today=WEDNESDAY, begun=frozenset({"s3"}))


def test_a_week_taken_out_stays_where_a_session_of_it_is_begun():
    without: Snapshot = {"weeks": PLAN["weeks"][:2]}

    assert settled(without, PLAN, today=WEDNESDAY, begun=frozenset({"s4"})) == PLAN


def test_a_session_of_a_day_that_is_past_and_never_published_is_left_out():
    new = week(MONDAYS[1], *PLAN["weeks"][1]["sessions"], session("new", "2026-03-10"))
    plan: Snapshot = {"weeks": [PLAN["weeks"][0], new, PLAN["weeks"][2]]}

    assert settled(plan, PLAN, today=WEDNESDAY, begun=frozenset()) == PLAN


DAYS = st.sampled_from([f"2026-03-{day:02}" for day in range(2, 23)])
SESSIONS = st.builds(
    session, st.sampled_from(["s1", "s2", "s3", "s4", "s5"]), DAYS, st.just(line("l9", 9))
)


@given(st.lists(SESSIONS, max_size=5, unique_by=lambda one: one["uid"]), DAYS,
       st.frozensets(st.sampled_from(["s1", "s2", "s3", "s4"])))  # fmt: skip
def test_whatever_is_edited_the_past_stands_and_what_comes_is_kept(sessions, day, begun):
    today = date.fromisoformat(day)
    weeks = [
        week(
            monday,
            *sorted(
                (
                    one
                    for one in sessions
                    if monday <= one["on"] <= monday[:8] + f"{int(monday[8:]) + 6:02}"
                ),
                key=lambda one: one["on"],
            ),
        )
        for monday in MONDAYS
    ]
    plan = settled({"weeks": weeks}, PLAN, today=today, begun=begun)

    found = {one["uid"]: one for one_week in plan["weeks"] for one in one_week["sessions"]}
    fixed = {
        one["uid"]: one
        for one_week in PLAN["weeks"]
        for one in one_week["sessions"]
        if one["on"] < day or one["uid"] in begun
    }
    coming = {one["uid"]: one for one in sessions if one["uid"] not in fixed and one["on"] >= day}
    assert found == coming | fixed
    assert settled(plan, PLAN, today=today, begun=begun) is plan
