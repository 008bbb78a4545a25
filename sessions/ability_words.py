"""The sentence above a chart of ability: what it shows, in the words of a coach."""

from collections.abc import Sequence
from datetime import date

from clients.templatetags.in_words import day
from coaching.rules.ability_course import Band, LevelOn, SharedOn
from coaching.rules.plan import Exercise, Measure
from sessions.review_words import short_day


def exercise_words(exercise: Exercise, levels: Sequence[LevelOn], since: date | None) -> str:
    """How strong a client is in one exercise now, and against before."""
    last = levels[-1]
    how = "held for a second" if exercise.measure is Measure.SECONDS else "moved once"
    body = ", body weight included" if exercise.body_share else ""
    return (
        f"On {day(last.on)} about {last.now.middle:.0f} kg could be {how}{body} "
        f"(9 times in 10: {between(last.now, 'kg')}): {_against(levels, since)}."
    )


def _against(levels: Sequence[LevelOn], since: date | None) -> str:
    """The change since before a fall, or since the chart begins; none within the band is told."""
    last = levels[-1]
    earlier = [one for one in levels if since and one.on < since]
    before = earlier[-1] if earlier else levels[0]
    change = last.now.middle - before.now.middle
    if last.now.low <= before.now.middle <= last.now.high:
        return f"no clear change since {short_day(before.on)}"
    share = abs(change) / before.now.middle
    more = "more" if change > 0 else "less"
    return f"{abs(change):.1f} kg ({share:.0%}) {more} than on {short_day(before.on)}".replace(
        "%", " %"
    )


def shared_words(shared: Sequence[SharedOn], since: date | None) -> str:
    """Where all exercises together stand now."""
    last = shared[-1]
    band = f"9 times in 10: {between(last.now, '%')}"
    if last.now.low <= 0 <= last.now.high:
        return f"On {day(last.on)} all exercises together stood at their own level ({band})."
    where = "below" if last.now.middle < 0 else "above"
    began = f", since about {short_day(since)}" if since and last.now.middle < 0 else ""
    return (
        f"On {day(last.on)} all exercises together stood {abs(last.now.middle):.0f} % {where} "
        f"their own level ({band}){began}."
    )


def between(band: Band, unit: str) -> str:
    """The ends of a band.

    >>> between(Band(70.0, 75.0, 80.25), "kg"), between(Band(-3.0, 0.0, 3.0), "%")
    ('70.0 to 80.2 kg', '−3.0 to +3.0 %')
    """
    if unit == "%":
        return f"{band.low:+.1f} to {band.high:+.1f} %".replace("-", "−")
    return f"{band.low:.1f} to {band.high:.1f} {unit}"
