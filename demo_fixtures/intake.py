"""What an invented client told the coach before the first block."""

import zlib
from datetime import date

from clients.intake_services import record_screening
from clients.models import Client, User
from clients.services import add_joint_limit, create_client, record_body_weight, set_equipment
from coaching.library.goal_services import mark_reached, set_goal
from coaching.library.models import Exercise, MovementGoal
from coaching.library.queries import exercise_values
from coaching.rules.ladder_place import goal_answer
from coaching.rules.screening import Topic
from demo_fixtures.people import DemoClient
from demo_fixtures.words import GOALS, SCREENED, Screened
from sessions.queries_goals import sessions_of_exercises

YOUNGEST, OLDEST = 23, 51
OLDER = {"Hal Prendergast": 58, "Jonas Feldmann": 54}
RUNGS = {
    "Sunniva Brekke": ("pull-up", 8),
    "Oona Lahtela": ("chin-up", 1),
    "Ruben Castelo": ("pistol-squat", 5),
    "Casper Nyholm": ("ring-muscle-up", 1),
    "Leila Karimov": ("one-arm-push-up", 8),
    "Freya Lindqvist": ("tuck-front-lever", 15),
}
"""The rungs that more clients work toward: some near, some with prerequisites in the way."""
NEXT_RUNGS = {
    "Amara Diallo": ("chest-to-bar-pull-up", 5),
    "Tomas Velde": ("bar-muscle-up", 1),
}
"""What those work toward whose first goal the coach has called reached."""


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
    goal = person.goal or RUNGS.get(person.name)
    if goal:
        _set_goal(client, goal, rows, began)
    return client


def move_goals_on(client: Client, rows: dict[str, int], today: date) -> None:
    """Call a goal reached on the day the log shows it, and set the next one, for a few."""
    following = NEXT_RUNGS.get(client.name)
    goal = MovementGoal.objects.filter(client=client).select_related("exercise").first()
    if following is None or goal is None:
        return
    values = exercise_values([goal.exercise_id])
    sessions = sessions_of_exercises(client, values, today)
    answer = goal_answer(values[goal.exercise_id], goal.reps, sessions, today=today)
    if answer.on is not None:
        mark_reached(goal=goal, on=answer.on)
        _set_goal(client, following, rows, answer.on)


def _set_goal(client: Client, goal: tuple[str, int], rows: dict[str, int], on: date) -> None:
    key, reps = goal
    row = Exercise.objects.select_related("ladder").get(pk=rows[key])
    set_goal(client=client, exercise=row, reps=reps, on=on)


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
