"""The loads of a template for one client: known ones that the equipment makes, else none.

Where no load is known it stays open, to be chosen with the client: nothing is made up.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from coaching.blocks.adaptation_values import (
    PLANNED,
    UNMADE,
    ChangeKind,
    ClientMeans,
    KnownLoad,
    LineChange,
)
from coaching.blocks.shared_templates import TemplateLine, TemplatePlan, lines_of
from coaching.rules.load_to_choose import needs_load
from coaching.rules.loads import available_loads, loading, loads_unknown
from coaching.rules.plan import EquipmentKind, Exercise, LoadKind, Measure


@dataclass(frozen=True)
class LoadsFor:
    """Finds the loads of one client's lines."""

    library: Mapping[str, Exercise]
    means: ClientMeans

    def known(self, lines: Iterable[TemplateLine]) -> KnownLoad | None:
        """What a client had for as many repetitions as one place asks in any week at full load.

        It is found once for all weeks, so that they keep their course.
        """
        full = [line for line in lines if not is_on_course(line)]
        key = next((line.exercise_key for line in full), "")
        most = max((target for line in full for target in line.targets), default=0)
        return next((one for one in self.means.known.get(key, ()) if one.amount >= most), None)

    def loaded(
        self, line: TemplateLine, known: KnownLoad | None
    ) -> tuple[TemplateLine, LineChange | None]:
        """The line with that load, or with its own where the equipment makes it: never harder."""
        exercise = self.library[line.exercise_key]
        wanted = self._wanted(exercise, line, known)
        load = 0.0 if wanted is None else self._made(exercise, wanted)
        if wanted and load != wanted and self.keeps(exercise, known):
            load = wanted
        if load == line.load:
            return line, None
        changed = replace(line, load=load)
        if is_on_course(line):
            return changed, None
        unit = "reps" if exercise.measure is Measure.REPS else "s"
        is_known = known and load == known.kg
        why = (
            f"{PLANNED} {known.amount} {unit}" if known and is_known else f"{UNMADE} {wanted:g} kg"
        )
        what = f"{exercise.name} with {load:g} kg"
        if not load:
            what = f"{exercise.name}: its load is still to choose"
        elif line.load:
            what += f" instead of {line.load:g} kg"
        name, kind = exercise.name, ChangeKind.LOAD
        return changed, LineChange("", "", name, name, why, what, kind)

    def keeps(self, exercise: Exercise, known: KnownLoad | None) -> bool:
        """Whether a load of the client's own stays, as no weights are written down to choose from."""
        is_own = self.means.keeps_loads or known is not None
        return is_own and loads_unknown(exercise, self.means.equipment)

    @staticmethod
    def _wanted(exercise: Exercise, line: TemplateLine, known: KnownLoad | None) -> float | None:
        """The load that the plan comes to with this client; none where it is left open.

        Help that the steps of the plan use up comes out at 0 or below.
        """
        at_first = known.kg * line.load_share if known else line.load
        if exercise.load_kind is LoadKind.ADDED and not needs_load(exercise):
            return max(0.0, at_first + line.load_step)
        return at_first + line.load_step if at_first else None

    def _made(self, exercise: Exercise, wanted: float) -> float:
        """The nearest load that the equipment makes and that is not harder; 0 without one."""
        loads = available_loads(exercise, self.means.equipment)
        if wanted > 0 and wanted in loads:
            return wanted
        if exercise.load_kind is LoadKind.ASSISTED:
            return min((one for one in loads if one > max(wanted, 0)), default=0.0)
        return max((one for one in loads if one < wanted), default=0.0)


def is_on_course(line: TemplateLine) -> bool:
    """Whether the load of a line follows from the one that the place has at first."""
    return line.load_share != 1 or line.load_step != 0


def kept_unknown(
    plan: TemplatePlan, library: Mapping[str, Exercise], means: ClientMeans
) -> Iterator[LineChange]:
    """That loads stay where no weights are written down, once for each kind of equipment."""
    kinds: set[EquipmentKind] = set()
    for _, _, line in lines_of(plan):
        exercise = library[line.exercise_key]
        if line.load and means.keeps_loads and loads_unknown(exercise, means.equipment):
            kinds |= set(loading(exercise)) & means.kinds
    for kind in sorted(kinds):
        what = f"Loads with {kind.value} stay as they are"
        why = "no weights are written down at intake, so nothing tells what can be made"
        yield LineChange("", "", what, what, why, what, ChangeKind.OTHER)
