"""What a template is made to fit, and what that changed: plain values."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from enum import StrEnum

from coaching.blocks.shared_templates import TemplatePlan
from coaching.rules.joint_limits import JointLimit, Joints, LimitOverride
from coaching.rules.loads import EquipmentItem
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.pain_reach import Hurt
from coaching.rules.plan import EquipmentKind, Exercise
from coaching.rules.standing import Standing

MOST_SHOWN = 6


class ChangeKind(StrEnum):
    """What became of an exercise, what a coach must see first."""

    LEFT_OUT = "left out"
    SWAPPED = "swapped"
    STEP = "step"
    TARGETS = "targets"
    SHORTER = "shorter"
    HELD = "held"
    OTHER = "other"
    LOAD = "load"


class Concern(StrEnum):
    """Why a coach must see a change, however many there are."""

    NONE = ""
    JOINTS = "joints"
    LEVEL = "level"
    LOST = "lost"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class LineChange:
    """What a client cannot do as the template writes it, and what became of it.

    ``given`` is empty when nothing fits and the line is left out. Where the exercise stays and
    its load or sets change, ``what`` says so and ``kind`` which of them.
    """

    session: str
    letter: str
    asked: str
    given: str
    why: str
    what: str = ""
    kind: str = ""
    where: str = ""
    """In which weeks, where it is not all: in weeks 6 and 7."""
    concern: str = Concern.NONE

    @property
    def sentence(self) -> str:
        """The change in words, with its reason."""
        if self.what:
            return f"{self.what}: {self.why}."
        if not self.given:
            return f"{self.asked} is left out{self.where}: {self.why}, and nothing in the library fits instead."
        return f"{self.given} instead of {self.asked}{self.where}: {self.why}."


@dataclass(frozen=True, slots=True)
class Adaptation:
    """A plan that a client can do, and what was changed to get there."""

    plan: TemplatePlan
    changes: tuple[LineChange, ...]
    is_little_left: bool = False
    """Whether most of the plan's exercises are left out or swapped."""

    @property
    def left_out(self) -> int:
        """How many lines nothing could be found for."""
        return sum(not change.given and not change.what for change in self.changes)

    @property
    def told(self) -> "ToldChanges":
        """Every change in words, once, loads apart."""
        return told_changes(change_data(one) for one in self.changes)


@dataclass(frozen=True, slots=True)
class Told:
    """One change in words; what a coach must see is never folded away."""

    words: str
    kind: ChangeKind
    must_see: bool = False
    is_of_joints: bool = False


@dataclass(frozen=True, slots=True)
class ToldGroup:
    """Changes of one kind: how many and what became of them, and each in words."""

    summary: str
    words: tuple[str, ...]


_BECAME = {
    ChangeKind.LEFT_OUT: "left out",
    ChangeKind.SWAPPED: "swapped",
    ChangeKind.STEP: "with new targets",
    ChangeKind.TARGETS: "with the client’s own targets",
    ChangeKind.SHORTER: "shortened",
    ChangeKind.HELD: "held",
    ChangeKind.OTHER: "to know",
}


_FOLDED_WHY = {
    ChangeKind.LEFT_OUT: " to end on time",
    ChangeKind.SWAPPED: " for the equipment",
    ChangeKind.SHORTER: " to end on time",
    ChangeKind.HELD: " where the load cannot follow",
}
"""Why, of what is folded away: what has another reason is always seen."""


