"""The numbers by which the next block is made from the last one."""

from coaching.rules.register import Number, NumberKind

NEXT_BLOCK_WEEKS_FEWEST = Number(
    4,
    "weeks",
    "The shortest block that is proposed after another one, its light week included",
    NumberKind.CONVENTION,
    "common-practice",
)
NEXT_BLOCK_WEEKS_MOST = Number(
    6,
    "weeks",
    "The longest block that is proposed after another one, its light week included",
    NumberKind.CONVENTION,
    "common-practice",
)
BLOCKS_ALIKE_MOST = Number(
    2,
    "blocks running",
    "After so many blocks alike the exercises change",
    NumberKind.CONVENTION,
    "common-practice",
)
ALIKE_SHARE = Number(
    0.6,
    "share of the exercises",
    "Two blocks with so many of their exercises in common are alike; more than half, so that one "
    "exchanged pair does not yet make a new block",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HURT_TIMES = Number(
    2,
    "sessions of an exercise",
    "Pain above the limit in so many sessions of a block, and the next block does without the "
    "exercise; once may be a bad day, and is answered by a step back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HARDER_TO_COORDINATE = Number(
    1,
    "of 5",
    "How much harder to coordinate an exercise may be that takes the place of another",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SAME_SYSTEM_LOAD = Number(
    0.9,
    "share of what was moved",
    "An exercise in the place of another moves at least so much of body and load together, or it "
    "is a step down; a tenth less is within what the shares of body weight are known to",
    NumberKind.HOUSE_CHOICE,
    "house",
)
