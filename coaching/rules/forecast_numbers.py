"""The numbers of what is told with a range: ability, what comes next, and when a goal is in reach.

They are choices of this tool; ``tests/benchmarks/forecasts.py`` measures on made-up clients how
often a forecast holds, which is no promise for real ones.
"""

from coaching.rules.register import Number, NumberKind

BAND_WIDER = Number(
    1.08,
    "times",
    "How much wider a band of ability is shown than it is reckoned, since sets are read in a straight "
    "line and falls by a few courses only; measured by tests.benchmarks.signals.calibration",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FORECAST_DRAWS = Number(
    1000,
    "courses",
    "How many possible courses of a session a forecast is counted from",
    NumberKind.HOUSE_CHOICE,
    "house",
)
FORECAST_BAND = Number(
    0.8,
    "probability",
    "How much of what may come the range of a forecast holds",
    NumberKind.HOUSE_CHOICE,
    "house",
)
STEP_CHANCE = Number(
    0.5,
    "probability",
    "A load beyond the next one is gone to only if its first targets are all made so often, and so "
    "often what is asked first after a small step outside a primary pair",
    NumberKind.HOUSE_CHOICE,
    "house",
)
GOAL_WEEKS_MOST = Number(
    52,
    "weeks",
    "A goal that may take longer than this is not told ahead",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RUNG_TELLS = Number(
    0.03,
    "share of the load",
    "A harder rung must move so much more before kilograms are taken to tell what it asks",
    NumberKind.HOUSE_CHOICE,
    "house",
)
