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
from coaching.blocks.editing.acts import exercises_needed
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.other_weeks import WholeBlock, grown, is_spared, worse_at_once
from coaching.blocks.plan_figures import SessionFigures, WeekFigures
from coaching.blocks.shelf import Shelf
from coaching.blocks.snapshots import PairData, week_data
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit
from coaching.rules.plan import (
    Pair,
    Part,
    PlannedSession,
    PlannedWeek,
    Prescription,
    WeekKind,
)

_LEAST = 1e-6
MOST_TRIED = 3
HARMS = "Every change that would mend this makes another week worse."


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

    def __init__(
        self,
        scene: WeekScene,
        found: Iterable[PlacedFinding],
        shelf: Shelf | None = None,
        whole: WholeBlock | None = None,
    ) -> None:
        self.scene = scene
        self._sizes = sizes_of(found)
        self._shelf, self._whole = shelf, whole

    @property
    def limits_ahead(self) -> tuple[JointLimit, ...]:
        """The joint limits that count for some session from this week on."""
        weeks = self._whole.weeks if self._whole else (self.scene.week,)
        here = self.scene.week.week.number
        sessions = [f.session for one in weeks if one.week.number >= here for f in one.sessions]
        return self.scene.facts.limits_on(*(one.on for one in sessions))

    def in_block(self, placed: PlacedFinding) -> PlacedFinding:
        """A finding with those of its remedies that the other weeks let be offered."""
        offered = (self._offered(placed, one) for one in placed.remedies)
        left = tuple(one for one in offered if one is not None)
        is_refused = placed.remedies and not left
        return replace(placed, remedies=left, way_out=HARMS if is_refused else placed.way_out)

    def _offered(self, own: PlacedFinding, remedy: Remedy) -> Remedy | None:
        if self._whole is None:
            return remedy
        is_new = self._shelf and exercises_needed(remedy.act)
        brought = self._shelf.by_row if self._shelf and is_new else {}
        return self._whole.offered(own, remedy, self.scene.week.week.number, brought)

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
                remedy = self._offered(own, trial.remedy)
                if remedy is None:
                    why = why or HARMS
                else:
                    (others if result else clean).append(remedy)
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
                now = tried[one.session.key]
                worse = worse_at_once(one, now, self.scene.facts.minutes, week.week.kind)
                if worse:
                    return worse
        sessions = tuple(tried.get(one.session.key, one) for one in week.sessions)
        value = replace(week.week, sessions=tuple(one.session for one in sessions))
        scene = replace(self.scene, week=WeekFigures(value, sessions))
        after = sizes_of(_told(scene, sets_only=trial.sets_only))
        mine = places_of(own)
        gain = sum(self._sizes[one] - after.get(one, 0.0) for one in mine)
        is_larger = any(after.get(one, 0.0) > self._sizes[one] + _LEAST for one in mine)
        if gain < _LEAST or is_larger:
            return None
        beside = [one for one in grown(self._sizes, after) if one not in mine]
        refused = (one for one in beside if not is_spared(own.finding.kind, one, self._sizes))
        return next(refused, None) or len(beside)


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
