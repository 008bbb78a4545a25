"""How a client last did each exercise, read from the log; or what the sessions to come ask."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from clients.models import Client
from coaching.blocks.models import Prescription
from coaching.rules.block_numbers import PAIN_LATELY_DAYS, STANDING_FRESH_DAYS, STANDING_WEEKS
from coaching.rules.numbers import ABSENCE_DAYS, PAIN_LIMIT
from coaching.rules.pain_reach import Hurt
from coaching.rules.plan import Exercise, WeekKind
from coaching.rules.planned_load import harder_of, is_jump
from coaching.rules.standing import Standing

_LATELY = timedelta(weeks=STANDING_WEEKS.value)
_WEEK = timedelta(weeks=1)


@dataclass(frozen=True)
class Stood:
    """Where a client stands, by exercise key, a heavy and a light day apart; and what hurt lately."""

    standings: Mapping[str, tuple[Standing, ...]] = field(default_factory=dict)
    pains: tuple[Hurt, ...] = ()


@dataclass
class _Done:
    """One exercise in one session: what was done, and the worst pain."""

    on: date
    session: str
    sets: list[tuple[int, float]] = field(default_factory=list)
    pain: int = 0
    where: str = ""

    def load(self, exercise: Exercise) -> float:
        """The load of most sets [kg]: a warm-up that was logged as a set is none of it."""
        times = Counter(kg for _, kg in self.sets)
        most = max(times.values())
        first, *more = [kg for kg, count in times.items() if count == most]
        for kg in more:
            first = harder_of(exercise, first, kg)
        return first


def stood(client: Client, exercises: Mapping[str, Exercise], as_of: date) -> Stood:
    """How the exercises of a library stand on a day; 2 queries."""
    done, last = _done(client, as_of)
    planned = list(_planned(client, as_of))
    found: dict[str, tuple[Standing, ...]] = {}
    for key, one in planned:
        if one.on >= as_of:
            found[key] = (one,)
    loads: dict[str, list[float]] = defaultdict(list)
    for key, one in planned:
        loads[key].append(one.load)
    is_away = last is not None and (as_of - last).days > ABSENCE_DAYS.value
    for key, sessions in done.items():
        exercise = exercises.get(key)
        believed = _believed(exercise, sessions, loads[key]) if exercise else []
        if exercise and believed:
            found[key] = tuple(_standings(exercise, believed, as_of, is_away=is_away))
    return Stood(found, tuple(_pains(done, exercises, as_of)))


def _done(client: Client, as_of: date) -> tuple[dict[str, list[_Done]], date | None]:
    """What was logged of each exercise in usual weeks, newest first; the last day of any log."""
    rows = (
        client.logged_sessions.filter(
            sets__removed_at__isnull=True,
            sets__warm_up=False,
            sets__amount__gt=0,
            on__lte=as_of,
            on__gte=as_of - _LATELY,
        )
        .order_by("-on", "-pk", "sets__number", "sets__pk")
        .values_list(
            "pk", "on", "name", "kind",
            "sets__exercise__key", "sets__amount", "sets__load_kg", "sets__pain", "sets__pain_where",
        )
    )  # fmt: skip
    found: dict[str, dict[int, _Done]] = defaultdict(dict)
    last = None
    for pk, on, name, kind, key, amount, kg, pain, where in rows:
        last = last or on
        if kind != WeekKind.DELOAD.value:
            one = found[key].setdefault(pk, _Done(on, name))
            one.sets.append((amount, float(kg)))
            if pain and pain > one.pain:
                one.pain, one.where = pain, where
    return {key: list(sessions.values()) for key, sessions in found.items()}, last


def _believed(
    exercise: Exercise, sessions: Sequence[_Done], planned: Sequence[float]
) -> list[_Done]:
    """The sessions without those whose load is far above all else that was done or planned.

    A finger that slips makes 200 of 20.
    """
    loads = [one.load(exercise) for one in sessions]
    found = []
    for at, one in enumerate(sessions):
        others = [*loads[:at], *loads[at + 1 :], *planned]
        if not others or not is_jump(exercise, loads[at], _hardest(exercise, others)):
            found.append(one)
    return found


def _hardest(exercise: Exercise, loads: Sequence[float]) -> float:
    first, *more = loads
    for one in more:
        first = harder_of(exercise, first, one)
    return first


def _standings(
    exercise: Exercise, sessions: Sequence[_Done], as_of: date, *, is_away: bool
) -> Iterator[Standing]:
    """The newest of each session of the last week in which it was done: a heavy and a light day."""
    week = [one for one in sessions if one.on > sessions[0].on - _WEEK]
    hurt = any(one.pain > PAIN_LIMIT.value for one in week)
    names: set[str] = set()
    for one in week:
        if one.session in names:
            continue
        names.add(one.session)
        days = (as_of - one.on).days
        is_old = is_away or days > STANDING_FRESH_DAYS.value
        load = one.load(exercise)
        yield Standing(
            on=one.on,
            amounts=tuple(amount for amount, kg in one.sets if kg == load),
            load=load,
            hurt=hurt,
            weeks_ago=max(1, days // _WEEK.days) if is_old else 0,
            sets=len(one.sets),
        )


def _pains(
    done: Mapping[str, Sequence[_Done]], exercises: Mapping[str, Exercise], as_of: date
) -> Iterator[Hurt]:
    """The worst of each exercise that hurt above the limit lately, the newest of two alike."""
    since = as_of - timedelta(days=PAIN_LATELY_DAYS.value)
    for key, sessions in done.items():
        hurt = [one for one in sessions if one.on >= since and one.pain > PAIN_LIMIT.value]
        if hurt and key in exercises:
            worst = max(hurt, key=lambda one: (one.pain, one.on))
            yield Hurt(exercises[key], worst.pain, worst.where, worst.on)


def _planned(client: Client, as_of: date) -> Iterator[tuple[str, Standing]]:
    """What each exercise was planned with in usual weeks of late and to come, oldest first."""
    rows = (
        Prescription.objects.filter(
            pair__planned_session__week__block__client=client,
            pair__planned_session__week__block__published_at__isnull=False,
            pair__planned_session__on__gte=as_of - _LATELY,
        )
        .exclude(pair__planned_session__week__kind=WeekKind.DELOAD.value)
        .order_by("pair__planned_session__on", "pk")
        .values_list("exercise__key", "pair__planned_session__on", "targets", "load_kg")
    )
    for key, on, targets, kg in rows:
        if targets:
            yield key, Standing(on, tuple(targets), float(kg), is_logged=False)