@dataclass(frozen=True, slots=True)
class ToldChanges:
    """Changes in words: what was left out, swapped or shortened, and apart from it the loads."""

    told: tuple[Told, ...] = ()
    loads: tuple[str, ...] = ()
    known: int = 0
    """How many of the loads were done by the client, or planned, before."""

    @property
    def work(self) -> tuple[str, ...]:
        """Every change in words, loads left aside."""
        return tuple(one.words for one in self.told)

    @property
    def must_see(self) -> tuple[str, ...]:
        """What is never folded away, joints first: joints, level, muscles left without work, time."""
        seen = [one for one in self.told if one.must_see]
        return tuple(one.words for one in sorted(seen, key=lambda one: not one.is_of_joints))

    @property
    def folded(self) -> tuple[str, ...]:
        """What a page may fold away, or tell once for several clients."""
        return tuple(one.words for one in self.told if not one.must_see)

    def without(self, words: Collection[str]) -> "ToldChanges":
        """The same without those of what is folded that are told elsewhere."""
        left = [one for one in self.told if one.must_see or one.words not in words]
        return replace(self, told=tuple(left))

    @property
    def groups(self) -> tuple[ToldGroup, ...]:
        """The rest by what became of it."""
        rest = [one for one in self.told if not one.must_see]
        found = []
        for kind, became in _BECAME.items():
            if words := tuple(one.words for one in rest if one.kind is kind):
                why = _FOLDED_WHY.get(kind, "")
                found.append(ToldGroup(f"{len(words)} {became}{why}", words))
        return tuple(found)

    @property
    def numbers(self) -> str:
        """How many changes of each kind: 6 left out, 11 swapped, 4 shortened."""
        kinds = [one.kind for one in self.told]
        counts = ((kinds.count(kind), became) for kind, became in _BECAME.items())
        return ", ".join(f"{count} {became}" for count, became in counts if count)

    @property
    def loads_words(self) -> str:
        """The loads in one line: 11 loads set from what was planned before."""
        count = len(self.loads)
        words = f"{count} load{'' if count == 1 else 's'} set"
        if self.known == count:
            return f"{words} from what was done or planned before"
        return f"{words} to what the equipment makes" if not self.known else words

    @property
    def count(self) -> int:
        """How many changes there are, loads left aside."""
        return len(self.work)

    @property
    def is_next(self) -> bool:
        """Whether they lead from a block to the next one, and not from a template to a client."""
        return any(one.kind is ChangeKind.STEP for one in self.told)

    @property
    def is_short(self) -> bool:
        """Whether a page has room to show all of it at once."""
        return self.count <= MOST_SHOWN

    def __bool__(self) -> bool:
        return bool(self.work or self.loads)


NO_CHANGES = ToldChanges()


def told_changes(changes: Iterable[Mapping[str, str]]) -> ToldChanges:
    """Changes as ``change_data`` keeps them, in words: what is left out, swapped, shortened; loads.

    What happens in several sessions is told once and names them.
    """
    sessions: dict[tuple[ChangeKind, str], dict[str, Mapping[str, str]]] = {}
    for one in changes:
        place = sessions.setdefault((_kind_of(one), _words_of(one)), {})
        place.setdefault(one.get("session", ""), one)
    order = list(ChangeKind)
    ranked = sorted(sessions.items(), key=lambda item: order.index(item[0][0]))
    work = [
        Told(
            _told(words, kind, where),
            kind,
            any(one.get("concern") for one in where.values()),
            any(one.get("concern") == Concern.JOINTS for one in where.values()),
        )
        for (kind, words), where in ranked
        if kind != ChangeKind.LOAD
    ]
    loads = [(words, where) for (kind, words), where in ranked if kind == ChangeKind.LOAD]
    known = sum(
        next(iter(where.values()))["why"].startswith((PLANNED, STOOD)) for _, where in loads
    )
    return ToldChanges(tuple(work), tuple(words for words, _ in loads), known)


def _told(words: str, kind: ChangeKind, where: Mapping[str, Mapping[str, str]]) -> str:
    names = [name for name in where if name]
    one = next(iter(where.values()))
    if kind is ChangeKind.OTHER or not names or any(name in words for name in names):
        return words
    named = f"{', '.join(names[:-1])} and {names[-1]}" if names[1:] else names[0]
    return words.replace(f": {one['why']}", f", in {named}: {one['why']}", 1)


def _kind_of(change: Mapping[str, str]) -> ChangeKind:
    """What became of it; blocks made before the kind was kept tell it by their words."""
    if change.get("kind"):
        return ChangeKind(change["kind"])
    what = change.get("what", "")
    if what:
        is_load = change["why"].startswith((PLANNED, UNMADE))
        return ChangeKind.LOAD if is_load else _KINDS.get(what.rpartition(" ")[2], ChangeKind.OTHER)
    return ChangeKind.SWAPPED if change["given"] else ChangeKind.LEFT_OUT


