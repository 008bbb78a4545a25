"""The lines of a session on the phone: those of the plan, and those added when it was done.

Where the plan no longer holds the session, the log knows what was asked for.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from coaching.blocks.models import PlannedSession
from coaching.blocks.snapshots import PairData, SessionData
from coaching.library.models import Exercise
from coaching.rules import plan
from sessions.models import LoggedSet

ADDED = "+"
ADDED_REST = 120
"""Seconds of rest that are counted down for an exercise without a plan."""


@dataclass(frozen=True)
class AskedLine:
    """One exercise of a session; an added one has no targets and the uid ``x<exercise>``."""

    uid: str
    row: Exercise
    targets: tuple[int, ...]
    load: float
    tempo: str
    rest: int
    rir: int | None

    @property
    def exercise_id(self) -> int:
        """The row id of what is asked for."""
        return self.row.pk


@dataclass(frozen=True)
class AskedPair:
    """One or two lines under a letter; ``key`` names the pair on the page."""

    key: str
    letter: str
    part: str
    lines: tuple[AskedLine, ...]


def line_key(one: LoggedSet) -> str:
    """The line that a set belongs to: its prescription, else what was added of its exercise."""
    return str(one.prescription_uid) if one.prescription_uid else f"x{one.exercise_id}"


def planned_pairs(session: PlannedSession) -> tuple[AskedPair, ...]:
    """The pairs of a session fetched with its plan; no query."""
    return tuple(
        AskedPair(
            pair.letter,
            pair.letter,
            pair.part,
            tuple(
                AskedLine(
                    uid=str(p.uid),
                    row=p.exercise,
                    targets=tuple(p.targets),
                    load=float(p.load_kg),
                    tempo=p.tempo,
                    rest=p.rest_s,
                    rir=p.rir,
                )
                for p in pair.prescriptions.all()
            ),
        )
        for pair in session.pairs.all()
        if pair.prescriptions.all()
    )


def kept_pairs(kept: Sequence[SessionData], rows: Mapping[int, Exercise]) -> tuple[AskedPair, ...]:
    """The pairs of a plan as a log kept it, without exercises that are gone; no query."""
    pairs = (pair for session in kept for pair in session["pairs"])
    made = (
        AskedPair(pair["letter"], pair["letter"], pair["part"], tuple(_kept_lines(pair, rows)))
        for pair in pairs
    )
    return tuple(pair for pair in made if pair.lines)


def _kept_lines(pair: PairData, rows: Mapping[int, Exercise]) -> Iterator[AskedLine]:
    for line in pair["lines"]:
        if line["exercise"] in rows:
            yield AskedLine(
                uid=line["uid"],
                row=rows[line["exercise"]],
                targets=tuple(line["targets"]),
                load=float(line["load_kg"]),
                tempo=line["tempo"],
                rest=line["rest_s"],
                rir=line["rir"],
            )


def added_pairs(
    pairs: Iterable[AskedPair], sets: Iterable[LoggedSet], rows: Mapping[int, Exercise]
) -> tuple[AskedPair, ...]:
    """A pair for each line that has sets and is not in the plan; no query.

    Sets of a prescription that the plan no longer holds keep its uid.
    """
    planned = {line.uid for pair in pairs for line in pair.lines}
    last: dict[str, LoggedSet] = {}
    for one in sets:
        if line_key(one) not in planned:
            last[line_key(one)] = one
    return tuple(
        AskedPair(uid, ADDED, plan.Part.SUPPLEMENTARY.value, (_added_line(uid, one, rows),))
        for uid, one in last.items()
    )


def _added_line(uid: str, one: LoggedSet, rows: Mapping[int, Exercise]) -> AskedLine:
    return AskedLine(
        uid=uid,
        row=rows[one.exercise_id],
        targets=(),
        load=float(one.load_kg),
        tempo="",
        rest=ADDED_REST,
        rir=None,
    )
