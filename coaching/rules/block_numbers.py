"""Numbers by which a block is judged while it is written: time between, balance, course of volume."""

from coaching.rules.register import Number, NumberKind, NumberTable

SPACING_HOURS = Number(
    48,
    "h",
    "Usual time between two sessions that load the same muscle",
    NumberKind.CONVENTION,
    "common-practice",
)
SPACING_SETS = Number(
    4,
    "fractional sets a session",
    "With more than these a session loads a muscle so that the time to the next one is counted",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OPPOSED_TIMES = Number(
    2,
    "times the sets of the other side",
    "Beyond this a plane or a joint action is called out of proportion to the opposed one",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OPPOSED_SETS = Number(
    8,
    "sets a week",
    "From how many sets on its larger side a plane or a pair of joint actions is judged",
    NumberKind.HOUSE_CHOICE,
    "house",
)
VOLUME_JUMP = Number(
    0.5,
    "share of the sets of the week before",
    "A steeper rise of a muscle from one usual week to the next is told",
    NumberKind.HOUSE_CHOICE,
    "house",
)
VOLUME_JUMP_SETS = Number(
    4,
    "fractional sets",
    "The smallest rise that is told, however large its share",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_FEWEST_SETS = Number(
    2,
    "sets",
    "The fewest sets that isolation and supplementary work keeps in a shorter session; below, "
    "it is left out",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_PRIMARY_LONG = Number(
    6,
    "sets",
    "Straight sets of primary work beyond these are the first sets to go in a shorter session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_REST_STEP = Number(
    15,
    "s",
    "A step by which the rests of a pair are shortened in a shorter session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_PRIMARY_USUAL = Number(
    5,
    "sets",
    "Primary work with more sets gives them up before a supplementary pair is left out",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_PRIMARY_SETS = Number(
    3,
    "sets",
    "The fewest sets that primary work keeps in a shorter session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FAR_EASIER_SHARE = Number(
    0.5,
    "share of what was moved",
    "An exercise by body weight that moves less than so much of the body as another is far "
    "easier than it, and stands in for it only where nothing nearer does",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LEVELS_TOO_FAR = Number(
    2,
    "levels",
    "How far above a client's level an exercise without an easier rung is swapped all the same",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SWAP_FEWEST_REPS = NumberTable(
    ("fewest",),
    {
        "warm-up": (5,),
        "primary": (5,),
        "supplementary": (8,),
        "isolation": (8,),
        "prehab": (8,),
    },
    "reps",
    "The fewest repetitions of a set that take the place of a hold, by the part of the session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STANDING_WEEKS = Number(
    12,
    "weeks",
    "What was done longer ago does not tell where a client stands on an exercise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STANDING_FRESH_DAYS = Number(
    28,
    "days",
    "What an exercise was done longer ago with is where it begins at the most: no step on from it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PAIN_LATELY_DAYS = Number(
    14,
    "days",
    "Pain above the limit so long before a draft is made is named in it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTER_PREHAB_SHARE = Number(
    0.5,
    "share of its sets",
    "The least that prehab keeps in a shorter session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
NOVICE_MOST_REPS = Number(
    12,
    "reps a set",
    "Up to here sets are recommended for novices, whatever the part: loads of 8 to 12 RM",
    NumberKind.EVIDENCE,
    "acsm-2009",
)
REPS_FAR_UNDER = Number(
    3,
    "reps",
    "So far under the range of its part a set is told",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHORTEST_REST = NumberTable(
    ("rest [s]",),
    {"primary": (120,), "supplementary": (75,), "isolation": (60,)},
    "s",
    "The shortest usual rest between sets of a part, below which no rest is proposed",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLANNED_LOAD_TIMES = Number(
    1.3,
    "times the load of the week before",
    "From here on a weight that is planned to be lifted is told as a jump",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLANNED_LOAD_RISE = NumberTable(
    ("rise [kg]",),
    {"external": (5,), "added": (10,), "assisted": (20,)},
    "kg",
    "The smallest rise of a planned load that is told as a jump: lifted, added to the body, help "
    "taken away",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ODD_SET_REPS = Number(
    5,
    "reps",
    "A set so far from both sets beside it is told: one number of several was more likely mistyped",
    NumberKind.HOUSE_CHOICE,
    "house",
)
