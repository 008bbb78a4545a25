"""How sure an estimated load is, in words."""

from dataclasses import dataclass

from coaching.library.pages_sources import source_label
from coaching.rules.bodyweight_scales import CHECKED_AGAINST, Basis, BodyLoad, Family
from coaching.rules.plan import Posture
from coaching.rules.sources import SOURCES


@dataclass(frozen=True)
class Sure:
    """A word of confidence, what it means, and the publications it was set beside, by key."""

    word: str
    meaning: str
    sources: tuple[str, ...] = ()

    @property
    def source(self) -> str:
        """The first of the publications, for where one link has to do."""
        return self.sources[0] if self.sources else ""

    @property
    def links(self) -> tuple[tuple[str, str], ...]:
        """Each publication's key and short name."""
        return tuple((key, source_label(SOURCES[key])) for key in self.sources)


IN_GENERAL = {
    # No client was measured: the way of estimating was set beside people who were.
    Basis.MEASURED: Sure("checked", "against published forces on people", CHECKED_AGAINST),
    Basis.STATICS: Sure(Basis.STATICS.value, "exact for the assumed shape, little was measured"),
    Basis.ROUGH: Sure(Basis.ROUGH.value, "geometry or shares are assumed"),
}
"""What the words mean wherever nothing more is known."""

_ON_THE_KNEES = Sure(
    "checked on the knees too",
    "women low on the knees pushed about 7 points less than is estimated for that position",
    CHECKED_AGAINST,
)
_ON_THE_HANDS = Sure(Basis.STATICS.value, "nothing else touches the ground")


def sure_of(posture: Posture, found: BodyLoad) -> Sure:
    """How sure the load of one posture is."""
    if posture is Posture.KNEE_PUSH_UP:
        return _ON_THE_KNEES
    if found.family is Family.HANDS_ONLY and found.basis is Basis.STATICS:
        return _ON_THE_HANDS
    return IN_GENERAL[found.basis]
