"""What holds for every block of several days of one exercise, however it is written."""

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.blocks.target_changes import Named, TargetChange, with_targets
from coaching.rules.plan import LoadKind, Measure
from sessions.coming_courses import Course, courses_in

MONDAY = date(2026, 3, 2)
PLACE = (7, "primary")

asks = st.tuples(
    st.lists(st.integers(1, 12), min_size=1, max_size=5),
    st.sampled_from([0.0, 40.0, 42.5, 57.5, 60.0]),
)
weeks = st.lists(
    st.tuples(st.sampled_from(["build", "build", "deload"]), st.lists(asks, max_size=4)),
    min_size=1,
    max_size=5,
)


def written(drawn):
    return {
        "weeks": [
            {
                "starts_on": (MONDAY + timedelta(weeks=n)).isoformat(),
                "kind": kind,
                "sessions": [session(n, place, one) for place, one in enumerate(lines)],
            }
            for n, (kind, lines) in enumerate(drawn)
        ]
    }


def session(week, place, ask):
    targets, load = ask
    line = {"uid": f"line-{week}-{place}", "exercise": 7, "name": "Press", "tempo": "2010"}
    return {
        "uid": f"session-{week}-{place}",
        "name": f"Day {place}",
        "on": (MONDAY + timedelta(weeks=week, days=place)).isoformat(),
        "pairs": [
            {
                "letter": "A",
                "part": "primary",
                "lines": [{**line, "targets": targets, "load_kg": load, "rest_s": 90, "rir": 2}],
            }
        ],
    }


def every_line(snapshot):
    return {
        line["uid"]: line
        for week in snapshot["weeks"]
        for one in week["sessions"]
        for pair in one["pairs"]
        for line in pair["lines"]
    }


@settings(max_examples=60, deadline=None)
@given(weeks, st.integers(0, 34))
def test_every_line_is_of_exactly_one_course(drawn, day):
    plan = written(drawn)
    found = courses_in(plan, {PLACE: Measure.REPS}, MONDAY + timedelta(days=day))

    of_line = {uid: found.of_line(PLACE, uid) for uid in every_line(plan)}
    if not found.when:
        assert set(of_line.values()) <= {Course(*PLACE)}
        return
    own = [uid for course in set(of_line.values()) for uid in found.lines(course) or ()]
    assert len(set(of_line.values())) == len(found.when) > 1
    assert sorted(own) == sorted(of_line)


@settings(max_examples=60, deadline=None)
@given(weeks, st.integers(0, 34))
def test_a_change_of_one_course_leaves_the_others(drawn, day):
    plan, today = written(drawn), MONDAY + timedelta(days=day)
    found = courses_in(plan, {PLACE: Measure.REPS}, today)
    before = every_line(plan)

    for course in {found.of_line(PLACE, uid) for uid in before}:
        change = TargetChange(*PLACE, (20, 20), 99.0, light_too=True, lines=found.lines(course))
        named = {PLACE[0]: Named("Press", LoadKind.EXTERNAL.value)}
        after = every_line(with_targets(plan, [change], today, named))
        changed = {uid for uid in before if before[uid] != after[uid]}
        assert all(found.of_line(PLACE, uid) == course for uid in changed)


@settings(max_examples=60, deadline=None)
@given(weeks, st.integers(0, 20))
def test_a_course_keeps_its_name_once_a_target_of_it_has_changed(drawn, day):
    """A decision is found again by it, whatever was decided about the days since."""
    plan, today = written([one for one in drawn if one[0] == "build"] or drawn), MONDAY
    today += timedelta(days=day)
    found = courses_in(plan, {PLACE: Measure.REPS}, today)

    for key in found.when:
        assert found.of_line(PLACE, key) == Course(*PLACE, key)
