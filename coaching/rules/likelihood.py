"""How a probability is said to a coach: rounded to what is known, and never certain."""

from coaching.rules.log_numbers import LIKELY_MOST, LIKELY_STEP


def likely_words(probability: float) -> str:
    """How likely the tool holds something to be, in steps of 5 %.

    Args:
        probability: 0-1.

    >>> likely_words(0.86), likely_words(0.999), likely_words(0.01)
    ('85 % likely', 'over 95 % likely', 'under 5 % likely')
    """
    if not 0 <= probability <= 1:
        message = f"{probability} is no probability; it lies between 0 and 1."
        raise ValueError(message)
    most = LIKELY_MOST.value
    if probability > most:
        return f"over {100 * most:.0f} % likely"
    if 1 - probability > most:
        return f"under {100 * (1 - most):.0f} % likely"
    step = LIKELY_STEP.value
    return f"{100 * step * round(probability / step):.0f} % likely"
