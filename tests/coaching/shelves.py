"""A shelf of exercises for tests that need no database."""

from coaching.blocks.shelf import Shelf, Shelved
from coaching.rules.plan import EquipmentKind
from coaching.rules.stand_in import NOTHING


class ShelfOfValues(Shelf):
    """What may be put in, given and not read."""

    def __init__(self, exercises, kinds):
        self.rows = {value.key: pk for pk, value in exercises.items()}
        self.by_key = {value.key: Shelved(pk, value, "2-0-1-0") for pk, value in exercises.items()}
        self.kinds = frozenset(kinds)
        self.equipment = ()
        self.known = NOTHING


def shelf_with(exercises, kinds=tuple(EquipmentKind)):
    """Those exercises by row id, and all equipment unless told otherwise."""
    return ShelfOfValues(exercises, kinds)
