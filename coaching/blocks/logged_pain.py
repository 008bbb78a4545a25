"""What hurt a client lately, and what of a plan to come it reaches: told where plans are written."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils import timezone

from clients.models import Client
from coaching.blocks.editing.draft_queries import Draft
from coaching.blocks.snapshots import SessionData, Snapshot
from coaching.library.queries import planned_exercises
from coaching.rules import plan
from coaching.rules.block_numbers import PAIN_LATELY_DAYS
from coaching.rules.findings import listed
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.pain_reach import Hurt, Reach, reaching, steps_back


@dataclass(frozen=True, slots=True)
class PainNote:
    """One exercise that hurt, and the names of what is planned and loads the same joint alike."""

    hurt: str
    planned: str


def hurts_of(client: Client, today: date, known: Mapping[int, plan.Exercise]) -> tuple[Hurt, ...]:
    """What hurt above the limit the last time that it was done, the newest first.

    1 query; 1 more where one of them is not among the exercises ``known`` by row id.
    """
    rows = (
        client.logged_sessions.filter(
            sets__removed_at__isnull=True,
            on__lte=today,
            on__gte=today - timedelta(days=PAIN_LATELY_DAYS.value),
        )
        .order_by("on")
        .values_list("on", "sets__exercise_id", "sets__pain", "sets__pain_where")
    )
    newest: dict[int, tuple[date, int, str]] = {}
    for on, exercise, pain, where in rows:
        was = newest.get(exercise)
        if was is None or on > was[0] or (pain or 0) > was[1]:
            newest[exercise] = (on, pain or 0, where)
    hurt = {pk: one for pk, one in newest.items() if one[1] > PAIN_LIMIT.value}
    missing = planned_exercises(hurt.keys() - known.keys())
    values = {**{pk: row.value for pk, row in missing.items()}, **known}
    found = (Hurt(values[pk], pain, where, on) for pk, (on, pain, where) in hurt.items())
    return tuple(sorted(found, key=lambda one: (one.on, one.pain), reverse=True))


def notes_of(
    client: Client, draft: Draft, known: Mapping[int, plan.Exercise] | None = None
) -> tuple[PainNote, ...]:
    """Each pain that reaches something of the plan to come in the same way, as it is edited.

    1 query, one more where the exercises of the plan are not ``known`` or another one hurt.
    """
    today = client.local_date(timezone.now())
    ahead = list(_to_come(draft.snapshot, today, draft.begun))
    values = known
    if values is None:
        rows = planned_exercises({row for session in ahead for row, _ in _lines(session)})
        values = {pk: row.value for pk, row in rows.items()}
    planned = dict.fromkeys((values[row], part) for one in ahead for row, part in _lines(one))
    notes = []
    for hurt in hurts_of(client, today, values):
        names = [one.name for one, part in planned if steps_back(one, part, [hurt])]
        if names:
            notes.append(PainNote(pain_words(hurt), listed(list(dict.fromkeys(names)))))
    return tuple(notes)


def pain_words(hurt: Hurt) -> str:
    """A pain the way it is told: Push-up hurt 6 of 10 (left shoulder) on Mon 23 Nov."""
    where = f" ({hurt.where})" if hurt.where else ""
    return f"{hurt.exercise.name} hurt {hurt.pain} of 10{where} on {_day(hurt.on)}"


def reach_of(exercise: plan.Exercise, hurts: Sequence[Hurt]) -> tuple[Reach, str]:
    """How far a pain reaches an exercise that might come in, and what to say of it."""
    found = reaching(exercise, hurts)
    if found is None:
        return Reach.NONE, ""
    how, hurt = found
    if hurt.exercise.key == exercise.key:
        return how, f"hurt {hurt.pain} of 10 on {_day(hurt.on)}"
    joint = " and ".join(hurt.joints) or "same joint"
    return how, f"loads the {joint} {'alike' if how is Reach.ALIKE else 'too'}"


def _to_come(snapshot: Snapshot, today: date, begun: Collection[str]) -> Iterator[SessionData]:
    for week in snapshot["weeks"]:
        for session in week["sessions"]:
            if session["on"] >= today.isoformat() and session["uid"] not in begun:
                yield session


def _lines(session: SessionData) -> Iterator[tuple[int, plan.Part]]:
    for pair in session["pairs"]:
        for line in pair["lines"]:
            yield line["exercise"], plan.Part(pair["part"])


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"
