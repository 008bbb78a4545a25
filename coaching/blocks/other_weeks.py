"""A remedy put to the whole block before it is offered: what it does to every other week.

A remedy is looked for in the week that is shown, and goes on from there into the later ones.
Here its act is done to the plan, and each week is judged that comes out otherwise. Where one
that gains nothing would have more to look at, the act is asked for in its own week alone; what
it leaves behind that is less pressing stands on its button.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import cached_property, lru_cache

from coaching.blocks.block_findings import Place, WeekScene, scene_of
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import KEPT_TRIED, SessionFigures, WeekFigures
from coaching.blocks.week_sizes import anywhere, counts_alike, lean_of, mine, spaced, week_sizes
from coaching.blocks.whole_block import WholeBlock
from coaching.blocks.words import weeks_named
from coaching.rules.findings import FindingKind, listed
from coaching.rules.plan import WeekKind
from coaching.rules.session_clock import fits
from coaching.rules.session_order import BALANCE_RULE

_PRESSING = list(FindingKind)
_NO_HARM = frozenset({FindingKind.MUSCLE_VOLUME, FindingKind.VOLUME_COURSE})
"""Where time lacks, a muscle may be left short of sets: that is told, and harms nobody."""
_LEAST = 1e-6
_NAMED = 3
_STAY = frozenset({"lighten-week", "light-week-anew", "remove-week", "replace-exercise"})
"""Acts that know no reach; all others go on into later weeks, or stay in their own."""


def is_spared(own: FindingKind, place: Place, was: Mapping[Place, float]) -> bool:
    """Whether a finding that a remedy brings, or makes larger, may stand beside it."""
    if place.kind is FindingKind.LOAD_TO_CHOOSE:
        # What is put in has its load chosen next.
        return True
    if place not in was:
        return place.kind in _NO_HARM and own not in _NO_HARM
    return _PRESSING.index(place.kind) > _PRESSING.index(own)


def grown(was: Mapping[Place, float], now: Mapping[Place, float]) -> Iterator[Place]:
    """What is found now and was not before, or is further off than it was."""
    for place, size in now.items():
        if place not in was or size > was[place] + _LEAST:
            yield place


def worse_at_once(
    was: SessionFigures, now: SessionFigures, minutes: int, kind: WeekKind
) -> Place | None:
    """What minutes and balance of a session alone forbid: they are the quickest to see."""
    if not fits(now.minutes, minutes) and now.minutes.total > was.minutes.total:
        return Place(FindingKind.SESSION_MINUTES, session=was.session.key)
    if kind is not WeekKind.DELOAD and lean_of(now) > lean_of(was):
        return Place(FindingKind.SESSION_ORDER, BALANCE_RULE, session=was.session.key)
    return None


_Both = tuple[WeekScene, WeekScene]
_Pair = tuple[WeekFigures, WeekFigures]
"""A week as it was and as it would be."""


def offered(whole: WholeBlock, own: PlacedFinding, remedy: Remedy, number: int) -> Remedy | None:
    """A remedy of one week as it may be offered: onward, in that week only, or not at all."""
    act = remedy.act
    is_last = act["act"] in _STAY or act["reach"] == "week"
    cost = _cost(whole, own, act, number, is_strict=not is_last)
    if cost is not None:
        return Remedy(f"{remedy.words}{cost}", act, remedy.what)
    if is_last:
        return None
    here = {**act, "reach": "week"}
    cost = _cost(whole, own, here, number, is_strict=False)
    if cost is None:
        return None
    only = ", this week only"
    return Remedy(f"{remedy.words}{only}{cost}", here, f"{remedy.what}{only}")


def _cost(
    whole: WholeBlock, own: PlacedFinding, act: Mapping[str, str], number: int, *, is_strict: bool
) -> str | None:
    """What an act costs other weeks, in words; none where it must not be offered.

    If it is strict, a week that it changes and that gains nothing pays nothing.
    """
    after = whole.after(act)
    if after is None:
        return None
    is_shorter = len(after) < len(whole.weeks)
    known: set[str] = set()
    weeks: list[_Other] = []
    for before, now in _changed(whole, after):
        if not is_shorter and now.week.week.number == number:
            # What its own week pays is known there, and a week that gains as well pays alike.
            known = _named(judged(before, now))
            continue
        if _at_once(before, now):
            return None
        week = _Other(own, judged(before, now))
        if week.is_forbidden(is_strict=is_strict):
            return None
        weeks.append(week)
    return _price((one.number, one.named - (known if one.is_gaining else set())) for one in weeks)


def _changed(whole: WholeBlock, after: Sequence[WeekFigures]) -> Iterator[_Both]:
    """The weeks that come out otherwise and are not over, as they were and as they would be."""
    for old, new in _same(whole.weeks, after):
        if not whole.facts.is_over(new):
            before = scene_of(whole.weeks, old, whole.facts)
            now = scene_of(after, new, whole.facts)
            if before != now:
                yield before, now


def _same(was: Sequence[WeekFigures], now: Sequence[WeekFigures]) -> Iterator[_Pair]:
    """Each week with the one it was; with a week less, in order, those that stand in both."""
    if len(now) >= len(was):
        yield from zip(was, now, strict=True)
        return
    gone = len(was) - len(now)
    at = 0
    for new in now:
        while gone and _sessions_of(was[at]) != _sessions_of(new):
            at, gone = at + 1, gone - 1
        yield was[at], new
        at += 1


class Judged:
    """One week as it was and as it would be, in sizes of what is found in it."""

    def __init__(self, before: WeekScene, now: WeekScene) -> None:
        self.number = now.week.week.number
        touched = _touched(before.week, now.week)
        self.is_touched = bool(touched)
        self.counts = _counts_other(before, now)
        loads = _holds_loads_to_others(before, now)
        self.was = week_sizes(before, touched, counts=self.counts, loads=loads)
        self.now = week_sizes(now, touched, counts=self.counts, before=before.week, loads=loads)
        if _is_nearer(before, now):
            self.was, self.now = self.was | spaced(before), self.now | spaced(now)

    @cached_property
    def worse(self) -> list[Place]:
        """What is found now and was not before, or is further off than it was."""
        return list(grown(self.was, self.now))


@lru_cache(maxsize=KEPT_TRIED)
def judged(before: WeekScene, now: WeekScene) -> Judged:
    """The same, once for each content."""
    return Judged(before, now)


class _Other:
    """Another week, which a remedy changes too."""

    def __init__(self, own: PlacedFinding, judged: Judged) -> None:
        self.number = judged.number
        self.named = _named(judged)
        self._kind, self._judged = own.finding.kind, judged
        was, now, places = judged.was, judged.now, mine(own)
        kinds = {one.kind for one in places}
        here = [one for one in was if one.kind in kinds and anywhere(one) in places]
        self.is_gaining = sum(was[one] - now.get(one, 0.0) for one in here) > _LEAST

    def is_forbidden(self, *, is_strict: bool) -> bool:
        """Whether a remedy must not do this to a week."""
        judged = self._judged
        if is_strict and judged.is_touched and self.named and not self.is_gaining:
            return True
        return not all(is_spared(self._kind, one, judged.was) for one in judged.worse)


def _named(judged: Judged) -> set[str]:
    return {name for one in judged.worse if (name := _called(one))}


def _touched(before: WeekFigures, now: WeekFigures) -> set[str]:
    same = {id(one) for one in before.sessions}.intersection(id(one) for one in now.sessions)
    both = (*before.sessions, *now.sessions)
    return {one.session.key for one in both if id(one) not in same}


def _counts_other(before: WeekScene, now: WeekScene) -> bool:
    """Whether sets or work of a week differ, or what they are judged by."""
    if before.kinds != now.kinds:
        return True
    for was, then in ((before.week, now.week), (before.usual, now.usual)):
        if was is not then and not (was and then and _weeks_alike(was, then)):
            return True
    return False


def _weeks_alike(was: WeekFigures, then: WeekFigures) -> bool:
    return len(was.sessions) == len(then.sessions) and all(
        one is other or counts_alike(one, other)
        for one, other in zip(was.sessions, then.sessions, strict=True)
    )


def _holds_loads_to_others(before: WeekScene, now: WeekScene) -> bool:
    """Whether the loads of a week are held against others than they were."""
    for was, then in ((before.usual, now.usual), (before.following, now.following)):
        if was is not then and not (was and then and was.hardest == then.hardest):
            return True
    return False


def _is_nearer(before: WeekScene, now: WeekScene) -> bool:
    """Whether a session of a week or the one after stands elsewhere, or loads a muscle more."""
    for was, then in ((before.week, now.week), (before.following, now.following)):
        if was is then or was is None or then is None:
            continue
        loads = {id(one): one for one in was.loads}
        known = {one.session.key: one for one in was.loads}
        for one in then.loads:
            if id(one) in loads:
                continue
            old = known.get(one.session.key)
            if old is None or one.session.on != old.session.on:
                return True
            if any(sets > old.sets.get(muscle, 0.0) for muscle, sets in one.sets.items()):
                return True
    return False


def _at_once(before: WeekScene, now: WeekScene) -> bool:
    """Whether a session is worse at once, or goes that has exercises in it."""
    after = {one.session.key: one for one in now.week.sessions}
    minutes, kind = now.facts.minutes, now.week.week.kind
    for was in before.week.sessions:
        then = after.get(was.session.key)
        if then is None and was.session.pairs:
            return True
        if then is not None and then is not was and worse_at_once(was, then, minutes, kind):
            return True
    return False


_CALLED = {
    FindingKind.SESSION_MINUTES: "the minutes",
    FindingKind.SESSION_ORDER: "the order of exercises",
    FindingKind.SPACING: "the days between sessions",
    FindingKind.VOLUME_COURSE: "the rise or fall of volume",
}


def _called(place: Place) -> str:
    """What is told of a finding on a button: its muscle, else its kind."""
    if place.kind is FindingKind.LOAD_TO_CHOOSE:
        return ""
    if place.muscle:
        return place.muscle.value
    return _CALLED.get(place.kind, f"the {place.kind.value}")


def _price(weeks: Iterable[tuple[int, Collection[str]]]) -> str:
    """Then look at biceps and lats in weeks 3 and 4."""
    at: dict[str, list[int]] = {}
    for number, names in weeks:
        for name in names:
            at.setdefault(name, []).append(number)
    by_weeks: dict[tuple[int, ...], list[str]] = {}
    for name, numbers in at.items():
        by_weeks.setdefault(tuple(numbers), []).append(name)
    told = [f"{listed(_few(names))} in {weeks_named(on)}" for on, names in by_weeks.items()]
    return f"; then look at {', '.join(told)}" if told else ""


def _few(names: Sequence[str]) -> list[str]:
    more = [f"{len(names) - _NAMED} more"] if len(names) > _NAMED else []
    return [*sorted(names)[:_NAMED], *more]


def _sessions_of(week: WeekFigures) -> tuple[str, ...]:
    return tuple(one.session.key for one in week.sessions)
