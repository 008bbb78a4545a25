"""How watchful the tool is about overreaching, as a budget of false alarms.

A coach does not choose a threshold of probability but how often the tool may call a client
overreaching when nothing is behind it. The figures of each choice stand in the register
(``numbers.WATCHFULNESS``), measured on made-up clients by ``tests/benchmarks/signals``: they
compare the choices with each other and promise nothing for a real roster.
"""

from dataclasses import dataclass

from coaching.rules.numbers import FALSE_ALARMS_A_YEAR, WATCHFULNESS

USUAL_BUDGET = float(FALSE_ALARMS_A_YEAR.value)


@dataclass(frozen=True, slots=True)
class Watchfulness:
    """One choice of how watchful to be, and what it finds.

    ``budget`` [false alarms per client and year], ``threshold`` [probability from which
    overreaching is said], ``within_14`` and ``within_7`` [share of falls found within so
    many days].
    """

    budget: float
    words: str
    threshold: float
    within_14: float
    within_7: float


def choices() -> tuple[Watchfulness, ...]:
    """The budgets a coach can choose from, the least watchful first.

    >>> [one.budget for one in choices()]
    [0.25, 0.5, 1.0, 2.0, 4.0]
    """
    found = [
        Watchfulness(float(budget), words, threshold, within_14=in_14, within_7=in_7)
        for words, (budget, threshold, in_7, in_14) in WATCHFULNESS.rows.items()
    ]
    return tuple(sorted(found, key=lambda one: one.budget))


def budgets() -> tuple[float, ...]:
    """The budgets alone [false alarms per client and year]."""
    return tuple(one.budget for one in choices())


def choice_for(budget: float) -> Watchfulness:
    """The choice of that budget [false alarms per client and year].

    >>> choice_for(1).words
    'about one false alarm per client and year'

    Raises:
        ValueError: no such budget was measured, and none is guessed between two others.
    """
    for one in choices():
        if one.budget == budget:
            return one
    known = ", ".join(f"{one:g}" for one in budgets())
    message = f"There is no budget of {budget:g} false alarms per client and year, only {known}."
    raise ValueError(message)


def threshold_for(budget: float) -> float:
    """The probability from which overreaching is said within that budget.

    >>> threshold_for(0.25) > threshold_for(4)
    True
    """
    return choice_for(budget).threshold
