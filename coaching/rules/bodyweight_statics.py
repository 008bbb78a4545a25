"""Forces at hands and feet of a body at rest, seen from the side.

Points are complex numbers: the real part points forward, from the feet to the head, the
imaginary part up. Lengths are in statures, forces in body weights.

With hands and feet at different heights statics alone does not fix the forces: equal and
opposite pushes along the line from feet to hands turn nothing. The closure used here is
that of a ladder: *the higher support carries no force along that line, the lower one all of it.*
It has no parameter, and gives both limits by itself: hands on a wall, nothing; toes up a
wall to the handstand, everything.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Mass:
    """A share of the body weight at a point."""

    share: float
    at: complex


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the masses of a body are, and where it is supported."""

    masses: tuple[Mass, ...]
    shoulder: complex
    hip: complex
    feet: complex
    hands: complex

    @property
    def weight(self) -> float:
        """Weight of body and load [body weights]."""
        return sum(mass.share for mass in self.masses)

    @property
    def centre(self) -> complex:
        """The centre of mass."""
        return centre_of(self.masses)

    @property
    def hand_force(self) -> complex:
        """What both hands carry together [body weights], as a vector."""
        along = (self.hands - self.feet) / abs(self.hands - self.feet)
        turning = (self.centre - self.feet).real * self.weight / abs(self.hands - self.feet)
        across = turning * along * 1j
        return across if along.imag >= 0 else across + self.weight * along.imag * along

    @property
    def foot_force(self) -> complex:
        """What feet or knees carry together [body weights], as a vector."""
        return self.weight * 1j - self.hand_force

    def loaded(self, share: float, down_the_trunk: float) -> "Pose":
        """The same pose with a load [body weights] so far [0-1] from the shoulders to the hips."""
        at = self.shoulder + (self.hip - self.shoulder) * down_the_trunk
        return replace(self, masses=(*self.masses, Mass(share, at)))


def centre_of(masses: Iterable[Mass]) -> complex:
    """The common centre of some masses."""
    known = tuple(masses)
    return sum(mass.share * mass.at for mass in known) / sum(mass.share for mass in known)
