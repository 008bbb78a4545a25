"""The numbers of the return from a light week: choices of this tool, no published ones."""

from coaching.rules.register import Number, NumberKind

RETURN_RESERVE = Number(
    2,
    "reps in reserve",
    "What each set of the first session after a light week leaves at the least",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_DOUBT = Number(
    0.06,
    "share of strength",
    "What a light week may do to strength either way, as a spread, before its sessions are read",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_DAYS = Number(
    14,
    "days",
    "So long after the week of a light week the review says whether strength came back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_FEWEST = Number(
    6,
    "sessions",
    "So many before a light week are needed to compare with",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_SURE = Number(
    0.8,
    "probability",
    "From here on strength is called back, and from one less this on called not back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_LEAST = Number(
    0.02,
    "share of strength",
    "Less than this below the strength before is not called a loss",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RETURN_FALL_LIKELY = Number(
    0.5,
    "probability",
    "From here on the strength before means that before the fall, not that of the last session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
