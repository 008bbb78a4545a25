"""Plans as plain data for tests of editing: a block of Upper A and Upper B, week after week."""

from datetime import date, timedelta

from coaching.blocks.editing.acts import Edited, EditSetting, apply_act
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.plan import LoadKind, Measure, Muscle, Pattern, Plane
from tests.rules.examples import MONDAY, make_exercise, make_pull_up

PUSH_UP, PULL_UP, DIP, ROW, PRESS, CURL, HANG, ROTATION, BANDED = range(1, 10)
EXERCISES = {
    PUSH_UP: make_exercise(),
    PULL_UP: make_pull_up(),
    DIP: make_exercise("dip", plane=Plane.VERTICAL, complexity=3),
    ROW: make_exercise("row", Pattern.PULL, muscles={Muscle.UPPER_BACK: 1, Muscle.BICEPS: 0.5}),
    PRESS: make_exercise(
        "press", load_kind=LoadKind.EXTERNAL, multi_joint=False, plane=Plane.NONE, complexity=1
    ),
    CURL: make_exercise(
        "curl",
        Pattern.PULL,
        load_kind=LoadKind.EXTERNAL,
        multi_joint=False,
        plane=Plane.NONE,
        complexity=1,
        muscles={Muscle.BICEPS: 1},
    ),
    HANG: make_exercise("hang", Pattern.PULL, measure=Measure.SECONDS, load_kind=LoadKind.NONE),
    ROTATION: make_exercise("rotation", Pattern.PREHAB, muscles={Muscle.ROTATOR_CUFF: 1}),
    BANDED: make_pull_up("banded-pull-up", load_kind=LoadKind.ASSISTED),
}
LOADS = {
    PUSH_UP: (0.0, 2.5, 5.0),
    PRESS: (5.0, 7.5, 10.0),
    CURL: (5.0, 7.5, 10.0),
    BANDED: (25.0, 15.0, 5.0),
}


def line(uid: str, exercise: int, targets: list[int], **values: object) -> Line:
    usual: dict[str, object] = {
        "uid": uid,
        "exercise": exercise,
        "name": EXERCISES[exercise].name,
        "targets": targets,
        "load_kg": 0.0,
        "tempo": "3-0-1-0",
        "rest_s": 120,
        "rir": 2,
    }
    return usual | values  # type: ignore[return-value]


def pair(letter: str, part: str, *lines: Line) -> PairData:
    return {"letter": letter, "part": part, "lines": list(lines)}


def upper_a(week: str, on: date) -> SessionData:
    """A: push-up and pull-up, B: press and curl, C: rotation."""
    return {
        "uid": f"{week}-a",
        "name": "Upper A",
        "on": on.isoformat(),
        "pairs": [
            pair(
                "A",
                "primary",
                line(f"{week}-push", PUSH_UP, [6] * 5),
                line(f"{week}-pull", PULL_UP, [5] * 5),
            ),
            pair(
                "B",
                "isolation",
                line(f"{week}-press", PRESS, [10] * 3, load_kg=7.5, rest_s=75),
                line(f"{week}-curl", CURL, [10] * 3, load_kg=7.5, rest_s=75),
            ),
            pair("C", "prehab", line(f"{week}-rot", ROTATION, [8] * 4, rest_s=60)),
        ],
    }


def upper_b(week: str, on: date) -> SessionData:
    """A: dip alone, B: row alone."""
    return {
        "uid": f"{week}-b",
        "name": "Upper B",
        "on": on.isoformat(),
        "pairs": [
            pair("A", "primary", line(f"{week}-dip", DIP, [5] * 5)),
            pair("B", "primary", line(f"{week}-row", ROW, [8] * 4)),
        ],
    }


def light(week: WeekData) -> WeekData:
    """The week with two sets of each."""
    return {
        **week,
        "kind": "deload",
        "sessions": [
            {
                **s,
                "pairs": [
                    {**p, "lines": [{**ln, "targets": ln["targets"][:2]} for ln in p["lines"]]}
                    for p in s["pairs"]
                ],
            }
            for s in week["sessions"]
        ],
    }


def week(number: int, kind: str = "build") -> WeekData:
    """Week n, ``w1`` in its uids: Upper A on Monday, Upper B on Thursday."""
    starts_on = MONDAY + timedelta(weeks=number - 1)
    key = f"w{number}"
    made: WeekData = {
        "starts_on": starts_on.isoformat(),
        "kind": kind,
        "sessions": [upper_a(key, starts_on), upper_b(key, starts_on + timedelta(days=3))],
    }
    return light(made) if kind == "deload" else made


def block(*kinds: str) -> Snapshot:
    """Four weeks, the last one light, unless told otherwise."""
    kinds = kinds or ("build", "build", "build", "deload")
    return {"weeks": [week(n, kind) for n, kind in enumerate(kinds, start=1)]}


def setting(today: date = MONDAY, **values: object) -> EditSetting:
    usual: dict[str, object] = {
        "exercises": EXERCISES,
        "loads": LOADS,
        "tempos": dict.fromkeys(EXERCISES, "2-0-1-0"),
    }
    return EditSetting(today, **(usual | values))  # type: ignore[arg-type]


def act(snapshot: Snapshot, name: str, today: date = MONDAY, /, **fields: str) -> Edited:
    """The plan after an act; ``with_`` stands for the field ``with``, ``from_`` for ``from``."""
    raw = {key.rstrip("_"): value for key, value in fields.items()}
    return apply_act(snapshot, {"act": name, **raw}, setting(today))


def line_of(snapshot: Snapshot, uid: str) -> Line:
    """The line of that uid."""
    return next(
        ln
        for w in snapshot["weeks"]
        for s in w["sessions"]
        for p in s["pairs"]
        for ln in p["lines"]
        if ln["uid"] == uid
    )


def shape(snapshot: Snapshot, session: str) -> str:
    """A session's pairs by the last word of the uids: A push+pull, B press."""
    found = next(s for w in snapshot["weeks"] for s in w["sessions"] if s["uid"] == session)
    return ", ".join(
        f"{p['letter']} " + "+".join(ln["uid"].split("-")[-1] for ln in p["lines"])
        for p in found["pairs"]
    )
