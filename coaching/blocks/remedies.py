"""What would settle a finding in one act, where there is one that makes nothing else worse.

An act is what the block's editor takes. A remedy is offered and never done by itself, and
only after it was tried on the week: see ``trials``.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from coaching.blocks import remedies_equipment, remedies_sets, remedies_swaps
from coaching.blocks.block_findings import ClientFacts, WeekScene, kept_findings, volume_findings
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import SessionFigures
from coaching.blocks.remedies_loads import for_load, for_odd_set
from coaching.blocks.remedies_minutes import for_minutes
from coaching.blocks.trials import Bench, Trial, act, tried
from coaching.blocks.whole_block import WholeBlock
from coaching.rules import session_order
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.muscle_spacing import (
    Close,
    SessionLoad,
    close_of_week,
    close_sessions,
)
from coaching.rules.numbers import DELOAD_SHARE, DELOAD_TOLERANCE
from coaching.rules.plan import PlannedSession
from coaching.rules.rep_range import ODD_RULE
from coaching.rules.session_faults import same_fault
from coaching.rules.volume_course import LIGHT_RULE, LONG_RULE, TWO_LIGHT_RULE

MOST_REMEDIES = 2
_KEPT = 50
MOST_MUSCLES = 3
"""So many muscles outside their range are told with a remedy; the others are named only."""

_IN_ORDER = ("Put {} in order", "arrange-session")
_REBUILDS = {session_order.PAIR_RULE: ("Pair {} by plane", "fix-pairing")}


@dataclass(frozen=True, slots=True)
class Remedied:
    """What is found in a week with what settles it: in its sessions, and muscle by muscle."""

    findings: tuple[PlacedFinding, ...]
    volume: tuple[PlacedFinding, ...]


@lru_cache(maxsize=_KEPT)
def remedied(scene: WeekScene, whole: WholeBlock) -> Remedied:
    """All that is found in a week of a block, with at most ``MOST_REMEDIES`` for each."""
    found, volume = kept_findings(scene), volume_findings(scene)
    bench = Bench(scene, (*found, *volume), whole)
    settled = [_told_why(_with_remedies(one, bench), scene) for one in found]
    muscles = [remedies_sets.for_muscle(one, bench) for one in volume[:MOST_MUSCLES]]
    once = _each_once([*settled, *muscles])
    return Remedied(once[: len(found)], (*once[len(found) :], *volume[MOST_MUSCLES:]))


def _told_why(placed: PlacedFinding, scene: WeekScene) -> PlacedFinding:
    """Why nothing is offered where all that a finding is about stays as it is."""
    facts = scene.facts
    here = [one.session for one in scene.week.sessions if one.session.key in placed.keys]
    is_free = not here or any(facts.may_change(one) for one in here)
    if is_free or placed.remedies or placed.way_out or facts.is_over(scene.week):
        return placed
    if all(one.on < facts.today or one.key in facts.begun for one in here):
        return replace(placed, way_out="It is past or begun, so it stays as it was.")
    return replace(placed, way_out="What is locked stays: unlock it to change it.")


def _each_once(told: Sequence[PlacedFinding]) -> tuple[PlacedFinding, ...]:
    """No button twice: where an act was offered already, the words say so."""
    offered: set[str] = set()
    found = []
    for placed in told:
        again = [one for one in placed.remedies if one.sent in offered]
        left = tuple(one for one in placed.remedies if one not in again)
        offered.update(one.sent for one in left)
        why = placed.way_out
        if again and not left:
            why = f"{again[0].what}, offered above, helps here too."
        found.append(replace(placed, remedies=left, way_out=why))
    return tuple(found)


def _with_remedies(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    if one.finding.rule == session_order.BALANCE_RULE:
        return bench.in_block(remedies_sets.for_balance(one, bench))
    settle = _BY_KIND.get(one.finding.kind)
    return settle(one, bench) if settle else one


def _for_minutes(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    return bench.in_block(for_minutes(one, bench))


def _for_repetitions(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    is_odd = one.finding.rule == ODD_RULE
    return for_odd_set(one, bench) if is_odd else remedies_swaps.for_repetitions(one, bench)


def _in_order(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    ways = tuple(_for_order(one, bench))[:MOST_REMEDIES]
    return bench.in_block(replace(one, remedies=ways))


def _drawn_apart(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    return bench.in_block(replace(one, remedies=tuple(_for_spacing(one, bench.scene))))


def _on_the_week(one: PlacedFinding, bench: Bench) -> PlacedFinding:
    """A light week too many is taken out; where none came for long, this one is made light."""
    week, facts = bench.scene.week, bench.scene.facts
    is_open = week.week.starts_on >= facts.today and all(
        facts.may_change(figures.session)
        and all(facts.is_free(line) for line in figures.session.prescriptions)
        for figures in week.sessions
    )
    words, name = _WEEK_ACTS.get(one.finding.rule, ("", ""))
    if one.finding.rule == LIGHT_RULE and not _is_full(one):
        words, name = "Make week {} light anew from the usual week before it", "light-week-anew"
    if not name or not is_open:
        return one
    day = week.week.starts_on.isoformat()
    remedy = Remedy(words.format(week.week.number), act(name, week=day))
    return bench.in_block(replace(one, remedies=(remedy,)))


def _is_full(one: PlacedFinding) -> bool:
    """Whether a week that is called light keeps about all of the usual work."""
    return abs(one.finding.size - (1 - DELOAD_SHARE.value)) <= DELOAD_TOLERANCE.value


_WEEK_ACTS = {
    TWO_LIGHT_RULE: ("Remove week {}", "remove-week"),
    LONG_RULE: ("Make week {} light", "lighten-week"),
    LIGHT_RULE: ("Make it light", "lighten-week"),
}
_BY_KIND: Mapping[FindingKind, Callable[[PlacedFinding, Bench], PlacedFinding]] = {
    FindingKind.JOINT_LIMIT: remedies_swaps.for_joint,
    FindingKind.EQUIPMENT: remedies_equipment.for_equipment,
    FindingKind.SESSION_MINUTES: _for_minutes,
    FindingKind.SESSION_ORDER: _in_order,
    FindingKind.PLANNED_LOAD: for_load,
    FindingKind.REPETITIONS: _for_repetitions,
    FindingKind.SPACING: _drawn_apart,
    FindingKind.VOLUME_COURSE: _on_the_week,
}


def _for_order(placed: PlacedFinding, bench: Bench) -> Iterator[Remedy]:
    finding = placed.finding
    for figures in remedies_sets.changeable(placed, bench.scene):
        session = figures.session
        if finding.rule == session_order.EMPTY_RULE:
            words = f"Remove {session.name}"
            yield Remedy(words, act("remove-session", session=session.key))
            continue
        yield from _put_right(figures, bench.whole, finding)


def _put_right(figures: SessionFigures, whole: WholeBlock, finding: Finding) -> Iterator[Remedy]:
    """Another order or other pairs, where that breaks its rules less often and no other one more."""
    session = figures.session
    words, name = _REBUILDS.get(finding.rule, _IN_ORDER)
    trial = Trial(words.format(session.name), act(name, session=session.key), (figures,))
    done = tried(trial, whole)
    if done is None:
        return
    was, now = (Counter(o.rule for o in one.order) for one in (figures, *done.after))
    mine = same_fault(finding)
    if sum(now[one] for one in mine) < sum(was[one] for one in mine) and now <= was:
        yield done.remedy


def _for_spacing(placed: PlacedFinding, scene: WeekScene) -> Iterator[Remedy]:
    following = scene.following.loads if scene.following else ()
    beside = (scene.before, scene.week, scene.following)
    around = [load for one in beside if one for load in one.loads]
    for close in close_of_week(scene.week.loads, following):
        if (close.before.session.key, close.after.session.key) == placed.keys:
            found = _apart(close, scene.week.week.starts_on, around, scene.facts)
            if found:
                yield found


def _apart(
    close: Close, week_starts_on: date, around: Sequence[SessionLoad], facts: ClientFacts
) -> Remedy | None:
    """Another day of the week for one of two sessions that stand too close, the nearest first."""
    for load in (close.after, close.before):
        session = load.session
        days = [week_starts_on + timedelta(days=n) for n in range(7)]
        if session.on not in days or not facts.may_change(session):
            continue
        taken = {one.session.on for one in around}
        free = [on for on in days if on >= facts.today and on not in taken]
        for on in sorted(free, key=lambda day: (abs((day - session.on).days), day)):
            if _fits_there(load, on, around) and not _is_forbidden(session, on, facts):
                words = f"Move {session.name} to {on:%A}"
                return Remedy(words, act("move-session", session=session.key, on=on.isoformat()))
    return None


def _is_forbidden(session: PlannedSession, on: date, facts: ClientFacts) -> bool:
    """Whether an exercise loads on another day what must be avoided then, and not on its own."""
    return any(
        set(facts.joints.blocking(one.exercise, on))
        - set(facts.joints.blocking(one.exercise, session.on))
        for one in session.prescriptions
    )


def _fits_there(load: SessionLoad, on: date, around: Sequence[SessionLoad]) -> bool:
    was = load.session
    moved = SessionLoad(PlannedSession(was.key, was.name, on, was.pairs), load.sets)
    others = [moved if one is load else one for one in around]
    return not any(moved in (c.before, c.after) for c in close_sessions(others))
