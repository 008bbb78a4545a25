"""Puts the invented practice into an empty database, through the same services as the app."""

import zlib
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from clients.models import Client, Role, User
from clients.services import (
    add_joint_limit,
    create_client,
    make_sign_in_link,
    record_body_weight,
    set_equipment,
)
from coaching.blocks.services import create_block, publish_block
from coaching.blocks.shared_templates import SharedTemplate, read_shared_templates
from coaching.blocks.snapshots import SessionData, week_data
from coaching.library.models import Exercise, MovementGoal
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules import plan
from demo_fixtures.people import PEOPLE, DemoClient, Story
from demo_fixtures.training import DoneSession, Trainee, Training, block_kinds
from sessions.history import HistorySession, HistorySet, record_history
from sessions.review_services import accept_proposals, mark_reviewed
from sessions.week_reading import read_weeks

COACH = "Tove Aldengren"
COACH_EMAIL = "tove@stonequay.example"
PHONE_CLIENT = "Amara Diallo"
SECONDS_BETWEEN_SETS = 150
REVIEWED_WEEKS = 8

WORDS = {
    "Amara Diallo": "Strong week. Keep the last pull-up as slow as the first.",
    "Maren Tolsvik": "Good work under a busy month. Tell me how you sleep this week.",
    "Casper Nyholm": "Rings low for the push-ups, please: chest to the floor.",
    "Hal Prendergast": "Three sessions in a row, well done. Same again.",
    "Saskia Ott": "Add a second to every lowering before we add load.",
}


@dataclass(frozen=True)
class DemoLinks:
    """Paths that sign in the demo coach and one demo client."""

    coach_link: str
    client_link: str


@transaction.atomic
def load_demo(today: date) -> DemoLinks:
    """Load the whole practice; dates count back from today."""
    coach = User.objects.create_account(email=COACH_EMAIL, name=COACH, role=Role.COACH)
    rows = dict(Exercise.objects.filter(coach__isnull=True).values_list("key", "pk"))
    catalogue = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    templates = {one.key: one for one in read_shared_templates()}
    clients = {
        person.name: _load_client(coach, person, templates[person.template], catalogue, rows, today)
        for person in PEOPLE
    }
    _review_past_weeks(coach, list(clients.values()), today)
    phone = clients[PHONE_CLIENT].user
    if phone is None:
        message = "The demo client has no account."
        raise ValueError(message)
    return DemoLinks(
        coach_link=f"/link/{make_sign_in_link(user=coach)}/",
        client_link=f"/link/{make_sign_in_link(user=phone)}/",
    )


def _load_client(
    coach: User,
    person: DemoClient,
    template: SharedTemplate,
    catalogue: dict[str, plan.Exercise],
    rows: dict[str, int],
    today: date,
) -> Client:
    began = today - timedelta(weeks=max(person.weeks, 1))
    client = _intake(coach, person, rows, began)
    if person.story is Story.NO_BLOCK:
        return client
    monday = today - timedelta(days=today.weekday())
    weeks_ago, kinds = block_kinds(person, template)
    trainee = Trainee(person, template, catalogue, today)
    training = trainee.train(monday - timedelta(weeks=weeks_ago), kinds)
    for weeks in training.blocks:
        snapshot = {"weeks": [week_data(week, rows) for week in weeks]}
        block = create_block(client=client, name=template.name, snapshot=snapshot)  # type: ignore[arg-type]
        publish_block(block=block, by=coach, why="Agreed at the start of the block")
    record_history(client=client, sessions=_history(client, training, trainee, rows))
    _weigh(client, training)
    return client


def _intake(coach: User, person: DemoClient, rows: dict[str, int], began: date) -> Client:
    client = create_client(
        coach=coach,
        name=person.name,
        email=f"{person.name.split()[0].lower()}@mail.example",
        level=person.level,
        sex=person.sex,
        stature_cm=person.stature,
        minutes=person.minutes,
        time_zone=person.time_zone,
        asks_rir=person.asks_rir,
        screened_on=began,
    )
    set_equipment(
        client=client,
        items=[
            {"kind": kind.value, "pieces": pieces, "bar_kg": 20 if kind == "barbell" else 0}
            for kind, pieces in person.equipment.items()
        ],
    )
    record_body_weight(client=client, on=began, kg=person.kg)
    for stress, action in person.limits:
        add_joint_limit(client=client, stress=stress.value, action=action, since=began)
    if person.goal:
        key, reps = person.goal
        MovementGoal.objects.create(client=client, exercise_id=rows[key], reps=reps, set_on=began)
    return client


def _history(
    client: Client, training: Training, trainee: Trainee, rows: dict[str, int]
) -> list[HistorySession]:
    return [_session(client, done, trainee, rows) for done in training.done]


def _session(
    client: Client, done: DoneSession, trainee: Trainee, rows: dict[str, int]
) -> HistorySession:
    zone = ZoneInfo(client.time_zone)
    start = datetime.combine(done.planned.on, time(17, 30), zone).astimezone(UTC)
    sets = tuple(
        HistorySet(
            uid=UUID(trainee.uid()),
            exercise_id=rows[asked.exercise.key],
            prescription_uid=UUID(asked.key),
            number=one.number,
            amount=one.amount,
            load=one.load,
            target=one.target,
            target_load=one.target_load,
            rir=one.rir,
            pain=one.pain,
            pain_where=one.pain_where,
            done_at=start + timedelta(seconds=SECONDS_BETWEEN_SETS * place),
        )
        for place, (asked, one) in enumerate(done.sets, start=1)
    )
    return HistorySession(
        uid=UUID(trainee.uid()),
        planned_uid=UUID(done.planned.key),
        on=done.planned.on,
        name=done.planned.name,
        kind=done.kind.value,
        plan=(_plan_of(done, rows),),
        started_at=start,
        finished_at=None if done.skipped_reason else start + timedelta(minutes=62),
        sets=sets,
        rpe=None if done.skipped_reason else done.rpe,
        note=done.note,
        body_weight=done.body_weight,
        skipped_reason=done.skipped_reason,
    )


def _plan_of(done: DoneSession, rows: dict[str, int]) -> SessionData:
    week = plan.PlannedWeek(1, done.kind, done.planned.on, (done.planned,))
    return week_data(week, rows)["sessions"][0]


def _weigh(client: Client, training: Training) -> None:
    """One weighing a week, from the first session of it."""
    weeks: dict[Any, DoneSession] = {}
    for done in training.done:
        weeks.setdefault(done.planned.on.isocalendar()[:2], done)
    for done in weeks.values():
        record_body_weight(client=client, on=done.planned.on, kg=done.body_weight)


def _review_past_weeks(coach: User, clients: list[Client], today: date) -> None:
    """The coach has reviewed the weeks before this one, and decided for a few clients."""
    monday = today - timedelta(days=today.weekday())
    for back in range(REVIEWED_WEEKS, 0, -1):
        week = monday - timedelta(weeks=back)
        at = datetime.combine(week + timedelta(days=7), time(9), UTC)
        for client in clients:
            note = WORDS.get(client.name, "") if back == 1 else ""
            mark_reviewed(client=client, week_starts_on=week, by=coach, note_to_client=note, at=at)
    decided = [c for c in clients if zlib.crc32(c.name.encode()) % 3 == 0]
    for reading in read_weeks(decided, monday - timedelta(weeks=1), today):
        if reading.steps:
            accept_proposals(reading=reading, proposals=reading.steps, today=today, by=coach)
