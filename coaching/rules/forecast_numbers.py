"""The numbers of forecasts: what a client can be expected to do next, and when a goal is in reach.

They are choices of this tool; ``tests/benchmarks/forecasts.py`` measures on made-up clients how
often a forecast holds, which is no promise for real ones.
"""

from coaching.rules.register import Number, NumberKind

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
