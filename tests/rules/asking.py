"""What is asked next of a few exercises after some sets: shared by the tests of progression."""

from coaching.rules.plan import LoadKind, Measure, Plane
from coaching.rules.progression import Exposure, next_target
from tests.rules.examples import (
    day,
    make_exercise,
    make_sets,
)

push_up = make_exercise("push-up", load_kind=LoadKind.NONE, ladder="push-up", rung=4)
harder_rung = make_exercise("archer", load_kind=LoadKind.NONE, ladder="push-up", rung=5)
easier_rung = make_exercise("incline", load_kind=LoadKind.NONE, ladder="push-up", rung=3)
curl = make_exercise(
    "curl", load_kind=LoadKind.EXTERNAL, body_share=0, plane=Plane.NONE, multi_joint=False
)
hang = make_exercise("hang", load_kind=LoadKind.NONE, measure=Measure.SECONDS)


def ask(prescription, *done, loads=(0.0,), pain=None, **options):
    """The proposal after these sets, each a tuple of amounts, or of amounts and load."""
    exposures = []
    for number, one in enumerate(done):
        amounts, load = one if isinstance(one[0], tuple) else (one, prescription.load)
        sets = make_sets(prescription.exercise, amounts, load, pain=pain)
        exposures.append(Exposure(day(number * 3), sets, prescription))
    usual = {"harder": None, "easier": None, "body_weight": 80.0}
    return next_target(prescription, exposures, loads=loads, **(usual | options))
