"""The numbers by which a log is read for what one client should be asked about.

Typing mistakes, effort that rises, one exercise that fell alone, and how a probability is said.
Chosen for this tool; ``tests/benchmarks/log_checks.py`` prints what the checks find with them
on made-up clients, which is no promise for real ones.
"""

from coaching.rules.register import Number, NumberKind

MISTAKE_LOOK_BACK = Number(
    6,
    "sessions of an exercise",
    "How many before a set that looks mistyped say what is usual, at most",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_SAME_LOAD = Number(
    0.06,
    "share of the load",
    "A load this near to the one expected, once read in pounds or with its decimal point moved, "
    "is taken for it: plates in pounds seldom match to the kilogram",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_FAR_LOAD = Number(
    1.5,
    "times the loads of earlier sessions",
    "A load nearer to what was lifted before than this is no typing mistake",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_DECIMAL = Number(
    10,
    "times",
    "What a slipped decimal point makes of a load, or a tenth",
    NumberKind.CONVENTION,
    "common-practice",
)
MISTAKE_SAME_REPS = Number(
    0.6,
    "share of the usual reps",
    "Reps no further from the usual than this are about the same: at a load really twice as heavy "
    "there would be far fewer",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_REPS_ABOVE = Number(
    10,
    "reps above target and usual",
    "A set this far above what was asked and what is usual looks like a digit too many",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_REPS_BEFORE = Number(
    5,
    "reps above target",
    "Where earlier sets went so far above their target, a set far above it is nothing strange",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_OPEN_LAST = Number(
    0.1,
    "share of last sets",
    "Where so many go beyond their target, last sets are left open and a long one is "
    "nothing strange",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_TIMES = Number(
    4,
    "times the target and the most before",
    "A hold this long, or so many reps, look like a digit too many whatever the client’s habits",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MISTAKE_GUESS_NEAR = Number(
    3,
    "reps or seconds",
    "A number without its extra digit is offered as the one meant when it is so near the usual",
    NumberKind.HOUSE_CHOICE,
    "house",
)
COPIED_SESSIONS = Number(
    3,
    "sessions in a row",
    "The very same reps and reserve in so many, though the targets changed, look copied",
    NumberKind.HOUSE_CHOICE,
    "house",
)
COPIED_EXERCISES = Number(
    2,
    "exercises of a session",
    "So many must repeat against changed targets; one may simply be stuck",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_SESSIONS = Number(
    3,
    "sessions",
    "So many in a row must be harder than usual before effort is said to rise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_USUAL_FEWEST = Number(
    5,
    "rated sessions",
    "Fewer in the weeks before show no usual effort",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_SAME_WORK = Number(
    1.02,
    "times the usual work",
    "Planned reps times load up to this are no harder than usual",
    NumberKind.HOUSE_CHOICE,
    "house",
)
EFFORT_SETS_FEWEST = Number(
    3,
    "sets of a session",
    "Fewer with a logged reserve at the usual work say nothing about the effort of a session",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LIKELY_STEP = Number(
    0.05,
    "probability",
    "A probability is said to the nearest of these steps: it is not known more precisely",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LIKELY_MOST = Number(
    0.95,
    "probability",
    "Above it only “over 95 %” is said, and under what is left to 100 % only that: nothing "
    "is ever called certain",
    NumberKind.HOUSE_CHOICE,
    "house",
)
