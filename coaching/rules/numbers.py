"""Every number of training that the rules use, with its unit, kind and source.

A rule never writes such a number itself: it names the entry here, and the page
of sources shows all entries to the coach. One table, longer than other files on
purpose: whoever looks for a number looks in one place.
"""

from coaching.rules.register import Number, NumberKind, NumberTable

DIRECT_SHARE = Number(
    1.0,
    "sets",
    "What a set counts for the muscle that moves it",
    NumberKind.EVIDENCE,
    "pelland-2024",
)
INDIRECT_SHARE = Number(
    0.5,
    "sets",
    "What a set counts for a muscle that assists",
    NumberKind.EVIDENCE,
    "pelland-2024",
)
DELOAD_SHARE = Number(
    0.40,
    "share of usual reps",
    "Volume of a light week",
    NumberKind.CONVENTION,
    "common-practice",
)
WORKING_SET_RESERVE = Number(
    4,
    "reps in reserve",
    "The most that an unplanned set may leave in reserve and still count as work",
    NumberKind.CONVENTION,
    "common-practice",
)
WEEKLY_SETS_MINIMUM = Number(
    4,
    "fractional sets a week",
    "The smallest weekly dose recommended for growth, published for weekly sets; below it the "
    "volume is too small",
    NumberKind.EVIDENCE,
    "iversen-2021",
)
WEEKLY_SETS_LOW = Number(
    10,
    "fractional sets a week",
    "Where the range for a muscle of a trained client starts (a trend, not proof), published for "
    "weekly sets",
    NumberKind.EVIDENCE,
    "schoenfeld-2017",
)
WEEKLY_SETS_HIGH = Number(
    20,
    "fractional sets a week",
    "Where the range for a muscle ends, published for weekly sets of trained men; more is no "
    "fault, but seldom worth its time",
    NumberKind.EVIDENCE,
    "baz-valle-2022",
)
BALANCE_TOLERANCE = Number(
    0.10,
    "share of the larger side",
    "How far pushing and pulling sets may differ and still be called even",
    NumberKind.HOUSE_CHOICE,
    "house",
)
WARM_UP_SECONDS = Number(
    480,
    "s",
    "Warm-up before the first pair, the least that is allowed for",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_UP_SECONDS = Number(
    60,
    "s",
    "Finding and setting up the equipment of one exercise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ONE_RM_SURE_REPS = Number(
    10,
    "reps to failure",
    "Up to here the published formulas estimate a one-repetition maximum well",
    NumberKind.EVIDENCE,
    "reynolds-2006",
)
ONE_RM_LAST_REPS = Number(
    15,
    "reps to failure",
    "Above this no one-repetition maximum is estimated",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_ERROR = Number(
    0.95,
    "reps",
    "How many more repetitions than they say clients have in reserve, on average",
    NumberKind.EVIDENCE,
    "halperin-2022",
)
RESERVE_SHORT_SET = Number(
    12,
    "reps to failure",
    "The longest set in which clients judge their reserve to about one repetition",
    NumberKind.EVIDENCE,
    "halperin-2022",
)
RESERVE_ERROR_LONG_SET = Number(
    3,
    "reps",
    "How far the reserve may be off in a longer set",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PRIMARY_FEWEST = Number(
    5,
    "reps a set",
    "Below this a primary exercise is too hard to own",
    NumberKind.CONVENTION,
    "common-practice",
)
PRIMARY_MOST = Number(
    8,
    "reps a set",
    "At this on every set it is time for a harder primary exercise",
    NumberKind.CONVENTION,
    "common-practice",
)
SUPPLEMENTARY_FEWEST = Number(
    8,
    "reps a set",
    "Where a supplementary exercise starts at a new load",
    NumberKind.CONVENTION,
    "common-practice",
)
SUPPLEMENTARY_MOST = Number(
    10,
    "reps a set",
    "At this on every set a supplementary exercise gets the next load",
    NumberKind.CONVENTION,
    "common-practice",
)
ISOLATION_FEWEST = Number(
    8,
    "reps a set",
    "Where an isolation exercise starts at a new load",
    NumberKind.CONVENTION,
    "common-practice",
)
ISOLATION_MOST = Number(
    12,
    "reps a set",
    "At this on every set an isolation exercise gets the next load",
    NumberKind.CONVENTION,
    "common-practice",
)
PREHAB_REPS = Number(
    8,
    "reps a set",
    "Prehab stays here, never to failure",
    NumberKind.CONVENTION,
    "common-practice",
)
HOLD_SHORTEST = Number(
    10,
    "s",
    "Where a hold starts at a new rung",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_SIMPLE_START = Number(
    20,
    "s",
    "Where a hold starts that asks for little coordination, such as a plank: who has outgrown "
    "something else holds it longer than a lever",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_SIMPLE = Number(
    1,
    "of 5",
    "Up to this coordination a hold is a simple one",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_LOAD_SHARE = Number(
    0.67,
    "share of the seconds held",
    "With the next load a hold starts again with no fewer than this, as 12 repetitions become 8, "
    "and not below its range: nothing published says how many seconds a load costs",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_LONGEST = Number(
    30,
    "s",
    "At this on every set it is time for a harder hold",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_STEP = Number(
    5,
    "s",
    "By how much one set of a hold grows at a time",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MOST_ABOVE_TOP = Number(
    4,
    "reps",
    "So far above the range, with nothing harder at hand, another exercise is due",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOAD_JUMP = Number(
    0.1,
    "share of what the muscles move",
    "A bigger step of load is named to the coach",
    NumberKind.EVIDENCE,
    "acsm-2009",
)
PULL_UP_MASS_POWER = Number(
    -7.91,
    "exponent",
    "How pull-up repetitions fall as total mass rises",
    NumberKind.EVIDENCE,
    "vanderburgh-1997",
)
DELOAD_TOLERANCE = Number(
    0.05,
    "share of usual reps",
    "How far a light week, and each large muscle in it, may be off the asked share",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_MUSCLE_SETS = Number(
    6,
    "fractional sets a week",
    "From how many usual sets outside prehab a muscle must keep its share of a light week",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_RESERVE = Number(
    4,
    "reps in reserve",
    "What each set of a light week should leave in reserve at the kept load",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_REP_FLOOR = Number(
    0.5,
    "share of the usual set",
    "The least that a set kept in a light week holds",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_PREHAB_SHARE = Number(
    0.5,
    "share of usual sets",
    "What prehab keeps in a light week, at the least",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_DAYS_SHORTEST = Number(
    5,
    "days",
    "The shortest light spell",
    NumberKind.CONVENTION,
    "common-practice",
)
DELOAD_DAYS_LONGEST = Number(
    10,
    "days",
    "The longest light spell that this tool writes",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_DUE_FROM = Number(
    4,
    "weeks",
    "From here on a light week may be due",
    NumberKind.CONVENTION,
    "common-practice",
)
DELOAD_DUE_UNTIL = Number(
    6,
    "weeks",
    "After so many weeks without one a light week is due",
    NumberKind.CONVENTION,
    "common-practice",
)
HOLD_SECONDS_PER_REP = Number(
    4,
    "s",
    "Seconds of a hold that count as one repetition when both are added up",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_HOLD_STEP = Number(
    5,
    "s",
    "Steps in which a hold is shortened",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HOLD_STRENGTH_SHARE = Number(
    0.33,
    "share",
    "What a share of more seconds in a hold counts as a share of strength; so many seconds the next "
    "load costs, too",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LIGHTER_WORK = Number(
    0.97,
    "share of the usual system load",
    "Below this a load counts as planned lighter work",
    NumberKind.HOUSE_CHOICE,
    "house",
)
HEAVIER_WORK = Number(
    1.05,
    "share of the usual system load",
    "Above this a load opens a new level and is not compared",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOG_MISTAKE = Number(
    0.3,
    "log share of strength",
    "A single session this far from those around it is taken for a typing mistake",
    NumberKind.HOUSE_CHOICE,
    "house",
)
TYPICAL_ERROR = Number(
    0.042,
    "share of 1RM",
    "Typical error of a maximum test; a single fall below it proves nothing",
    NumberKind.EVIDENCE,
    "grgic-2020",
)
RECENT_DAYS = Number(
    14,
    "days",
    "How far back a fall is looked for",
    NumberKind.HOUSE_CHOICE,
    "house",
)
USUAL_DAYS = Number(
    28,
    "days",
    "How much of the time before that is the usual",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ABSENCE_DAYS = Number(
    10,
    "days",
    "A longer gap between sessions explains a fall after it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SHARED_FALL_LEAST = Number(
    0.02,
    "log share of strength",
    "The smallest mean fall that counts for one exercise, as stopped sets hide a part of it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_RISE = Number(
    1,
    "points of session RPE",
    "Rise in effort at the same work that counts as a second witness",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STALL_EXPOSURES = Number(
    5,
    "sessions of an exercise",
    "The fewest at the same work before it is called stalled",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STALL_DAYS = Number(
    14,
    "days",
    "The shortest time before an exercise is called stalled",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PROGRESS_LEAST = Number(
    0.01,
    "log share of strength",
    "The smallest change over the last sessions that is called progress",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PACING_DROP = Number(
    2,
    "reps",
    "First set above the last by so many, beyond the targets, is a pacing fault",
    NumberKind.CONVENTION,
    "common-practice",
)
PAIN_LIMIT = Number(
    5,
    "of 10",
    "Pain above this in training is too much",
    NumberKind.EVIDENCE,
    "thomee-1997",
)
REVIEW_DAYS = Number(
    7,
    "days",
    "What a weekly review looks back on for pain, pacing and missed sessions",
    NumberKind.CONVENTION,
    "common-practice",
)
JUMP_LEAST_SHARE = Number(
    0.5,
    "share of the fewest reps",
    "A jump of load waits until at least so many repetitions can be expected after it",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ONE_RM_LINES = NumberTable(
    ("n",),
    {"Epley": (30,), "O'Conner": (40,)},
    "reps",
    "1RM = load × (1 + reps / n)",
    NumberKind.EVIDENCE,
    "epley-1985",
    {"O'Conner": "oconner-1989"},
)
ONE_RM_HYPERBOLAS = NumberTable(
    ("a", "b"),
    {"Brzycki": (3700 / 36, 100 / 36), "Lander": (101.3, 2.67123)},
    "% of 1RM",
    "1RM = load × 100 / (a − b × reps); Brzycki printed it as load × 36 / (37 − reps)",
    NumberKind.EVIDENCE,
    "brzycki-1993",
    {"Lander": "lander-1985"},
)
ONE_RM_POWERS = NumberTable(
    ("p",),
    {"Lombardi": (0.10,)},
    "exponent",
    "1RM = load × reps to the power p",
    NumberKind.EVIDENCE,
    "lombardi-1989",
)
ONE_RM_DECAYS = NumberTable(
    ("a [% of 1RM]", "b [% of 1RM]", "c [per rep]"),
    {"Mayhew": (52.2, 41.9, 0.055), "Wathan": (48.8, 53.8, 0.075)},
    "as headed",
    "1RM = load × 100 / (a + b × e to the power of −c × reps)",
    NumberKind.EVIDENCE,
    "mayhew-1992",
    {"Wathan": "wathan-1994"},
)
ONE_RM_FORMULA_REPS = Number(
    36,
    "reps to failure",
    "The longest set for which every formula has a value; one more divides by nothing",
    NumberKind.EVIDENCE,
    "brzycki-1993",
)
MISSES_BEFORE_STEP_BACK = Number(
    2,
    "times running",
    "A target missed so often is eased, or held while it comes closer",
    NumberKind.CONVENTION,
    "common-practice",
)
JUMP_SHORT_OF_RANGE = Number(
    1,
    "reps",
    "So far below the range sets at a new load may fall: primaries after a step up, all after one back",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PAIN_LOAD_SHARE = Number(
    0.9,
    "share of the system load",
    "After pain above the limit the muscles move no more than this of what hurt",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOAD_GRAIN = Number(
    0.25,
    "kg",
    "Loads are told to this",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOAD_HEAVIEST = Number(
    500,
    "kg",
    "No piece of equipment is heavier",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOAD_MOST_PIECES = Number(
    200,
    "pieces",
    "No client owns more of one thing",
    NumberKind.HOUSE_CHOICE,
    "house",
)
TREND_SESSIONS = Number(
    6,
    "sessions of an exercise",
    "From how many of the last its course is read",
    NumberKind.HOUSE_CHOICE,
    "house",
)
TREND_FEWEST = Number(
    3,
    "sessions of an exercise",
    "Fewer are too few to judge its course",
    NumberKind.HOUSE_CHOICE,
    "house",
)
USUAL_FEWEST = Number(
    3,
    "sessions",
    "Fewer than these show nothing usual to compare with",
    NumberKind.HOUSE_CHOICE,
    "house",
)
USUAL_BEFORE_FALL = Number(
    4,
    "sessions of an exercise",
    "How many before the last ones a fall of one exercise is measured from, at most",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALL_OF_ONE_SESSIONS = Number(
    2,
    "sessions running",
    "So many must lie under the usual before one exercise is called weaker",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STALL_LAST = Number(
    3,
    "sessions of an exercise",
    "How many of the last must hold no best before it is called stalled",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STALL_TRIED = Number(
    2,
    "sessions of an exercise",
    "In how many of those the client must have missed a target or gone close to failure",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STALL_RESERVE = Number(
    1,
    "reps in reserve",
    "So little or less in reserve is close to failure, where no target was asked",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_NEIGHBOURS = Number(
    3,
    "sessions on each side",
    "What a typing mistake is told from",
    NumberKind.HOUSE_CHOICE,
    "house",
)
JUDGED_DAYS = Number(
    21,
    "days",
    "An exercise that was not trained for so long is not judged any more",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISSED_SESSIONS = Number(
    2,
    "sessions a week",
    "So many missed in one week are named; in two weeks running one each is enough",
    NumberKind.CONVENTION,
    "common-practice",
)
TEMPO_FAST_SECONDS = Number(
    1,
    "s",
    "What an X in a tempo, as fast as possible, is counted as",
    NumberKind.CONVENTION,
    "common-practice",
)
TEMPO_LONGEST_COUNT = Number(
    10,
    "s",
    "The longest count of a tempo that can be prescribed; what is held longer is a hold",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLACE_SETS_FEWEST = Number(
    3,
    "sets",
    "The fewest sets of one session, all at the number of a rung, that show it is owned",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLACE_REMEMBERED = Number(
    365,
    "days",
    "How far back a log shows what a client can do; older strength may be gone",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLACE_RECENT = Number(
    42,
    "days",
    "How far back an exercise counts as being worked on: the length of a block",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLACE_SESSIONS = Number(
    2,
    "sessions",
    "So many of them make work on a rung; one alone is a try",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLACE_MISTYPED = Number(
    5,
    "times what was asked",
    "A set above this is read as a typing mistake when a client's place is found",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PACING_LOOK_BACK = Number(
    2,
    "sessions of an exercise",
    "How many earlier sessions are asked for the same fault",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PAIN_REMEMBERED = Number(
    2,
    "sessions of an exercise",
    "Pain in so many of the last keeps an exercise from stepping up",
    NumberKind.HOUSE_CHOICE,
    "house",
)
DELOAD_DAYS_USUAL = Number(
    7,
    "days",
    "How long a light spell is unless the coach says otherwise; athletes report 6.4 ± 1.7",
    NumberKind.EVIDENCE,
    "rogerson-2024",
)
BODY_WEIGHT_UNKNOWN = Number(
    75,
    "kg",
    "Taken for a client who was never weighed, until there is a body weight",
    NumberKind.HOUSE_CHOICE,
    "house",
)
POUND = Number(
    0.45359237,
    "kg",
    "One pound (lb), exact by definition",
    NumberKind.EVIDENCE,
    "pound-1959",
)
HARD_SET_REPS = Number(
    6,
    "reps",
    "Sets of at most so many are hard enough that people hold their breath",
    NumberKind.CONVENTION,
    "common-practice",
)
ADULT_AGE = Number(
    18,
    "years",
    "Younger clients train with a guardian’s written consent; local law comes first",
    NumberKind.CONVENTION,
    "common-practice",
)
PAIN_RISES = Number(
    3,
    "sessions in a row",
    "So many, each with more pain than the one before, are called rising pain",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FALSE_ALARMS_A_YEAR = Number(
    1,
    "false alarms per client and year",
    "How many a coach is taken to put up with until the settings say otherwise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
WATCHFULNESS = NumberTable(
    (
        "false alarms per client and year",
        "probability from which it is said",
        "share of falls found within 7 days",
        "share of falls found within 14 days",
    ),
    {
        "few: about one false alarm per client in four years": (0.25, 0.69, 0.27, 0.66),
        "about one false alarm per client in two years": (0.5, 0.50, 0.36, 0.77),
        "about one false alarm per client and year": (1, 0.31, 0.48, 0.83),
        "about two false alarms per client and year": (2, 0.19, 0.56, 0.86),
        "watchful: about four false alarms per client and year": (4, 0.10, 0.64, 0.90),
    },
    "as headed",
    "Overreaching: what each budget of false alarms asks for and finds, "
    "measured on made-up clients by tests.benchmarks.signals.budgets",
    NumberKind.HOUSE_CHOICE,
    "made-up-clients",
)
PLANNED_DOSE = NumberTable(
    ("sets", "reps a set", "rest [s]", "reps in reserve"),
    {
        "warm-up": (2, 8, 30, 5),
        "primary": (5, 6, 120, 2),
        "supplementary": (3, 9, 90, 1),
        "isolation": (3, 10, 75, 1),
        "prehab": (4, 8, 60, 4),
    },
    "as headed",
    "What an exercise starts with when it is put into a part of a session",
    NumberKind.CONVENTION,
    "common-practice",
)
