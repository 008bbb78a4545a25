"""The second gate before a plan: nothing enters it for which the client lacks the equipment.

A swap or an exercise added is refused at once. An older version, a copy of a past session or a
plan put in the place of another may bring in anything: the page tells it, and publishing asks.
What the plan in the rows still asks is not judged: a light week made from it brings nothing in.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, SessionData, Snapshot, lines_of
from coaching.library.queries import exercise_values
from coaching.rules.loads import missing_equipment
from coaching.rules.plan import Exercise


@dataclass(frozen=True, slots=True)
class Missing:
    """An exercise brought in for which something is missing; ``line`` is its first place."""

    name: str
    needs: str
    line: str
    week: int
    session: str
    on: date
    sessions: int

    @property
    def words(self) -> str:
        """Dip needs parallel bars: Upper A on 3 Dec and 2 more sessions."""
        more = self.sessions - 1
        also = f" and {more} more session{'' if more == 1 else 's'}" if more else ""
        return f"{self.name} needs {self.needs}: {self.session} on {self.on:%-d %b}{also}"


def missing_in(
    client: Client,
    plan: Snapshot,
    published: Snapshot,
    exercises: Mapping[int, Exercise],
    *,
    since: date,
) -> tuple[Missing, ...]:
    """What a plan asks from a day on that what is published does not, and that cannot be done.

    1 query where an exercise that is brought in needs equipment, else none.
    """
    asked: dict[int, list[tuple[SessionData, Line]]] = {}
    for session, line in _brought_in(plan, published, since):
        if exercises[line["exercise"]].equipment:
            asked.setdefault(line["exercise"], []).append((session, line))
    if not asked:
        return ()
    kinds = [item.kind for item in equipment_of(client)]
    weeks = {s["uid"]: n for n, week in enumerate(plan["weeks"], 1) for s in week["sessions"]}
    found = []
    for row, places in asked.items():
        if needs := missing_equipment(exercises[row], kinds):
            session, line = places[0]
            found.append(
                Missing(
                    name=line["name"],
                    needs=", ".join(needs),
                    line=line["uid"],
                    week=weeks[session["uid"]],
                    session=session["name"],
                    on=date.fromisoformat(session["on"]),
                    sessions=len({one["uid"] for one, _ in places}),
                )
            )
    return tuple(found)


def refuse_missing(client: Client, plan: Snapshot, published: Snapshot, *, since: date) -> None:
    """Raise BlockError naming what is missing and the remedy; 2 queries where something is new."""
    brought = {line["exercise"] for _, line in _brought_in(plan, published, since)}
    values = exercise_values(brought) if brought else {}
    if found := missing_in(client, plan, published, values, since=since):
        told = "; ".join(one.words for one in found)
        message = (
            f"{told}. {client.name} does not have that: swap it, or add it to the "
            "client's equipment first."
        )
        raise BlockError(message)


def _brought_in(
    plan: Snapshot, published: Snapshot, since: date
) -> Iterator[tuple[SessionData, Line]]:
    stood = {line["exercise"] for _, line in lines_of(published, since=since)}
    for session, line in lines_of(plan, since=since):
        if line["exercise"] not in stood:
            yield session, line
