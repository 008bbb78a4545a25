"""A change of a week tried on its values before it is offered: does it help, and harm nothing?"""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from coaching.blocks.block_findings import (
    Place,
    WeekScene,
    findings_in,
    places_of,
    sets_in,
    sizes_of,
    volume_findings,
)
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import SessionFigures, WeekFigures
from coaching.blocks.snapshots import PairData, week_data
from coaching.rules.findings import FindingKind
from coaching.rules.plan import (
    Pair,
    Part,
    PlannedSession,
    PlannedWeek,
    Prescription,
    WeekKind,
)
from coaching.rules.session_clock import fits

_NO_HARM = frozenset({FindingKind.MUSCLE_VOLUME, FindingKind.VOLUME_COURSE})
"""Where time lacks, a muscle may be left short of sets: that is told, and harms nobody."""
_PRESSING = list(FindingKind)
_LEAST = 1e-6
MOST_TRIED = 3


@dataclass(frozen=True, slots=True)
class Trial:
    """A remedy, and the sessions as they would be with it.

    With ``sets_only`` nothing but numbers of sets differs.
    """

    remedy: Remedy
    sessions: tuple[PlannedSession, ...]
    sets_only: bool = False


class Bench:
    """One week, on which remedies are tried."""

    def __init__(self, scene: WeekScene, found: Iterable[PlacedFinding]) -> None:
        self.scene = scene
        self._sizes = sizes_of(found)

    def best(
        self, own: PlacedFinding, trials: Iterable[Trial], *, most: int = 1
    ) -> tuple[list[Remedy], str]:
        """The first that settle or lessen a finding, those that leave nothing else behind first.

        Where there is none, also what stands in the way of the first one.
        """
        clean: list[Remedy] = []
        others: list[Remedy] = []
        why = ""
        for trial in islice(trials, MOST_TRIED):
            result = self._brings(own, trial)
            if isinstance(result, Place):
                why = why or _in_the_way(trial, result)
            elif result is not None:
                (others if result else clean).append(trial.remedy)
            if len(clean) == most:
                break
        found = [*clean, *others][:most]
        return found, "" if found else why

    def _brings(self, own: PlacedFinding, trial: Trial) -> int | Place | None:
        """How many findings of no harm a trial brings, or what forbids it; none without gain."""
        tried = {one.key: SessionFigures(one) for one in trial.sessions}
        week = self.scene.week
        for one in week.sessions:
            if one.session.key in tried:
                worse = self._worse_at_once(one, tried[one.session.key])
                if worse:
                    return worse
        sessions = tuple(tried.get(one.session.key, one) for one in week.sessions)
        value = replace(week.week, sessions=tuple(one.session for one in sessions))
        scene = replace(self.scene, week=WeekFigures(value, sessions))
        after = sizes_of(_told(scene, sets_only=trial.sets_only))
        mine = places_of(own)
        gain = sum(self._sizes[one] - after.get(one, 0.0) for one in mine)
        grown = any(after.get(one, 0.0) > self._sizes[one] + _LEAST for one in mine)
        if gain < _LEAST or grown:
            return None
        beside = [place for place, size in after.items() if self._is_worse(place, size, mine)]
        refused = next((one for one in beside if not self._is_spared(own, one)), None)
        return refused or len(beside)

    def _worse_at_once(self, was: SessionFigures, now: SessionFigures) -> Place | None:
        """What minutes and balance alone forbid: they are the quickest to see."""
        minutes = self.scene.facts.minutes
        too_long = not fits(now.minutes, minutes) and now.minutes.total > was.minutes.total
        if too_long:
            return Place(FindingKind.SESSION_MINUTES, "", "", "", was.session.name)
        lean, before = (abs(one.balance.push_sets - one.balance.pull_sets) for one in (now, was))
        judged = self.scene.week.week.kind is not WeekKind.DELOAD
        if judged and lean > before:
            return Place(FindingKind.SESSION_ORDER, "", "", "", was.session.name)
        return None

    def _is_worse(self, place: Place, size: float, mine: frozenset[Place]) -> bool:
        was = self._sizes.get(place)
        return place not in mine and (was is None or size > was + _LEAST)

    def _is_spared(self, own: PlacedFinding, place: Place) -> bool:
        """Whether a finding that a trial brings, or makes larger, may stand beside it."""
        if place.kind is FindingKind.LOAD_TO_CHOOSE:
            # What is put in has its load chosen next.
            return True
        if place not in self._sizes:
            return place.kind in _NO_HARM and own.finding.kind not in _NO_HARM
        return _PRESSING.index(place.kind) > _PRESSING.index(own.finding.kind)


def _told(scene: WeekScene, *, sets_only: bool) -> Iterator[PlacedFinding]:
    """What a tried week is judged by; what sets have no part in is not looked at for sets."""
    yield from sets_in(scene) if sets_only else findings_in(scene)
    yield from volume_findings(scene)


_HINDERS = {
    FindingKind.SESSION_MINUTES: "would take {} beyond the client’s minutes",
    FindingKind.SESSION_ORDER: "would leave a push without its pull in {}",
}


def _in_the_way(trial: Trial, place: Place) -> str:
    words = _HINDERS.get(place.kind)
    what = trial.remedy.words.partition(" (")[0]
    return f"{what} {words.format(place.session)}." if words and place.session else ""


def with_lines(
    session: PlannedSession,
    keys: Collection[str],
    change: Callable[[Prescription], Prescription],
) -> PlannedSession:
    """A session with some of its exercises changed."""
    pairs = tuple(
        replace(
            pair,
            prescriptions=tuple(change(o) if o.key in keys else o for o in pair.prescriptions),
        )
        for pair in session.pairs
    )
    return replace(session, pairs=pairs)


def act(name: str, *, reach: str = "onward", **fields: str) -> dict[str, str]:
    """An act as the editor takes it."""
    return {"act": name, **fields, "reach": reach}


Rebuild = Callable[[Sequence[PairData], EditSetting], Sequence[PairData]]


def rebuilt(session: PlannedSession, locked: frozenset[str], rebuild: Rebuild) -> PlannedSession:
    """A session with its pairs built anew, as an act on the plan's data does it."""
    lines = {one.key: one for one in session.prescriptions}
    exercises = list({one.exercise.key: one.exercise for one in lines.values()}.values())
    rows = {one.key: row for row, one in enumerate(exercises)}
    week = PlannedWeek(1, WeekKind.BUILD, session.on, (session,))
    (data,) = week_data(week, rows)["sessions"]
    pairs: list[PairData] = [
        {**pair, "locked": any(line["uid"] in locked for line in pair["lines"])}
        for pair in data["pairs"]
    ]
    made = rebuild(pairs, EditSetting(session.on, exercises=dict(enumerate(exercises))))
    return replace(
        session,
        pairs=tuple(
            Pair(one["letter"], Part(one["part"]), tuple(lines[ln["uid"]] for ln in one["lines"]))
            for one in made
        ),
    )
