"""Time between sessions that load the same muscle: about 48 hours, common practice.

Conventions:

* A session *loads* a muscle with more than ``SPACING_SETS`` fractional sets. Prehab does not count:
  it stays far from failure. A light day among hard ones is therefore no fault.
* Muscles that mostly hold and assist, and calves and abs, which are trained on most days by
  habit, are left out (a house choice).
* A plan knows days and no hours: sessions on following days are 24 h apart, two on one day 0 h.

No published norm exists, so this informs and never blocks.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from coaching.rules.block_numbers import SPACING_HOURS, SPACING_SETS
from coaching.rules.findings import Evidence, Finding, FindingKind, listed
from coaching.rules.plan import Muscle, Part, PlannedSession, PlannedWeek
from coaching.rules.set_counts import muscle_sets

NOT_SPACED = frozenset(
    {Muscle.ABS, Muscle.CALVES, Muscle.FOREARMS, Muscle.LOWER_BACK, Muscle.ROTATOR_CUFF}
)
RULE = (
    f"Sessions that load the same muscle are {SPACING_HOURS.value:g} hours apart or more. That a "
    f"session loads it with more than {SPACING_SETS.value:g} sets is a choice of this tool."
)


@dataclass(frozen=True, slots=True)
class SessionLoad:
    """One session and the muscles that it loads; ``sets`` are fractional sets of that session."""

    session: PlannedSession
    sets: Mapping[Muscle, float]


@dataclass(frozen=True, slots=True)
class Close:
    """Two sessions that load the same muscles; ``hours`` [h] between their days are too few."""

    before: SessionLoad
    after: SessionLoad
    hours: int
    muscles: tuple[Muscle, ...]


_TIRES_LITTLE = frozenset({Part.WARM_UP, Part.PREHAB})


def session_load(session: PlannedSession) -> SessionLoad:
    """Which muscles a session loads, warm-up and prehab left out."""
    sets = muscle_sets(session.prescriptions, without=_TIRES_LITTLE)
    spaced = (m for m in Muscle if m not in NOT_SPACED)
    loaded = {m: sets[m] for m in spaced if sets.get(m, 0.0) > SPACING_SETS.value}
    return SessionLoad(session, loaded)


def close_sessions(loads: Sequence[SessionLoad]) -> tuple[Close, ...]:
    """Each two sessions that are too close for the muscles both load; ``loads`` in any order.

    Each is held against those after it until one is far enough away: of three days running the
    first and second are told, and the second and third.
    """
    in_time = sorted(loads, key=lambda one: one.session.on)
    found = []
    for place, before in enumerate(in_time):
        for after in in_time[place + 1 :]:
            hours = _hours(before.session, after.session)
            if hours >= SPACING_HOURS.value:
                break
            both = tuple(muscle for muscle in before.sets if muscle in after.sets)
            if both:
                found.append(Close(before, after, hours, both))
    return tuple(found)


def findings_for(week: PlannedWeek, following: PlannedWeek | None = None) -> tuple[Finding, ...]:
    """What stands too close in a week, and between its end and the week that follows."""
    return week_findings(
        [session_load(one) for one in week.sessions],
        [session_load(one) for one in following.sessions] if following else (),
    )


def week_findings(
    week: Sequence[SessionLoad], following: Iterable[SessionLoad] = ()
) -> tuple[Finding, ...]:
    """The same from loads that are known already; both of one week or the first of the two."""
    return tuple(close_finding(one) for one in close_of_week(week, following))


def close_of_week(
    week: Sequence[SessionLoad], following: Iterable[SessionLoad] = ()
) -> tuple[Close, ...]:
    """Each two sessions too close to each other whose earlier one is of this week."""
    own = {id(one) for one in week}
    return tuple(one for one in close_sessions([*week, *following]) if id(one.before) in own)


def close_finding(close: Close) -> Finding:
    """Two sessions too close to each other, in words and numbers."""
    muscles = listed([muscle.value for muscle in close.muscles])
    first, then = close.before.session, close.after.session
    return Finding(
        kind=FindingKind.SPACING,
        sentence=(
            f"{_called(first)} and {_called(then)} both load {muscles}: "
            f"about {close.hours} h between, {SPACING_HOURS.value:g} h is usual."
        ),
        evidence=tuple(
            Evidence(
                muscle.value.capitalize(),
                f"{close.before.sets[muscle]:g} sets, then {close.after.sets[muscle]:g}",
            )
            for muscle in close.muscles
        ),
        rule=RULE,
        source_key="house",
        could_not_know="The hour of day, and how sore the client is.",
        size=sum(close.before.sets[one] + close.after.sets[one] for one in close.muscles),
        sessions=(first.name, then.name),
    )


def _called(session: PlannedSession) -> str:
    """Name and weekday: Upper (Tue); the name alone where it says the day already."""
    on = session.on
    return session.name if f"{on:%A}" in session.name else f"{session.name} ({on:%a})"


def _hours(before: PlannedSession, after: PlannedSession) -> int:
    return int((after.on - before.on).total_seconds() // 3600)
