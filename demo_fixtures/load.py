"""Puts the invented practice into an empty database, through the same services as the app."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from clients.models import Client, Role, User
from clients.row_counts import count_rows_anew
from clients.services import make_sign_in_link, record_body_weight
from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import Block, BlockTemplate, BlockVersion
from coaching.blocks.services import create_block, create_block_from_template
from coaching.blocks.shared_templates import read_shared_templates
from coaching.blocks.snapshots import SessionData, Snapshot, week_data
from coaching.library.models import Exercise
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules import plan
from demo_fixtures.block_plans import block_plans
from demo_fixtures.decided import review_past_weeks
from demo_fixtures.intake import move_goals_on, part_of, take_in
from demo_fixtures.people import PEOPLE, DemoClient, Story
from demo_fixtures.training import DoneSession, MovedTarget, Trainee, Training
from sessions.history import HistorySession, HistorySet, record_history

COACH = "Tove Aldengren"
COACH_EMAIL = "tove@stonequay.example"
PHONE_CLIENT = "Amara Diallo"
PUBLISHED_AHEAD = timedelta(days=10)
TRAINS_AT = (time(6, 40), time(12, 10), time(17, 30), time(19, 5))


@dataclass(frozen=True)
class DemoLinks:
    """Paths that sign in the demo coach and one demo client."""

    coach_link: str
    client_link: str


@transaction.atomic
def load_demo(today: date, people: Sequence[DemoClient] = PEOPLE) -> DemoLinks:
    """Load the whole practice, or some of its people; dates count back from today."""
    coach = User.objects.create_account(email=COACH_EMAIL, name=COACH, role=Role.COACH)
    rows = dict(Exercise.objects.filter(coach__isnull=True).values_list("key", "pk"))
    catalogue = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    clients: dict[str, Client] = {}
    moved: dict[str, list[MovedTarget]] = {}
    for person in people:
        began = today - timedelta(weeks=max(person.weeks, 1))
        client = clients[person.name] = take_in(coach, person, rows, began)
        trainee = Trainee(person, catalogue, today)
        moved[person.name] = _train(coach, client, trainee, rows)
        move_goals_on(client, rows, today)
    count_rows_anew()
    review_past_weeks(coach, list(clients.values()), moved, rows, today)
    count_rows_anew()
    phone = clients[PHONE_CLIENT].user
    if phone is None:
        message = "The demo client has no account."
        raise ValueError(message)
    return DemoLinks(
        coach_link=f"/link/{make_sign_in_link(user=coach)}/",
        client_link=f"/link/{make_sign_in_link(user=phone)}/",
    )


def _train(
    coach: User, client: Client, trainee: Trainee, rows: dict[str, int]
) -> list[MovedTarget]:
    """The client's blocks and logs so far; answers what the Mondays changed."""
    person, today = trainee.person, trainee.today
    if person.story is Story.NO_BLOCK:
        return []
    templates = {one.key: one for one in read_shared_templates()}
    monday = today - timedelta(days=today.weekday())
    weeks_ago, plans = block_plans(person, templates)
    training = trainee.train(monday - timedelta(weeks=weeks_ago), plans)
    for name, weeks in training.blocks:
        snapshot: Snapshot = {"weeks": [week_data(week, rows) for week in weeks]}
        block = create_block(client=client, name=name, snapshot=snapshot)
        version = publish_changes(
            block=block,
            by=coach,
            today=min(today, block.starts_on),
            why="Agreed at the start of the block",
        )
        _date_back(version, trainee.today)
    sessions = _history(client, training, trainee, rows)
    record_history(client=client, sessions=sessions)
    User.objects.filter(client=client).update(last_login=sessions[0].started_at)
    _weigh(client, training)
    if person.story is Story.LIGHT_NOW:
        _draft_next(coach, client, person.template, monday + timedelta(days=7))
    return training.moved


def _date_back(version: BlockVersion, today: date) -> None:
    """The block was published some days before it began, or today if that is to come."""
    on = min(version.block.starts_on - PUBLISHED_AHEAD, today)
    at = min(datetime.combine(on, time(8), UTC), version.at)
    BlockVersion.objects.filter(pk=version.pk).update(at=at)
    Block.objects.filter(pk=version.block_id).update(published_at=at)


def _draft_next(coach: User, client: Client, key: str, starts_on: date) -> None:
    """The next block lies ready as a draft."""
    template = BlockTemplate.objects.get(coach=None, key=key)
    create_block_from_template(client=client, template=template, starts_on=starts_on, by=coach)


def _history(
    client: Client, training: Training, trainee: Trainee, rows: dict[str, int]
) -> list[HistorySession]:
    return [_session(client, done, trainee, rows) for done in training.done]


def _session(
    client: Client, done: DoneSession, trainee: Trainee, rows: dict[str, int]
) -> HistorySession:
    zone = ZoneInfo(client.time_zone)
    hour = TRAINS_AT[part_of(client.name, len(TRAINS_AT))]
    start = datetime.combine(done.planned.on, hour, zone).astimezone(UTC)
    apart = timedelta(minutes=client.minutes) / (len(done.sets) + 1) * trainee.haste()
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
            done_at=start + apart * place,
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
        finished_at=None if done.skipped_reason else start + apart * (len(sets) + 1),
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
