"""The client's own rung of a ladder: a plan goes on from there, whatever rung it is written with."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coaching.blocks.adaptation_values import ClientMeans
from coaching.rules.joint_limits import is_easier_rung
from coaching.rules.plan import Exercise, Level, LoadKind, Part
from coaching.rules.rep_range import WITH_RANGE
from coaching.rules.stand_in import works_alike
from coaching.rules.standing import Standing, most_of, sets_words

_LEVELS = tuple(Level)


@dataclass(frozen=True)
class Rungs:
    """What one client's log says of the rungs of each ladder."""

    library: Mapping[str, Exercise]
    means: ClientMeans

    def own(self, asked: Exercise) -> Exercise | None:
        """The highest rung of the same ladder that was done lately and did not hurt."""
        found = [
            one
            for one, stood in self._done()
            if one.ladder and one.ladder == asked.ladder and not stood[0].hurt
        ]
        return max(found, key=lambda one: one.rung, default=None)

    def too_far(self, asked: Exercise, part: Part) -> str:
        """Why an exercise that was never logged is a step too far, in words; empty where it is none.

        The client is on a lower rung, or has not what has to come first. The next rung is none too
        far once its own is at the top of its range.
        """
        is_known = asked.key in self.means.logged or asked.key in self.means.standing
        # Of a weight that is lifted the load is chosen, whatever rung it is.
        is_lifted = asked.load_kind is LoadKind.EXTERNAL
        if is_known or is_lifted or part not in WITH_RANGE or self._does_as_hard(asked):
            return ""
        return self._on_lower_rung(asked, part) or self._not_first(asked)

    def goes_on(self, asked: Exercise, part: Part) -> Exercise | None:
        """The harder rung that the client does where the plan's main work is a lower one."""
        own = self.own(asked)
        is_lower = own is not None and own.rung > asked.rung
        is_done = asked.key in self.means.standing
        return own if is_lower and part is Part.PRIMARY and not is_done else None

    def hurts(self, one: Exercise) -> bool:
        """Whether an exercise hurt when it was last done."""
        return any(stood.hurt for stood in self.means.standing.get(one.key, ()))

    def words(self, own: Exercise) -> str:
        """Where the client stands: the client does Lowering pull-up, 5 × 7 on 25 Nov."""
        stood = self.means.standing[own.key][0]
        on = f"{stood.on.day} {stood.on:%b}"
        return f"the client does {own.name}, {sets_words(stood.amounts, own)} on {on}"

    def _done(self) -> list[tuple[Exercise, tuple[Standing, ...]]]:
        """What was done lately; of who was away all that is known."""
        found = list(self._logged())
        return [one for one in found if not one[1][0].weeks_ago] or found

    def _logged(self) -> Iterator[tuple[Exercise, tuple[Standing, ...]]]:
        for key, stood in self.means.standing.items():
            logged = tuple(one for one in stood if one.is_logged)
            if logged and key in self.library:
                yield self.library[key], logged

    def _does_as_hard(self, asked: Exercise) -> bool:
        """Whether the same work is done with another exercise that is no easier and no rung below."""
        return any(
            not is_easier_rung(one, asked)
            and one.load_kind is not LoadKind.ASSISTED
            and one.plane is asked.plane
            and one.measure is asked.measure
            and works_alike(one, asked)
            and one.complexity >= asked.complexity
            and one.body_share >= asked.body_share
            for one, _ in self._done()
        )

    def _on_lower_rung(self, asked: Exercise, part: Part) -> str:
        on_ladder = [one for one, _ in self._done() if one.ladder and one.ladder == asked.ladder]
        own = max(on_ladder, key=lambda one: one.rung, default=None)
        if own is None or own.rung >= asked.rung:
            return ""
        stood = self.means.standing[own.key][0]
        top = most_of(part, own.measure, _LEVELS[self.means.level])
        if own.rung + 1 == asked.rung and stood.usual >= top and not stood.hurt:
            return ""
        return self.words(own)

    def _not_first(self, asked: Exercise) -> str:
        """What has to come first and was done, yet not so often."""
        for one in asked.prerequisites:
            stood = self.means.standing.get(one.exercise)
            first = self.library.get(one.exercise)
            if first and stood and stood[0].is_logged:
                best = max(max(each.amounts) for each in stood)
                if best < one.amount:
                    return f"{one.amount} of {first.name} come first, and {best} were done last"
            elif first and (own := self._on_lower_rung(first, Part.PRIMARY)):
                return f"{one.amount} of {first.name} come first, and {own}"
        return ""
