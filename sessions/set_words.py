"""How sets, loads and last times are written on the phone pages."""

from collections.abc import Sequence

from coaching.rules.plan import LoadKind, Measure


def kilograms(load: float) -> str:
    """A load with its unit and no needless zeros.

    >>> kilograms(7.5), kilograms(20.0)
    ('7.5 kg', '20 kg')
    """
    return f"{load:.2f}".rstrip("0").rstrip(".") + " kg"


def amount_words(amount: int, measure: str) -> str:
    """Repetitions or seconds of one set.

    >>> amount_words(1, "reps"), amount_words(6, "reps"), amount_words(20, "seconds")
    ('1 rep', '6 reps', '20 s')
    """
    if measure == Measure.SECONDS:
        return f"{amount} s"
    return "1 rep" if amount == 1 else f"{amount} reps"


def load_words(load: float, kind: str) -> str:
    """What a load means for an exercise; nothing where there is none to speak of.

    >>> load_words(7.5, "added"), load_words(15, "assisted"), load_words(0, "added")
    ('+7.5 kg', '15 kg of help', '')
    """
    if kind == LoadKind.NONE or (kind != LoadKind.EXTERNAL and not load):
        return ""
    return {
        LoadKind.ADDED.value: f"+{kilograms(load)}",
        LoadKind.ASSISTED.value: f"{kilograms(load)} of help",
    }.get(kind, kilograms(load))


def asked_load_words(load: float, kind: str, *, needed: bool) -> str:
    """The same for a load that is asked for, which may still be left to find.

    ``needed`` tells whether the exercise is not itself without one.

    >>> asked_load_words(0, "added", needed=True), asked_load_words(0, "assisted", needed=True)
    ('weight to find', 'help to find')
    >>> asked_load_words(0, "added", needed=False)
    ''
    """
    if load > 0:
        return load_words(load, kind)
    if not needed:
        return ""
    return "help to find" if kind == LoadKind.ASSISTED else "weight to find"


def sets_words(amounts: Sequence[int], measure: str) -> str:
    """Several sets, shortened when all are the same.

    >>> sets_words([6, 6, 6], "reps"), sets_words([7, 6], "reps"), sets_words([20, 20], "seconds")
    ('3 × 6', '7-6', '2 × 20 s')
    """
    if len(amounts) == 1:
        return amount_words(amounts[0], measure)
    unit = " s" if measure == Measure.SECONDS else ""
    if len(set(amounts)) == 1:
        return f"{len(amounts)} × {amounts[0]}{unit}"
    return "-".join(str(n) for n in amounts) + unit


def done_words(amounts: Sequence[int], loads: Sequence[float], measure: str, kind: str) -> str:
    """Sets as they were done, with their load once when it stayed the same.

    >>> done_words([6, 6, 5], [7.5, 7.5, 7.5], "reps", "added")
    '6-6-5 · +7.5 kg'
    >>> done_words([8, 8], [20, 17.5], "reps", "external")
    '8 (20 kg), 8 (17.5 kg)'
    """
    if len(set(loads)) <= 1:
        load = load_words(loads[0], kind) if loads else ""
        return sets_words(amounts, measure) + (f" · {load}" if load else "")
    unit = " s" if measure == Measure.SECONDS else ""
    return ", ".join(
        f"{n}{unit} ({load_words(load, kind) or 'no load'})"
        for n, load in zip(amounts, loads, strict=True)
    )
