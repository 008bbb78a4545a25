"""What a template is made to fit, and what that changed: plain values."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict, dataclass, field

from coaching.blocks.shared_templates import TemplatePlan
from coaching.rules.joint_limits import JointLimit, LimitOverride
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, Exercise


@dataclass(frozen=True, slots=True)
class LineChange:
    """What a client cannot do as the template writes it, and what became of it.

    ``given`` is empty when nothing fits and the line is left out. Where the exercise stays and
    its load or sets change, ``what`` says so.
    """

    session: str
    letter: str
    asked: str
    given: str
    why: str
    what: str = ""

    @property
    def sentence(self) -> str:
        """The change in words, with its reason."""
        if self.what:
            return f"{self.what}: {self.why}."
        if not self.given:
            return f"{self.asked} is left out: {self.why}, and nothing in the library fits instead."
        return f"{self.given} instead of {self.asked}: {self.why}."


@dataclass(frozen=True, slots=True)
class Adaptation:
    """A plan that a client can do, and what was changed to get there."""

    plan: TemplatePlan
    changes: tuple[LineChange, ...]

    @property
    def left_out(self) -> int:
        """How many lines nothing could be found for."""
        return sum(not change.given and not change.what for change in self.changes)

    @property
    def sentences(self) -> tuple[str, ...]:
        """Every change in words, once."""
        return tuple(dict.fromkeys(change.sentence for change in self.changes))


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
    exercise key, the newest first; ``goals`` the keys that movement goals stand on. Without
    ``minutes`` [min] no session is made shorter.
    """

    candidates: Collection[Exercise]
    limits: Collection[JointLimit] = ()
    equipment: Collection[EquipmentItem] = ()
    overrides: Collection[LimitOverride] = ()
    minutes: int | None = None
    known: Mapping[str, Sequence[KnownLoad]] = field(default_factory=dict)
    goals: frozenset[str] = frozenset()

    @property
    def kinds(self) -> frozenset[EquipmentKind]:
        """The kinds of equipment that the client has."""
        return frozenset(item.kind for item in self.equipment)


def change_data(change: LineChange) -> dict[str, str]:
    """A change as a block keeps it."""
    return {**asdict(change), "sentence": change.sentence}
