"""An act tried on its week before it is offered: does it help, and harm nothing?"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import NamedTuple

from coaching.blocks.block_findings import Place, WeekScene, places_of, sizes_of
from coaching.blocks.charts import signed
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.other_weeks import Judged, is_spared, offered, worse_at_once
from coaching.blocks.plan_figures import SessionFigures, WeekFigures
from coaching.blocks.remedies_price import price, ranges_of
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit
from coaching.rules.session_order import BALANCE_RULE

_LEAST = 1e-6
MOST_TRIED = 3
HARMS = "Every change that would mend this makes another week worse."


@dataclass(frozen=True, slots=True)
class Trial:
    """An act in words, and the sessions of its week that it changes.

    ``tells_minutes``: what it does to the minutes of its session stands on the button.
    """

    words: str
    act: Mapping[str, str]
    sessions: tuple[SessionFigures, ...]
    tells_minutes: bool = False


class Tried(NamedTuple):
    """An act and what became of its sessions."""

    remedy: Remedy
    before: tuple[SessionFigures, ...]
    after: tuple[SessionFigures, ...]


class _Result(NamedTuple):
    """A remedy that may be offered, and how much it leaves behind; else why not."""

    remedy: Remedy | None = None
    left_behind: int = 0
    why: str = ""


def tried(trial: Trial, whole: WholeBlock) -> Tried | None:
    """What an act does to the sessions of its week; none where it is refused or does nothing."""
    pairs = [(one, whole.session_after(one, trial.act)) for one in trial.sessions]
    done = tuple(after for _, after in pairs if after is not None)
    if not done or len(done) < len(pairs):
        return None
    words = trial.words
    if trial.tells_minutes:
        minutes = [round(one.minutes.total) for one in (trial.sessions[0], done[0])]
        words = f"{words} ({signed(minutes[1] - minutes[0])} min)"
    return Tried(Remedy(words, trial.act, trial.words), trial.sessions, done)


class Bench:
    """One week of a block, on which remedies are tried."""

    def __init__(self, scene: WeekScene, found: Iterable[PlacedFinding], whole: WholeBlock) -> None:
        self.scene, self.whole = scene, whole
        self._sizes = sizes_of(found)

    @property
    def limits_ahead(self) -> tuple[JointLimit, ...]:
        """The joint limits that count for some session from this week on."""
        here = self.scene.week.week.number
        weeks = [one for one in self.whole.weeks if one.week.number >= here]
        return self.scene.facts.limits_on(*(f.session.on for one in weeks for f in one.sessions))

    def in_block(self, placed: PlacedFinding) -> PlacedFinding:
        """A finding with those of its remedies that the other weeks let be offered."""
        found = (self._offered(placed, one) for one in placed.remedies)
        left = tuple(one for one in found if one is not None)
        is_refused = placed.remedies and not left
        return replace(placed, remedies=left, way_out=HARMS if is_refused else placed.way_out)

    def _offered(self, own: PlacedFinding, remedy: Remedy) -> Remedy | None:
        return offered(self.whole, own, remedy, self.scene.week.week.number)

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
            result = self._result(own, trial)
            if result.remedy:
                (others if result.left_behind else clean).append(result.remedy)
            why = why or result.why
            if len(clean) == most:
                break
        found = [*clean, *others][:most]
        return found, "" if found else why

    def _result(self, own: PlacedFinding, trial: Trial) -> _Result:
        done = tried(trial, self.whole)
        if done is None:
            return _Result()
        scene = self.scene
        for was, now in zip(done.before, done.after, strict=True):
            worse = worse_at_once(was, now, scene.facts.minutes, scene.week.week.kind)
            if worse:
                return _Result(why=self._in_the_way(trial, worse))
        both, mine = self._judged(done), places_of(own)
        gains = [self._was(one, both) - both.now.get(one, 0.0) for one in mine]
        if sum(gains) < _LEAST or any(gain < -_LEAST for gain in gains):
            return _Result()
        beside = [one for one in both.worse if one not in mine]
        for place in beside:
            if not is_spared(own.finding.kind, place, both.was):
                return _Result(why=self._in_the_way(trial, place))
        remedy = self._offered(own, self._priced(own, done))
        return _Result(remedy, len(beside)) if remedy else _Result(why=HARMS)

    def _was(self, place: Place, both: Judged) -> float:
        """How far off it was; what an act does not touch is neither more nor less of it.

        Only a muscle without a set is told and not counted.
        """
        told = self._sizes[place] if place.muscle and both.counts else 0.0
        return both.was.get(place, told)

    def _judged(self, done: Tried) -> Judged:
        week = self.scene.week
        now = {one.session.key: one for one in done.after}
        sessions = tuple(now.get(one.session.key, one) for one in week.sessions)
        value = replace(week.week, sessions=tuple(one.session for one in sessions))
        scene = replace(self.scene, week=WeekFigures(value, sessions))
        return Judged(self.scene, scene)

    def _priced(self, own: PlacedFinding, done: Tried) -> Remedy:
        """With the muscles that it takes sets from and leaves under their range."""
        if own.finding.kind is FindingKind.MUSCLE_VOLUME:
            return done.remedy
        cost = price(ranges_of(self.scene), done.before, done.after)
        words = done.remedy.words
        return replace(done.remedy, words=f"{words}: {cost}") if cost else done.remedy

    def _in_the_way(self, trial: Trial, place: Place) -> str:
        words = _HINDERS.get((place.kind, place.rule)) or _HINDERS.get((place.kind, ""))
        named = [o.session.name for o in self.scene.week.sessions if o.session.key == place.session]
        return f"{trial.words} {words.format(named[0])}." if words and named else ""


_HINDERS = {
    (FindingKind.SESSION_MINUTES, ""): "would take {} beyond the client’s minutes",
    (FindingKind.SESSION_ORDER, BALANCE_RULE): "would leave a push without its pull in {}",
}


def act(name: str, *, reach: str = "onward", **fields: str) -> dict[str, str]:
    """An act as the editor takes it."""
    return {"act": name, **fields, "reach": reach}


def first_of(ways: Sequence[Tried], count: int) -> tuple[Remedy, ...]:
    """The remedies of the first few."""
    return tuple(one.remedy for one in ways[:count])
