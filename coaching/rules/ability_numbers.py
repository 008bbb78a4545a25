"""The numbers of the model of ability: what is believed of any client before the log speaks.

Noise and gain are shares of strength (natural logarithm: 0.02 is about 2 %). Most are adapted to
each client as the log grows: the page of sources prints the beginning, ``AbilityState.habits`` what
has been learned since.
``tests/benchmarks/signals`` measures what the signals find with them on made-up clients.
"""

from coaching.rules.register import Number, NumberKind

ABILITY_DAY_NOISE = Number(
    0.018,
    "share of strength",
    "How far all exercises of an ordinary day lie together above or below what can be done",
    NumberKind.EVIDENCE,
    "grgic-2020",
)
ABILITY_EXERCISE_NOISE = Number(
    0.029,
    "share of strength",
    "How far one exercise of an ordinary day lies by itself above or below the others",
    NumberKind.EVIDENCE,
    "grgic-2020",
)
ABILITY_BAD_DAY = Number(
    0.06,
    "share of strength",
    "How far a day that is out of the ordinary may lie off",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_BAD_DAYS = Number(
    0.06,
    "share of days",
    "How often a day is out of the ordinary",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_BAD_EXERCISE = Number(
    0.09,
    "share of strength",
    "How far one exercise may lie off on a day on which it alone is out of the ordinary",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_BAD_EXERCISES = Number(
    0.05,
    "share of times",
    "How often one exercise alone is out of the ordinary",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_SET_NOISE = Number(
    0.013,
    "share of strength",
    "How far one set lies above or below the others of its exercise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_FORM_NOISE = Number(
    0.008,
    "share of strength",
    "Ordinary ups and downs over weeks that all exercises share",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_FORM_DAYS = Number(
    14,
    "days",
    "Until two thirds of such an up or down have passed",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_GAIN = Number(
    0.0035,
    "share of strength a week",
    "What an exercise gains before the log says more",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_GAIN_SPREAD = Number(
    0.003,
    "share of strength a week",
    "How far the gain of one exercise may lie from that",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_GAIN_DRIFT = Number(
    0.0004,
    "share of strength a week, for each week",
    "How fast a gain may change",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_LEVEL_DRIFT = Number(
    0.0035,
    "share of strength, for each week",
    "How far an exercise may wander besides its gain",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_NEW = Number(
    0.12,
    "share of strength",
    "How little the first set of a new exercise says of what the client can do in it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_NEW_RESERVE = Number(
    1.5,
    "reps",
    "What is taken to be left after the first set of a new exercise when no reserve is logged",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_JUMP = Number(
    0.16,
    "share of the change in load",
    "How far off a formula for repetitions may be after a jump in load",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_LEARNED = Number(
    0.05,
    "share of strength",
    "What an exercise new to the client gains by being learned",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_LEARNING = Number(
    3,
    "sessions of an exercise",
    "Until two thirds of it have been learned",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_KNOWN_EXERCISES = Number(
    20,
    "days",
    "Exercises that begin in the first days of a log are taken to be known to the client",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_BIAS = Number(
    0.95,
    "reps",
    "How many more are left in reserve than clients say (95 % interval 0.17 to 1.73)",
    NumberKind.EVIDENCE,
    "halperin-2022",
)
RESERVE_BIAS_SPREAD = Number(
    0.5,
    "reps",
    "How far one client's bias may lie from that",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_NOISE = Number(
    0.8,
    "reps",
    "How far a stated reserve near failure lies off from set to set",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_FAR = Number(
    0.3,
    "for each rep in reserve",
    "How much wider that gets the more are left",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_FAST = Number(
    0.9,
    "log share of reps",
    "What a set to failure takes out of the next ones and gives back with rest",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_FAST_SECONDS = Number(
    90,
    "s",
    "Rest in which two thirds of that come back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_SLOW = Number(
    0.12,
    "log share of reps",
    "What a set to failure takes out of the next ones for the whole session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_NEARNESS = Number(
    3,
    "power",
    "How fast what a set takes out grows with how near to failure it went",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_TIRING_SPREAD = Number(
    0.2,
    "share",
    "How far one client may tire more or less than others",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_REST = Number(
    120,
    "s",
    "Rest between two sets of an exercise where the plan says nothing",
    NumberKind.CONVENTION,
    "common-practice",
)
SET_OF_PARTNER = Number(
    40,
    "s",
    "What the set of the other exercise of a pair takes, for the rest between two sets of one",
    NumberKind.CONVENTION,
    "common-practice",
)
EFFORT_AT_FAILURE = Number(
    9.3,
    "session RPE",
    "What a session is rated whose sets all go to failure",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_A_REP = Number(
    0.65,
    "session RPE for each rep",
    "How much less a session is rated for each repetition left in reserve on average",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_OFFSET_SPREAD = Number(
    0.8,
    "session RPE",
    "How far one client rates everything higher or lower",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_NOISE = Number(
    0.75,
    "session RPE",
    "How far a rating lies off from session to session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_OF_FALL = Number(
    4,
    "session RPE for all of strength",
    "How much harder the same nearness to failure is rated by a client who has fallen back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_FAR = Number(
    5.5,
    "reps in reserve",
    "Above this on average a rating says nothing of strength",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOG_DOUBT = Number(
    0.015,
    "share of sets",
    "How often a logged set is taken to be a mistake that says next to nothing",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_MISSED_ABOVE = Number(
    0.7,
    "reps",
    "What a client who missed a target could have had beyond what was done",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_MISSED_NOISE = Number(
    0.58,
    "reps",
    "How far that lies off",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_OPEN_ABOVE = Number(
    0.6,
    "reps",
    "The same for a last set that went beyond its target",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_OPEN_NOISE = Number(
    1,
    "reps",
    "How far that lies off",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_FAR_LOAD = Number(
    1.6,
    "times the last load",
    "A load further off is taken for a mistake until it is logged again",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_FAR_AMOUNT_TIMES = Number(
    2.2,
    "times the target",
    "Repetitions above this and the next number are taken for a digit too many",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_FAR_AMOUNT = Number(
    6,
    "reps",
    "What they must also be above the multiple of the target",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_GRAIN = Number(
    0.1,
    "share of the seconds",
    "What counts in a hold as one repetition does in a set, 1 s or more",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_DRIFT = Number(
    0.02,
    "reps a week",
    "How fast a client's bias in stating reserve may change",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_DRIFT = Number(
    0.05,
    "session RPE a week",
    "How fast a client's way of rating effort may change",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_OWN_NOISE = Number(
    0.8,
    "share",
    "How much of a rating's distance from what was expected is taken for its own noise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_LEARNED_SURELY = Number(
    0.7,
    "share",
    "How much of what a new exercise gains by being learned is counted on",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABILITY_LEARNED_UNSURELY = Number(
    0.6,
    "share",
    "How uncertain it is",
    NumberKind.HOUSE_CHOICE,
    "house",
)
NOISE_PRIOR_COUNTS = Number(
    12,
    "sessions",
    "What is believed of the noise of any client counts like so many of their own",
    NumberKind.HOUSE_CHOICE,
    "house",
)
NOISE_REMEMBERS = Number(
    150,
    "sessions",
    "After so many two thirds of what one said of the noise are forgotten",
    NumberKind.HOUSE_CHOICE,
    "house",
)
NOISE_MOST = Number(
    9,
    "variances",
    "One session counts at most so much for the noise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DOUBT_TIMES = Number(
    25,
    "variances",
    "How noisy a set is taken to be that is doubted",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DOUBT_LEAST = Number(
    0.05,
    "share of strength",
    "And how far off it may be at least",
    NumberKind.HOUSE_CHOICE,
    "house",
)
