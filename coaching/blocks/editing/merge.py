"""Two plans made from the same one put together: what only one of them changed counts.

Weeks, sessions, pairs and lines are merged apart from each other, so that a changed load and a
moved exercise go together. Where both changed the same thing mine stays, and a sentence says so.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import partial
from typing import TypeVar, cast

from coaching.blocks.editing.line_acts import said_values
from coaching.blocks.editing.pair_acts import lettered
from coaching.blocks.editing.same_weeks import same_weeks
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.plan import WeekKind

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Merged:
    """The plan with both changes; ``clashes`` say where theirs had to give way."""

    snapshot: Snapshot
    clashes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Pair:
    letter: str
    part: str
    locked: bool
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Place:
    """When a session is: in which week, how many days after the usual first day of a week."""

    week: str
    days: int


@dataclass(frozen=True, slots=True)
class _Session:
    place: _Place
    name: str
    locked: bool
    pairs: tuple[_Pair, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The uids of its lines in order."""
        return tuple(uid for pair in self.pairs for uid in pair.lines)


@dataclass
class _Plan:
    """A plan taken apart; a week goes by a key that is the same in all three plans.

    ``since`` is the first day of the plan that all three come from.
    """

    since: str
    weeks: dict[str, str] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)
    sessions: dict[str, _Session] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    homes: dict[str, str] = field(default_factory=dict)

    def first_day(self, starts_on: str) -> date:
        """The usual first day of a week, from which days count also where its start is cut off."""
        start = date.fromisoformat(starts_on)
        since = date.fromisoformat(self.since or starts_on)
        return start - (start - since) % timedelta(weeks=1)


def merge(base: Snapshot, theirs: Snapshot, mine: Snapshot) -> Merged:
    """Put theirs and mine together, both made from ``base``."""
    if mine == base:
        return Merged(theirs, ())
    if theirs in (base, mine):
        return Merged(mine, ())
    made = _Merge(
        _taken_apart(base, base, ""),
        _taken_apart(theirs, base, "t"),
        _taken_apart(mine, base, "m"),
    )
    plan = made.plan()
    if not _in_order(plan):
        words = "The days of the two plans do not fit together; yours is kept as a whole."
        return Merged(mine, (*made.clashes, words))
    return Merged(plan, tuple(dict.fromkeys(made.clashes)))


def _taken_apart(snapshot: Snapshot, base: Snapshot, whose: str) -> _Plan:
    same = same_weeks(base, snapshot)
    plan = _Plan(base["weeks"][0]["starts_on"] if base["weeks"] else "")
    for index, week in enumerate(snapshot["weeks"]):
        key = str(same[index]) if index in same else f"{whose}{index}"
        plan.weeks[key], plan.kinds[key] = week["starts_on"], week["kind"]
        start = plan.first_day(week["starts_on"])
        for session in week["sessions"]:
            days = (date.fromisoformat(session["on"]) - start).days
            plan.sessions[session["uid"]] = _Session(
                place=_Place(key, days),
                name=session["name"],
                locked=session.get("locked", False),
                pairs=tuple(_pair(pair) for pair in session["pairs"]),
            )
            for line in (line for pair in session["pairs"] for line in pair["lines"]):
                plan.lines[line["uid"]] = line
                plan.homes[line["uid"]] = session["uid"]
    return plan


def _pair(pair: PairData) -> _Pair:
    lines = tuple(line["uid"] for line in pair["lines"])
    return _Pair(pair["letter"], pair["part"], pair.get("locked", False), lines)


# Repetitions are meant at their load: neither is taken from one plan and the other from another.
_FIELDS = {
    ("targets", "load_kg"): "targets and load were",
    ("tempo",): "tempo was",
    ("rest_s",): "rest was",
    ("rir",): "RIR was",
}


