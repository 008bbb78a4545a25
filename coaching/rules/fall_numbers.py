"""The numbers of falls: how often, how deep and how long they are expected before a log speaks.

Chosen for this tool from what coaches see; ``tests/benchmarks/signals`` measures what is found
with them on made-up clients, which is no promise for real ones.
"""

from coaching.rules.register import Number, NumberKind, NumberTable

FALLS_A_YEAR = Number(
    3.0,
    "a client and year",
    "How often overreaching is expected before the log speaks; more than it comes, because what is "
    "believed of small falls else says too little",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_FULL_AFTER = Number(
    10,
    "days",
    "How long a shared fall takes to reach its depth",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_REMEMBERED = Number(
    45,
    "days",
    "After this a fall counts as what the client can do now",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_RECOVERY = Number(
    5,
    "days",
    "Until two thirds of a fall have come back once a light week has begun",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_BEFORE_DELOAD = Number(
    10,
    "days",
    "A fall that began fewer days before a light week is not taken to be over with it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_FROM_DAY = Number(
    21,
    "days",
    "A log must be so old before a fall can be told from getting to know the client",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_AFTER_RETURN = Number(
    14,
    "days",
    "What is weaker so soon after an absence is explained by it and no fall of its own",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OWN_FALLS_A_YEAR = Number(
    1.6,
    "a client and year",
    "How often one exercise alone is expected to drop",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OWN_FALL_FULL_AFTER = Number(
    3,
    "days",
    "How long the drop of one exercise takes to reach its depth",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_HOPELESS = Number(
    12,
    "natural log",
    "A fall that explains the log so much worse than the best explanation is no longer followed",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OWN_FALL_HOPELESS = Number(
    9,
    "natural log",
    "The same for the drop of one exercise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_OVER_AFTER = Number(
    21,
    "days",
    "A fall that ended so long ago is no longer followed",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_LONGEST_GAP = Number(
    14,
    "days",
    "A fall is taken to have begun at most so long before the session that shows it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_DEPTHS = NumberTable(
    ("first", "second", "third"),
    {"all exercises": (0.05, 0.08, 0.12)},
    "log share of strength",
    "How deep the falls are that are weighed beside each other; what lies between is shared out",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OWN_FALL_DEPTHS = NumberTable(
    ("first", "second"),
    {"one exercise": (0.07, 0.13)},
    "log share of strength",
    "How deep the drops of one exercise are that are weighed beside each other",
    NumberKind.HOUSE_CHOICE,
    "house",
)
OWN_DROP_SAID = Number(
    0.5,
    "probability",
    "From this on it is said that one exercise has dropped alone",
    NumberKind.HOUSE_CHOICE,
    "house",
)
NO_GAIN = Number(
    0.0008,
    "share of strength a week",
    "An exercise that gains less than this does not progress",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOST_A_WEEK_AWAY = Number(
    0.012,
    "share of strength a week",
    "What is lost in each week away after the first",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOST_AWAY_SPREAD = Number(
    0.03,
    "share of strength a week",
    "How far one return may differ from another, for each week away",
    NumberKind.HOUSE_CHOICE,
    "house",
)
