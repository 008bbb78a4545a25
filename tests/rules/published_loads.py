"""Published loads of push-ups beside what the model says; ``tests.benchmarks.loads`` prints them.

Statures of the samples are not all published: 1.78 m for men and 1.65 m for women are taken
for all. "Up" is on straight arms, "down" with the elbows at a right angle.

Sources, and how sure we are of each value:
  Ebben    Ebben WP et al. 2011, J Strength Cond Res 25(10):2891-2894; 14 men, 9 women; boxes of
           30.48 and 60.96 cm. Values through secondary texts. Called peaks, but they agree with
           everybody else's static values on straight arms, so that is what they are set against.
  Mier     Mier CM et al. 2014, Int J Exerc Sci 7(2):161-168; static holds on force plates; read.
           Its women lowered themselves half as far as the model does.
  Gouvali  Gouvali MK, Boudolos K 2005, J Strength Cond Res 19(1):146-151; 8 men; abstract read.
  Suprak   Suprak DN et al. 2011, J Strength Cond Res 25(2):497-503; 28 men; from memory.
"""

from dataclasses import dataclass

from coaching.rules.body import Body, Sex
from coaching.rules.bodyweight_push_up import PushUp, push_up

MAN = Body(75, 1.78, Sex.MALE)
WOMAN = Body(60, 1.65, Sex.FEMALE)
EBBEN_MEN, EBBEN_WOMEN = 14, 9


@dataclass(frozen=True)
class Published:
    """One published value [% of body weight] and the position it belongs to."""

    study: str
    name: str
    percent: float
    who: str
    hands_cm: float = 0
    feet_cm: float = 0
    on_knees: bool = False
    down: bool = False

    @property
    def computed(self) -> float:
        """What the model says [% of body weight], the vertical part, as a force plate reads it."""
        man, woman = (self._of(body) for body in (MAN, WOMAN))
        if self.who == "mixed":
            return (EBBEN_MEN * man + EBBEN_WOMEN * woman) / (EBBEN_MEN + EBBEN_WOMEN)
        return man if self.who == "men" else woman

    @property
    def error(self) -> float:
        """Computed less published [points]."""
        return self.computed - self.percent

    def _of(self, body: Body) -> float:
        rise = (self.hands_cm - self.feet_cm) / 100 / body.stature_m
        found = push_up(body.proportions, rise, on_knees=self.on_knees)
        assert isinstance(found, PushUp)
        pose = found.halfway if self.down else found.top
        return 100 * pose.hand_force.imag


def _ebben(name: str, percent: float, **where: float) -> Published:
    knees = name == "knees"
    return Published("Ebben", name, percent, "mixed", on_knees=knees, **where)  # type: ignore[arg-type] # heights only


EBBEN = (
    _ebben("hands 61 cm", 41, hands_cm=60.96),
    _ebben("knees", 49),
    _ebben("hands 30 cm", 55, hands_cm=30.48),
    _ebben("floor", 64),
    _ebben("feet 30 cm", 70, feet_cm=30.48),
    _ebben("feet 61 cm", 74, feet_cm=60.96),
)
STATIC = (
    Published("Gouvali", "floor, up", 66.4, "men"),
    Published("Gouvali", "knees, up", 52.9, "men", on_knees=True),
    Published("Mier", "floor, up", 67.0, "men"),
    Published("Mier", "floor, down", 74.6, "men", down=True),
    Published("Mier", "knees, up", 52.5, "men", on_knees=True),
    Published("Mier", "knees, down", 60.1, "men", on_knees=True, down=True),
    Published("Mier", "floor, up", 65.1, "women"),
    Published("Mier", "floor, down", 70.3, "women", down=True),
    Published("Mier", "knees, up", 51.5, "women", on_knees=True),
    Published("Suprak", "floor, up", 69.16, "men"),
    Published("Suprak", "floor, down", 75.04, "men", down=True),
    Published("Suprak", "knees, up", 53.56, "men", on_knees=True),
    Published("Suprak", "knees, down", 61.80, "men", on_knees=True, down=True),
)
KNOWN_MISS = Published("Mier", "knees, down", 56.6, "women", on_knees=True, down=True)
