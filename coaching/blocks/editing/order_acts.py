"""Acts that build a session the way the trade does: its order, and its pairs by plane.

They change nothing of what is asked, and leave what is locked in its place.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from itertools import combinations

from coaching.blocks.editing.pair_acts import around_locked, with_pairs
from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    find_session,
    refuse_fixed,
    session_in,
    spread,
    with_session,
)
from coaching.blocks.editing.values import Raw, reach_of, text_of
from coaching.blocks.snapshots import (
    Line,
    PairData,
    SessionData,
    Snapshot,
    WeekData,
    week_as_value,
)
from coaching.rules.plan import Part, Pattern, Plane, WeekKind
from coaching.rules.session_order import findings_for

_PARTS = [part.value for part in Part]
_MOST_TRIED = 8


def arrange_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A session in the order of the trade: its parts, and inside each what comes first."""
    return _rebuilt(
        snapshot,
        raw,
        setting,
        arranged,
        "put into order",
        "It stands in order as far as moving helps; change a part, or an exercise.",
    )


def fix_pairing(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Pushes paired with pulls of the same plane, as far as a part of the session has them."""
    return _rebuilt(
        snapshot,
        raw,
        setting,
        repaired,
        "paired anew",
        "It is paired as well as its exercises allow; change one of them instead.",
    )


def _rebuilt(
    snapshot: Snapshot,
    raw: Raw,
    setting: EditSetting,
    rebuild: Callable[[Sequence[PairData], EditSetting], list[PairData]],
    words: str,
    unchanged: str,
) -> Edited:
    uid, reach = text_of(raw, "session", "Session"), reach_of(raw)
    at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        refuse_fixed(session_in(week, here[uid]), setting)
        return with_session(
            week,
            here[uid],
            lambda one: with_pairs(
                one, around_locked(one["pairs"], rebuild(one["pairs"], setting))
            ),
        )

    said = f"{session['name']} {words}"
    return spread(snapshot, at, reach, [uid], change, said=said, focus=uid, unchanged=unchanged)


def arranged(pairs: Sequence[PairData], setting: EditSetting) -> list[PairData]:
    """Pairs part by part, each part in the order with the fewest findings; locked ones stay."""
    free = [pair for pair in pairs if not pair.get("locked")]
    ordered: list[PairData] = []
    for part in _PARTS:
        ordered.extend(_best_order([p for p in free if p["part"] == part], setting))
    rest = iter(ordered)
    return [pair if pair.get("locked") else next(rest) for pair in pairs]


def _best_order(pairs: Sequence[PairData], setting: EditSetting) -> list[PairData]:
    """The order with the fewest findings between two pairs; of several, the nearest to now."""
    count = min(len(pairs), _MOST_TRIED)
    cost = {
        (a, b): _findings([pairs[a], pairs[b]], setting) for a, b in combinations(range(count), 2)
    }
    if not any(cost.values()):
        # No other order has fewer.
        return list(pairs)
    cost |= {(b, a): _findings([pairs[b], pairs[a]], setting) for a, b in list(cost)}
    best: dict[frozenset[int], tuple[int, tuple[int, ...]]] = {frozenset(): (0, ())}
    for _ in range(count):
        longer: dict[frozenset[int], tuple[int, tuple[int, ...]]] = {}
        for done, (found, order) in best.items():
            for one in set(range(count)) - done:
                more = found + sum(cost[before, one] for before in done)
                key, way = done | {one}, (more, (*order, one))
                longer[key] = min(longer.get(key, way), way)
        best = longer
    _, order = best[frozenset(range(count))]
    return [*(pairs[index] for index in order), *pairs[count:]]


def _findings(pairs: Sequence[PairData], setting: EditSetting) -> int:
    session: SessionData = {
        "uid": "",
        "name": "",
        "on": setting.today.isoformat(),
        "pairs": list(pairs),
    }
    week: WeekData = {
        "starts_on": date.min.isoformat(),
        "kind": WeekKind.BUILD.value,
        "sessions": [session],
    }
    value = week_as_value(week, 1, setting.exercises)
    return len(findings_for(value.sessions[0]))


def repaired(pairs: Sequence[PairData], setting: EditSetting) -> list[PairData]:
    """Pairs with pushes and pulls of one plane together; those that are well paired stay."""
    free = [i for i, pair in enumerate(pairs) if _is_open(pair, setting)]
    loose = [(i, line) for i in free for line in pairs[i]["lines"]]
    made = _matches(loose, [pairs[i]["part"] for i, _ in loose], setting)
    kept = [(i, pair) for i, pair in enumerate(pairs) if i not in free]
    new: list[tuple[int, PairData]] = [
        (loose[group[0]][0], _pair_of(pairs[loose[group[0]][0]], [loose[n][1] for n in group]))
        for group in made
    ]
    return [pair for _, pair in sorted([*kept, *new], key=lambda one: one[0])]


def _pair_of(like: PairData, lines: list[Line]) -> PairData:
    return {"letter": like["letter"], "part": like["part"], "lines": lines}


def _is_open(pair: PairData, setting: EditSetting) -> bool:
    """Whether a pair may be taken apart: a push or a pull alone, or two that do not match."""
    if pair.get("locked") or pair["part"] == Part.WARM_UP:
        return False
    sides = [setting.exercise(line["exercise"]) for line in pair["lines"]]
    if not all(one.pattern in {Pattern.PUSH, Pattern.PULL} for one in sides):
        return False
    return len(sides) == 1 or not _fits(pair["lines"][0], pair["lines"][1], setting, exact=False)


def _fits(one: Line, other: Line, setting: EditSetting, *, exact: bool) -> bool:
    """A push and a pull of one plane; not exactly, when one of them has none."""
    a, b = setting.exercise(one["exercise"]), setting.exercise(other["exercise"])
    if {a.pattern, b.pattern} != {Pattern.PUSH, Pattern.PULL}:
        return False
    return a.plane is b.plane or (not exact and Plane.NONE in {a.plane, b.plane})


def _matches(
    loose: Sequence[tuple[int, Line]], parts: Sequence[str], setting: EditSetting
) -> list[tuple[int, ...]]:
    """Which loose lines go together, each in its part; the rest stay alone."""
    left = list(range(len(loose)))
    made: list[tuple[int, ...]] = []

    def crossed(a: int, b: int) -> bool:
        # A push and a pull of two planes stay together when neither finds a better partner.
        return loose[a][0] == loose[b][0] and _opposed(loose[a][1], loose[b][1], setting)

    tests: list[Callable[[int, int], bool]] = [
        lambda a, b: _fits(loose[a][1], loose[b][1], setting, exact=True),
        lambda a, b: _fits(loose[a][1], loose[b][1], setting, exact=False),
        crossed,
    ]
    for together in tests:
        for a in list(left):
            if a not in left:
                continue
            partner = next(
                (b for b in left if b > a and parts[a] == parts[b] and together(a, b)), None
            )
            if partner is not None:
                made.append((a, partner))
                left = [one for one in left if one not in {a, partner}]
    return sorted([*made, *((one,) for one in left)])


def _opposed(one: Line, other: Line, setting: EditSetting) -> bool:
    patterns = {setting.exercise(line["exercise"]).pattern for line in (one, other)}
    return patterns == {Pattern.PUSH, Pattern.PULL}
