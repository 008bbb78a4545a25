"""What an invented client told the coach before the first block."""

import zlib
from datetime import date

from clients.intake_services import record_screening
from clients.models import Client, User
from clients.services import add_joint_limit, create_client, record_body_weight, set_equipment
from coaching.library.models import MovementGoal
from coaching.rules.screening import Topic
from demo_fixtures.people import DemoClient
from demo_fixtures.words import GOALS, SCREENED, Screened

YOUNGEST, OLDEST = 23, 51
OLDER = {"Hal Prendergast": 58, "Jonas Feldmann": 54}


def take_in(coach: User, person: DemoClient, rows: dict[str, int], began: date) -> Client:
    """The client with an account and everything the intake asks for."""
    client = create_client(
        coach=coach,
        name=person.name,
        email=f"{person.name.split()[0].lower()}@mail.example",
        level=person.level,
        sex=person.sex,
        stature_cm=person.stature,
        born_in=began.year - _age(person),
        minutes=person.minutes,
        time_zone=person.time_zone,
        asks_rir=person.asks_rir,
        goal_words=GOALS.get(person.name, ""),
    )
    _screen(client, person, began)
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


def part_of(name: str, count: int) -> int:
    """A number below ``count`` that is always the same for one name."""
    return zlib.crc32(name.encode()) % count


def _age(person: DemoClient) -> int:
    return OLDER.get(person.name, YOUNGEST + part_of(person.name, OLDEST - YOUNGEST))


def _screen(client: Client, person: DemoClient, on: date) -> None:
    said = SCREENED.get(person.name, Screened())
    answers: dict[Topic, bool] = {one: one in said.yes for one in Topic}
    del answers[Topic.CONSENT]
    answers[Topic.ACTIVE] = person.level != "absolute beginner"
    cleared_on = on if said.cleared else None
    record_screening(client=client, answers=answers, on=on, note=said.note, cleared_on=cleared_on)
