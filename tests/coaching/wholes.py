"""A block with the plan that its weeks come from, for tests that have the values alone."""

from coaching.blocks.snapshots import Snapshot, WeekData, week_data
from coaching.blocks.whole_block import WholeBlock


def whole_of(weeks, facts, shelf=None):
    """The plan of these weeks; what the facts name locked is locked in it."""
    used = {
        p.exercise.key: p.exercise
        for w in weeks
        for s in w.sessions
        for p in s.session.prescriptions
    }
    given = dict(shelf.rows) if shelf else {}
    free = (row for row in range(1000, 2000))
    rows = {key: given.get(key) or next(free) for key in used}
    plan: Snapshot = {"weeks": [_locked(week_data(one.week, rows), facts.locked) for one in weeks]}
    exercises = {rows[key]: value for key, value in used.items()}
    return WholeBlock(tuple(weeks), facts, plan, exercises, shelf=shelf)


def _locked(week: WeekData, locked) -> WeekData:
    for session in week["sessions"]:
        if session["uid"] in locked:
            session["locked"] = True
        for pair in session["pairs"]:
            if any(line["uid"] in locked for line in pair["lines"]):
                pair["locked"] = True
    return week