@dataclass
class _Merge:
    """One merge in the making; clashes are told as they are met."""

    base: _Plan
    theirs: _Plan
    mine: _Plan
    clashes: list[str] = field(default_factory=list)

    def plan(self) -> Snapshot:
        """The merged plan."""
        weeks = self._weeks()
        sessions = self._sessions(weeks)
        self._bring_back_lines(sessions)
        owners = self._owners(sessions)
        lines = {uid: self._line(uid, owner) for uid, owner in owners.items()}
        self._tell_taken_out(sessions, owners)
        return {"weeks": [self._week(key, weeks[key], sessions, owners, lines) for key in weeks]}

    def _choose(self, base: T, theirs: T, mine: T, clash: Callable[[], str]) -> T:
        """The one that changed; mine, with a clash, when both did."""
        if theirs in (base, mine):
            return mine
        if mine == base:
            return theirs
        self.clashes.append(clash())
        return mine

    def _words(self, uid: str, words: str) -> str:
        """A clash in a session, named by its name and day in mine, else in theirs."""
        plan = self.mine if uid in self.mine.sessions else self.theirs
        one = plan.sessions[uid]
        on = plan.first_day(plan.weeks[one.place.week]) + timedelta(days=one.place.days)
        return f"{one.name} on {on:%-d %b}: {words}."

    # Weeks.

    def _weeks(self) -> dict[str, str]:
        """The weeks that stay and when they start, as one of the two plans has them."""
        words = "The weeks of the block were changed by both; yours are kept."
        chosen = self._choose(self.base.weeks, self.theirs.weeks, self.mine.weeks, lambda: words)
        mine = self.mine.sessions
        needed = {one.place.week for uid, one in mine.items() if self._needs_week(uid)}
        if needed <= chosen.keys():
            return chosen
        words = "They took out a week in which you changed something; your weeks are kept."
        self.clashes.append(words)
        return self.mine.weeks

    def _needs_week(self, uid: str) -> bool:
        """Whether a changed session of mine needs its week; else it goes where they put it."""
        base, theirs = self.base.sessions.get(uid), self.theirs.sessions.get(uid)
        if base is None or theirs is None:
            return self._changed(self.mine, uid)
        return self.mine.sessions[uid].place != base.place

    def _kind(self, key: str) -> str:
        base, theirs, mine = (plan.kinds.get(key) for plan in (self.base, self.theirs, self.mine))
        if mine is None or theirs is None:
            return mine or theirs or ""
        start = date.fromisoformat(self.mine.weeks[key])
        words = f"Week from {start:%-d %b}: its kind was changed by both; yours is kept."
        return self._choose(base, theirs, mine, lambda: words) or mine

    def _week(
        self,
        key: str,
        starts_on: str,
        sessions: Mapping[str, _Session],
        owners: Mapping[str, str],
        lines: Mapping[str, Line],
    ) -> WeekData:
        made = [
            _session_data(uid, one, self.base.first_day(starts_on), owners, lines)
            for uid, one in sessions.items()
            if one.place.week == key
        ]
        made.sort(key=lambda session: session["on"])
        return {"starts_on": starts_on, "kind": self._kind(key), "sessions": made}

    # Sessions.

    def _changed(self, plan: _Plan, uid: str) -> bool:
        """Whether a plan changed anything of a session, the values of its lines too."""
        now, was = plan.sessions.get(uid), self.base.sessions.get(uid)
        if now != was or now is None:
            return now != was
        return any(plan.lines[line] != self.base.lines.get(line) for line in now.lines)

    def _sessions(self, weeks: Mapping[str, str]) -> dict[str, _Session]:
        merged: dict[str, _Session] = {}
        for uid in dict.fromkeys([*self.mine.sessions, *self.theirs.sessions]):
            one = self._session(uid, weeks)
            if one is not None and one.place.week not in weeks and uid in self.mine.sessions:
                one = replace(one, place=self.mine.sessions[uid].place)
            if one is not None and one.place.week in weeks:
                merged[uid] = one
            elif one is not None and one.place.week in self.base.weeks:
                words = "they added it to a week that you took out; it stays out"
                self.clashes.append(self._words(uid, words))
        return merged

    def _session(self, uid: str, weeks: Mapping[str, str]) -> _Session | None:
        base, theirs, mine = (p.sessions.get(uid) for p in (self.base, self.theirs, self.mine))
        if base is None:
            return mine or theirs
        if theirs is not None and mine is not None:
            return self._both(uid, base, theirs, mine)
        if mine is not None:
            return self._taken_out_by_them(uid, base, mine, weeks)
        if theirs is not None and self._changed(self.theirs, uid):
            self.clashes.append(self._words(uid, "you removed it, they changed it; it stays out"))
        return None

    def _taken_out_by_them(
        self, uid: str, base: _Session, mine: _Session, weeks: Mapping[str, str]
    ) -> _Session | None:
        week = base.place.week
        if week not in self.theirs.weeks and week in weeks:
            return mine
        if not self._changed(self.mine, uid):
            return None
        if self.theirs.kinds.get(week) == WeekKind.DELOAD != self.base.kinds.get(week):
            # Beside the light session it would be trained twice.
            words = "they put a light week in its place, you changed it; the light week is kept"
            self.clashes.append(self._words(uid, words))
            return None
        self.clashes.append(self._words(uid, "they removed it, you changed it; it stays"))
        return mine

    def _both(self, uid: str, base: _Session, theirs: _Session, mine: _Session) -> _Session:
        def clash(what: str, kept: str = "yours is kept") -> Callable[[], str]:
            return lambda: self._words(uid, f"{what} by both; {kept}")

        pairs = clash("exercises or pairs were changed", "yours are kept")
        return _Session(
            self._choose(base.place, theirs.place, mine.place, clash("its day was changed")),
            self._choose(base.name, theirs.name, mine.name, clash("its name was changed")),
            self._choose(base.locked, theirs.locked, mine.locked, clash("it was locked")),
            self._choose(base.pairs, theirs.pairs, mine.pairs, pairs),
        )

    # Lines.

    def _bring_back_lines(self, sessions: dict[str, _Session]) -> None:
        """A line of mine that got lost comes back, with my pairs of its session.

        It did when they moved it to where my pairs stay, or took out what I changed.
        """
        for _ in range(len(sessions)):
            held = {uid for one in sessions.values() for uid in one.lines}
            lost = next((u for u in self.mine.lines if u not in held and self._mine(u)), None)
            home = self.mine.homes[lost] if lost else ""
            if lost is None or home not in sessions:
                return
            sessions[home] = replace(sessions[home], pairs=self.mine.sessions[home].pairs)
            name = self.mine.lines[lost]["name"]
            words = f"{name} was moved or removed by them; your exercises and pairs are kept"
            self.clashes.append(self._words(home, words))

    def _mine(self, line: str) -> bool:
        """Whether a line of mine must not get lost: changed, new, or only moved by them."""
        is_home = self.mine.homes[line] in self.theirs.sessions
        moved = line in self.theirs.lines and is_home
        return moved or self.mine.lines[line] != self.base.lines.get(line)

    def _owners(self, sessions: Mapping[str, _Session]) -> dict[str, str]:
        """The one session of each line: where mine has it; what I took out has none."""
        owners: dict[str, str] = {}
        for uid, one in sessions.items():
            for line in one.lines:
                if line in self.base.lines and line not in self.mine.lines:
                    continue
                if line not in owners or self.mine.homes.get(line) == uid:
                    owners[line] = uid
        return owners

    def _line(self, uid: str, owner: str) -> Line:
        base, theirs, mine = (plan.lines.get(uid) for plan in (self.base, self.theirs, self.mine))
        if mine is None or theirs is None:
            return cast("Line", mine or theirs)
        if base is None or theirs in (base, mine):
            return mine
        if mine == base:
            return theirs
        name = mine["name"]
        if len({one["exercise"] for one in (base, theirs, mine)}) > 1:
            words = f"{name}: it was changed by both; yours is kept"
            self.clashes.append(self._words(owner, words))
            return mine
        merged: dict[str, object] = dict(mine)
        for keys, were in _FIELDS.items():
            was, asked, wanted = ({k: one.get(k) for k in keys} for one in (base, theirs, mine))
            kept = said_values(theirs, cast("Line", {**theirs, **wanted}))
            words = f"{name}: its {were} changed by both; yours kept ({kept})"
            merged |= self._choose(was, asked, wanted, partial(self._words, owner, words))
        return cast("Line", merged)

    def _tell_taken_out(self, sessions: Mapping[str, _Session], held: Mapping[str, str]) -> None:
        """What I took out of a session and they changed stays out, and is told."""
        for uid, line in self.theirs.lines.items():
            home = self.theirs.homes[uid]
            was, home_was = self.base.lines.get(uid), self.base.homes.get(uid)
            if was is None or uid in held or home not in sessions:
                continue
            if line != was or home != home_was:
                words = f"{line['name']}: you removed it, they changed it; it stays out"
                self.clashes.append(self._words(home, words))


def _session_data(
    uid: str,
    one: _Session,
    first_day: date,
    owners: Mapping[str, str],
    lines: Mapping[str, Line],
) -> SessionData:
    on = first_day + timedelta(days=one.place.days)
    pairs: list[PairData] = []
    for pair in one.pairs:
        own = [lines[line] for line in pair.lines if owners.get(line) == uid]
        if own:
            data: PairData = {"letter": pair.letter, "part": pair.part, "lines": own}
            pairs.append({**data, "locked": True} if pair.locked else data)
    if sum(len(pair["lines"]) for pair in pairs) < len(one.lines):
        pairs = lettered(pairs)
    made: SessionData = {"uid": uid, "name": one.name, "on": on.isoformat(), "pairs": pairs}
    return {**made, "locked": True} if one.locked else made


def _in_order(snapshot: Snapshot) -> bool:
    """Whether each session lies in its week, and the weeks follow each other."""
    weeks = snapshot["weeks"]
    ends = [*(week["starts_on"] for week in weeks[1:]), date.max.isoformat()]
    return all(
        week["starts_on"] < end
        and all(week["starts_on"] <= s["on"] < end for s in week["sessions"])
        for week, end in zip(weeks, ends, strict=True)
    )