def _words_of(change: Mapping[str, str]) -> str:
    if change.get("sentence"):
        return change["sentence"]
    if not change["given"]:
        return f"{change['asked']} is left out: {change['why']}, and nothing fits instead."
    return f"{change['given']} instead of {change['asked']}: {change['why']}."


PLANNED = "planned before for"
STOOD = "from"
HURT = f"it hurt above {PAIN_LIMIT.value:g} of 10 when it was last done,"
UNMADE = "the equipment makes no"
_KINDS = {"out": ChangeKind.LEFT_OUT}


@dataclass(frozen=True, slots=True)
class KnownLoad:
    """A load that was planned for a client before: kilograms, for so many reps or seconds."""

    kg: float
    amount: int


@dataclass(frozen=True)
class ClientMeans:
    """What a client can do, own and spare: all that a template is made to fit.

    ``candidates`` are what may be offered instead, of the client's level, say; ``overrides``
    what the coach allowed by name in spite of a limit; ``known`` the loads planned before by
    exercise key, the newest first; ``goals`` the keys that movement goals stand on, ``planned``
    those of published plans and logs. ``levels`` and ``tempos`` are by key, ``level`` is the client's
    own, the lowest being 0; ``made_for`` is the level that the plan is made for, none where it is
    made for nobody else than this client or whoever is of the level. ``standing`` is how each exercise
    was last done, a heavy and a light day apart, ``pains`` what hurt lately, ``logged`` the keys of all that was ever logged, ``body_weight`` [kg] what is reckoned with it; ``keeps_loads`` says that the plan's
    loads are the client's own. Without ``minutes`` [min] no session is made shorter. ``limits`` are
    those of all times, judged on the days of a block from ``starts_on`` on; without it all count.
    """

    candidates: Collection[Exercise]
    limits: Collection[JointLimit] = ()
    equipment: Collection[EquipmentItem] = ()
    overrides: Collection[LimitOverride] = ()
    minutes: int | None = None
    known: Mapping[str, Sequence[KnownLoad]] = field(default_factory=dict)
    goals: frozenset[str] = frozenset()
    planned: frozenset[str] = frozenset()
    levels: Mapping[str, int] = field(default_factory=dict)
    level: int = 0
    tempos: Mapping[str, str] = field(default_factory=dict)
    made_for: int | None = None
    standing: Mapping[str, Sequence[Standing]] = field(default_factory=dict)
    pains: Sequence[Hurt] = ()
    logged: frozenset[str] = frozenset()
    body_weight: float | None = None
    keeps_loads: bool = False
    starts_on: date | None = None

    def limits_on(self, days: Collection[date]) -> tuple[JointLimit, ...]:
        """The limits that count on one or more of some days; all, where there are none."""
        return Joints(tuple(self.limits)).on_any(days) if days else tuple(self.limits)

    def level_of(self, exercise: Exercise) -> int:
        """For which level of client an exercise is; 0 is the lowest."""
        return self.levels.get(exercise.key, 0)

    @property
    def kinds(self) -> frozenset[EquipmentKind]:
        """The kinds of equipment that the client has."""
        return frozenset(item.kind for item in self.equipment)


def change_data(change: LineChange) -> dict[str, str]:
    """A change as a block keeps it."""
    return {**asdict(change), "sentence": change.sentence}


def weeks_in_words(numbers: Sequence[int]) -> str:
    """Weeks that a change is true of, in words.

    >>> weeks_in_words([2]), weeks_in_words([2, 3, 4]), weeks_in_words([1, 2, 5])
    ('week 2', 'weeks 2 to 4', 'weeks 1, 2 and 5')
    """
    first, *more = sorted(set(numbers))
    if not more:
        return f"week {first}"
    if more[1:] and more[-1] - first == len(more):
        return f"weeks {first} to {more[-1]}"
    return f"weeks {', '.join(map(str, [first, *more[:-1]]))} and {more[-1]}"


def names_in_words(names: Sequence[str]) -> str:
    """Names as one says them.

    >>> names_in_words(["calves"]), names_in_words(["abs", "calves", "side delt"])
    ('calves', 'abs, calves and side delt')
    """
    *more, last = names
    return f"{', '.join(more)} and {last}" if more else last
