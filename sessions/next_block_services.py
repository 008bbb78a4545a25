"""The draft of a next block, made from the choices that the coach saw."""

from collections.abc import Mapping

from django.db import transaction

from clients.models import Client
from coaching.blocks.adaptation_values import ChangeKind, LineChange, change_data
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block
from coaching.blocks.next_plan import next_plan
from coaching.blocks.services import create_block
from coaching.blocks.snapshots import Snapshot
from coaching.rules import plan
from coaching.rules.next_block import LastBlock, LineChoice
from sessions.errors import ReviewError
from sessions.next_block_reading import LastPlan, NextReading
from sessions.next_block_sets import exercises_of
from sessions.next_block_week import FirstWeek, asked_in, stays
from sessions.set_words import load_words, sets_words


def draft_after(client: Client, last: LastPlan) -> Block | None:
    """The draft that follows the last block already, if there is one; 1 query."""
    drafts = client.blocks.filter(published_at__isnull=True, number__gt=last.block.number)
    return drafts.order_by("number").first()


def plan_after(
    reading: NextReading, first: FirstWeek, weeks: int, *, begins_light: bool
) -> Snapshot:
    """The plan of the draft from its first usual week; no query."""
    return next_plan(
        first.week,
        weeks=weeks,
        exercises=exercises_of(reading, first.week),
        keep=reading.goals,
        begins_light=begins_light,
    )


@transaction.atomic
def make_next_block(
    *,
    reading: NextReading,
    choices: Mapping[str, LineChoice],
    first: FirstWeek,
    weeks: int,
    begins_light: bool = False,
) -> Block:
    """A draft after the last block, as it was shown; what changes is kept with it.

    Raises ReviewError when a draft follows already or nothing would be left in it.
    """
    client, last = reading.client, reading.last
    Client.objects.select_for_update().get(pk=client.pk)
    there = draft_after(client, last)
    if there is not None:
        message = (
            f"Block {there.number} is a draft after block {last.block.number} already: open it, or "
            "discard it there to make it again."
        )
        raise ReviewError(message)
    if not first.week["sessions"]:
        message = "Nothing of the last block can be done now; begin from a template instead."
        raise ReviewError(message)
    snapshot = plan_after(reading, first, weeks, begins_light=begins_light)
    try:
        block = create_block(client=client, name=last.block.name, snapshot=snapshot)
    except BlockError as error:
        raise ReviewError(str(error)) from error
    block.changes_from_template = _told(reading, choices, first)
    block.save(update_fields=["changes_from_template"])
    return block


def _told(
    reading: NextReading, choices: Mapping[str, LineChoice], first: FirstWeek
) -> list[dict[str, str]]:
    """Each change with its reason, in the words in which a draft tells what was changed.

    What was cut out of every session is told by its cut alone.
    """
    found: dict[tuple[str, str], dict[str, str]] = {}
    for session, pair, line, key in reading.places():
        choice, cut = choices[key], first.cuts.get(line["uid"])
        if stays(choice, asked_in(reading, line)) or (cut and not cut.after):
            continue
        found[key, session["name"]] = change_data(
            _change(session["name"], pair["letter"], reading.lines[key], choice)
        )
    return [*found.values(), *(change_data(one) for one in first.changes)]


def _change(session: str, letter: str, case: LastBlock, choice: LineChoice) -> LineChange:
    asked, to = case.asked, choice.exercise
    why = case.forbidden or _WHY.get(choice.why, choice.why)
    was, now = as_words(asked.exercise, asked.targets, asked.load), ""
    what = ""
    if to is not None:
        now = as_words(to, choice.targets, choice.load)
    if to is not None and choice.load_is_open and not choice.load:
        now = f"{to.name} {sets_words(choice.targets, to.measure)}, its load to choose,"
    if to is not None and to.key == asked.exercise.key:
        what = f"{to.name} {_amounts(to, choice.targets, choice.load)} after "
        what += _amounts(to, asked.targets, asked.load)
    kind = ChangeKind.STEP if what else ""
    return LineChange(session, letter, was, now, why, what, kind)


_WHY = {
    "worked": "its targets were reached",
    "if it goes as planned": "the last block asks as much already; look at it again",
    "past its range": "it is past its range and no harder step of it fits yet",
    "hurt": "it hurt above 5 of 10",
    "stalled": "it stalled",
    "stalled, a goal": "it stalled, and a movement goal stands on it",
    "too hard for now": "its target was missed twice running",
    "next rung is there": "it is at the top of its range, and its next rung is in the block already",
    "too easy": "it is far above its range",
    "two blocks alike": "the last two blocks were alike",
    "joint limit": "it loads what is regressed",
}


def as_words(exercise: plan.Exercise, targets: tuple[int, ...], load: float) -> str:
    """An exercise with its sets and load: Pull-up 5 × 5 · +5 kg."""
    return f"{exercise.name} {_amounts(exercise, targets, load)}"


def _amounts(exercise: plan.Exercise, targets: tuple[int, ...], load: float) -> str:
    kilograms = load_words(load, exercise.load_kind)
    return f"{sets_words(targets, exercise.measure)}{f' · {kilograms}' if kilograms else ''}"
