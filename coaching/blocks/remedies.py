"""What would settle a finding in one act, where there is one that makes nothing else worse.

An act is what the block's editor takes. A remedy is offered and never done by itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.blocks.effects import Remedy
from coaching.blocks.plan_figures import SessionFigures
from coaching.rules import session_order
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.muscle_spacing import Close, SessionLoad, close_sessions
from coaching.rules.plan import Part, Pattern, PlannedSession, Prescription
from coaching.rules.session_clock import fits

_OF_A_SESSION = {
    session_order.EMPTY_RULE: ("Take {} out", "remove-session", 0),
    session_order.PAIR_RULE: ("Pair {} by plane", "fix-pairing", 1),
}
_IN_ORDER = ("Put {} in order", "arrange-session", 2)
"""Words, act, and how many pairs that are not locked it takes."""
_FEWEST_LEFT = 2
_CAN_GIVE = (Part.ISOLATION, Part.SUPPLEMENTARY)


@dataclass(frozen=True, slots=True)
class Room:
    """What a remedy may use: the client's time [min], from which day on the plan may change.

    ``fixed`` holds the keys of sessions and exercises that are begun or locked.
    """

    minutes: int
    since: date
    fixed: frozenset[str] = frozenset()

    def may_change(self, session: PlannedSession) -> bool:
        """Whether a session is neither past nor begun nor locked."""
        return session.on >= self.since and session.key not in self.fixed

    def free(self, session: PlannedSession) -> list[Prescription]:
        """The exercises of a session that are not locked."""
        return [one for one in session.prescriptions if one.key not in self.fixed]


def for_session(finding: Finding, figures: SessionFigures, room: Room) -> Remedy | None:
    """What settles a finding of one session."""
    session = figures.session
    if not room.may_change(session):
        return None
    if finding.kind is FindingKind.SESSION_MINUTES:
        return _shorter(figures, room)
    if finding.kind is not FindingKind.SESSION_ORDER:
        return None
    if finding.rule == session_order.BALANCE_RULE:
        return _level(figures, room)
    words, act, fewest = _OF_A_SESSION.get(finding.rule, _IN_ORDER)
    free = {one.key for one in room.free(session)}
    pairs = [p for p in session.pairs if any(one.key in free for one in p.prescriptions)]
    if len(pairs) < fewest:
        return None
    return Remedy(words.format(session.name), _act(act, session=session.key))


def for_spacing(
    close: Close, week_starts_on: date, around: Sequence[SessionLoad], room: Room
) -> Remedy | None:
    """Another day of the week for one of two sessions that stand too close, the nearest first.

    ``around`` holds the sessions of this week and of those beside it.
    """
    for load in (close.after, close.before):
        session = load.session
        days = [week_starts_on + timedelta(days=n) for n in range(7)]
        if session.on not in days or not room.may_change(session):
            continue
        taken = {one.session.on for one in around}
        free = [on for on in days if on >= room.since and on not in taken]
        for on in sorted(free, key=lambda day: (abs((day - session.on).days), day)):
            if _fits_there(load, on, around):
                words = f"Move {session.name} to {on:%A}"
                return Remedy(words, _act("move-session", session=session.key, on=on.isoformat()))
    return None


def _fits_there(load: SessionLoad, on: date, around: Sequence[SessionLoad]) -> bool:
    was = load.session
    moved = SessionLoad(PlannedSession(was.key, was.name, on, was.pairs), load.sets)
    others = [moved if one is load else one for one in around]
    return not any(moved in (c.before, c.after) for c in close_sessions(others))


def _shorter(figures: SessionFigures, room: Room) -> Remedy | None:
    """A set less of an exercise that neither pushes nor pulls, so that the balance stays."""
    for part in _CAN_GIVE:
        for one in reversed(room.free(figures.session)):
            if one.part is part and _side(one) is None and one.sets > _FEWEST_LEFT:
                return Remedy(f"One set less of {one.exercise.name}", _sets(one, -1))
    return None


def _level(figures: SessionFigures, room: Room) -> Remedy | None:
    """A set more on the side that has fewer, or one less on the other when time is short."""
    balance = figures.balance
    few, many = Pattern.PUSH, Pattern.PULL
    if balance.push_sets > balance.pull_sets:
        few, many = many, few
    free = room.free(figures.session)
    short = [one for one in free if _side(one) is few]
    long = [one for one in free if _side(one) is many and one.sets > _FEWEST_LEFT]
    if short and fits(figures.minutes, room.minutes - _minutes_of_a_set(short[0])):
        least = min(short, key=lambda one: one.sets)
        return Remedy(f"One set more of {least.exercise.name}", _sets(least, 1))
    if long:
        most = max(long, key=lambda one: one.sets)
        return Remedy(f"One set less of {most.exercise.name}", _sets(most, -1))
    return None


def _minutes_of_a_set(one: Prescription) -> int:
    work = one.targets[0] * one.tempo.seconds_per_rep * one.exercise.sides
    return round((work + one.rest) / 60)


def _side(one: Prescription) -> Pattern | None:
    """The side of a line that counts in the balance; none for all others."""
    counts = one.part is not Part.WARM_UP and one.sets > 0
    return one.exercise.pattern if counts and one.exercise.pattern in _SIDES else None


_SIDES = frozenset({Pattern.PUSH, Pattern.PULL})


def _sets(one: Prescription, by: int) -> dict[str, str]:
    return _act("nudge-line", line=one.key, field="sets", by=str(by))


def _act(name: str, **fields: str) -> dict[str, str]:
    return {"act": name, **fields, "reach": "onward"}
