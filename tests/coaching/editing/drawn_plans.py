"""Plans and acts by chance: whatever a page may post, most of it possible."""

from datetime import date, timedelta
from random import Random

from coaching.blocks.editing.acts import ACTS, EditSetting
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.plan import Part, WeekKind
from tests.coaching.editing.plans import EXERCISES, LOADS, line, setting
from tests.rules.examples import MONDAY

PARTS = [part.value for part in Part]
KINDS = [kind.value for kind in WeekKind]


def drawn_line(rng: Random, uid: str) -> Line:
    exercise = rng.choice(sorted(EXERCISES))
    return line(
        uid,
        exercise,
        [rng.randint(1, 20) for _ in range(rng.randint(1, 6))],
        load_kg=rng.choice([0.0, *LOADS.get(exercise, ())]),
        rest_s=rng.choice([0, 30, 90, 120]),
        rir=rng.choice([None, 0, 2]),
    )


def drawn_session(rng: Random, uid: str, name: str, on: date) -> SessionData:
    pairs: list[PairData] = []
    for p in range(rng.randint(0, 5)):
        own = [drawn_line(rng, f"{uid}-{p}{n}") for n in range(rng.randint(1, 2))]
        made: PairData = {"letter": "ABCDE"[p], "part": rng.choice(PARTS), "lines": own}
        pairs.append({**made, "locked": True} if rng.random() < 0.1 else made)
    session: SessionData = {"uid": uid, "name": name, "on": on.isoformat(), "pairs": pairs}
    return {**session, "locked": True} if rng.random() < 0.05 else session


def drawn_plan(rng: Random, most_weeks: int = 6) -> Snapshot:
    """Weeks of one shape, some of them with other exercises, as a block is."""
    days = sorted(rng.choices(range(7), k=rng.randint(1, 4)))
    names = [rng.choice(["Upper", "Lower", "Full"]) for _ in days]
    first = [drawn_session(rng, f"w0-s{n}", names[n], MONDAY) for n in range(len(days))]
    weeks: list[WeekData] = []
    for w in range(rng.randint(1, most_weeks)):
        starts_on = MONDAY + timedelta(weeks=w)
        alike = rng.random() < 0.7
        made = []
        for n, offset in enumerate(days):
            uid, on = f"w{w}-s{n}", starts_on + timedelta(days=offset)
            made.append(
                _as_in(first[n], uid, on) if alike else drawn_session(rng, uid, names[n], on)
            )
        kind = rng.choice(["build", "build", *KINDS])
        weeks.append({"starts_on": starts_on.isoformat(), "kind": kind, "sessions": made})
    return {"weeks": weeks}


def _as_in(session: SessionData, uid: str, on: date) -> SessionData:
    pairs: list[PairData] = [
        {
            **pair,
            "lines": [
                {**ln, "uid": ln["uid"].replace(session["uid"], uid)} for ln in pair["lines"]
            ],
        }
        for pair in session["pairs"]
    ]
    return {**session, "uid": uid, "on": on.isoformat(), "pairs": pairs}


def drawn_setting(rng: Random, plan: Snapshot) -> EditSetting:
    """Today somewhere from before the block to its end, perhaps a session begun ahead."""
    today = MONDAY + timedelta(days=rng.choice([-3, 0, 0, 2, 9, 16, 30]))
    uids = [session["uid"] for session in all_sessions(plan)]
    return setting(today, begun=frozenset(rng.choices(uids, k=rng.randint(0, 1)) if uids else []))


def all_sessions(plan: Snapshot) -> list[SessionData]:
    return [session for week in plan["weeks"] for session in week["sessions"]]


def lines_in(session: SessionData) -> list[Line]:
    return [ln for pair in session["pairs"] for ln in pair["lines"]]


def all_lines(plan: Snapshot) -> list[Line]:
    return [ln for session in all_sessions(plan) for ln in lines_in(session)]


def drawn_act(
    rng: Random,
    plan: Snapshot,
    names: tuple[str, ...] = tuple(ACTS),
    exercises: tuple[int, ...] = tuple(EXERCISES),
) -> dict[str, str]:
    """An act with every field that any act reads."""
    act = rng.choice(names)
    week = rng.choice(plan["weeks"])
    session = rng.choice(week["sessions"] or [_NOWHERE])
    target = rng.choice(week["sessions"] or [_NOWHERE])
    uids = [ln["uid"] for ln in lines_in(session)] or ["none"]
    to = target if act.startswith("move") else session
    there = [ln["uid"] for ln in lines_in(to)] or [""]
    starts = [one["starts_on"] for one in plan["weeks"]]
    weeks = "week" in act
    on = date.fromisoformat(week["starts_on"]) + timedelta(days=rng.randint(0, 7))
    return {
        "act": act,
        "line": "" if act.endswith("lock") and rng.random() < 0.5 else rng.choice(uids),
        "with": rng.choice(there),
        "session": to["uid"],
        "before": rng.choice([*starts, ""] if weeks else ["", *there]),
        "beside": rng.choice(["", "", rng.choice(there)]),
        "after": rng.choice(starts if weeks else ["", *there]),
        "by": rng.choice(["1", "-1"]),
        "field": rng.choice(["sets", "reps", "load", "rest", "rir"]),
        "part": rng.choice(PARTS),
        "exercise": str(rng.choice(exercises)),
        "to": str(rng.choice(exercises)),
        "reach": rng.choice(["week", "onward"]),
        "name": rng.choice(["Upper", "Arms"]),
        "week": week["starts_on"],
        "from": rng.choice(starts),
        "kind": rng.choice(KINDS),
        "on": on.isoformat(),
        "targets": rng.choice(["5 × 7", "8-7-6"]),
        "rest_s": rng.choice(["60", "120"]),
        "minutes": rng.choice(["20", "45"]),
    }


_NOWHERE: SessionData = {"uid": "nowhere", "name": "", "on": "", "pairs": []}
