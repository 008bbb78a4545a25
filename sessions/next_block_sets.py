"""What a week made from the last one gives each muscle, and what the last one gave."""

from coaching.blocks import charts
from coaching.blocks.editing.places import lines_in
from coaching.blocks.snapshots import WeekData, week_as_value
from coaching.library.queries import exercise_value
from coaching.rules import plan
from coaching.rules.next_block_volume import Kept, sets_of
from coaching.rules.volume_range import weekly_range
from sessions.next_block_reading import NextReading


def sets_in(reading: NextReading, week: WeekData) -> dict[plan.Muscle, float]:
    """Counted sets of each muscle in a week made from the last one; no query."""
    return sets_of(week_as_value(week, 1, exercises_of(reading, week)).sessions)


def kept_of(reading: NextReading) -> Kept:
    """What the usual week gave each muscle, and the range of the client's level; no query."""
    low, high = weekly_range(plan.Level(reading.client.level))
    return Kept(sets_in(reading, reading.last.base), low, high, charts.COUNTED_ONLY)


def exercises_of(reading: NextReading, week: WeekData) -> dict[int, plan.Exercise]:
    """The exercises of a week made from the last one, by row; no query."""
    by_row = {row.pk: row for row in reading.library.rows.values()}
    named = {line["exercise"] for one in week["sessions"] for _pair, line in lines_in(one)}
    known = reading.exercises
    return {pk: known[pk] if pk in known else exercise_value(by_row[pk]) for pk in named}
