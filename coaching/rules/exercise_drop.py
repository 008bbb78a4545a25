"""One exercise that fell by itself: what is said of it, and what pain was logged on it.

Whether it fell, and how likely that is, is estimated elsewhere; here stand the words.
"""

from collections.abc import Sequence
from datetime import date

from coaching.rules.care import CAUTION
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.likelihood import likely_words
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise

Pain = tuple[date, int, str]
"""A day, the most pain logged on it [of 10], and where."""

RULE = (
    "Every set of the exercise is weighed against its own course and against the other exercises "
    "of the same days; a fall that those share is told as overreaching and not here."
)
COULD_NOT_KNOW = (
    "The log does not know of technique, another machine, grip or bar, rests, sleep, illness or "
    "food; where no pain was asked for, none is logged."
)
REFER = "Sharp, rising or lasting pain: refer to a licensed practitioner."


def exercise_drop(
    exercise: Exercise, *, share: float, probability: float, since: date, pain: Sequence[Pain]
) -> Finding:
    """What is said of an exercise that fell while the others did not.

    Args:
        exercise: The one that fell.
        share: How much of its strength it lost, 0-1, above 0.
        probability: How likely it fell at all, 0-1.
        since: The first day of the fall.
        pain: Pain logged on it since then, oldest first; ``pain_on`` collects it.
    """
    if not 0 < share < 1:
        message = f"A fall by a share of {share} is not possible; it lies between 0 and 1."
        raise ValueError(message)
    likely = likely_words(probability)
    day = f"{since.day} {since:%b}"
    causes = "technique, equipment or pain, not general fatigue"
    sentence = (
        f"{exercise.name} alone fell by about {_percent(share)} % since {day} ({likely}), "
        f"the others did not: {causes}."
    )
    return Finding(
        kind=FindingKind.EXERCISE_DROP,
        sentence=f"{sentence} {_pain_sentence(pain)}".rstrip(),
        evidence=(
            Evidence("Fell by", f"about {_percent(share)} % since {day}"),
            Evidence("How likely", likely.removesuffix(" likely")),
            *(Evidence(f"Pain on {on.day} {on:%b}", _of_ten(n, where)) for on, n, where in pain),
        ),
        rule=RULE,
        source_key="house",
        exercise=exercise.key,
        since=since,
        could_not_know=COULD_NOT_KNOW,
        question=_question(exercise, pain, day),
        probability=probability,
    )


def pain_on(sessions: Sequence[LoggedSession], key: str, since: date) -> tuple[Pain, ...]:
    """The most pain of every day since then on which the exercise hurt, oldest first."""
    worst: dict[date, tuple[int, str]] = {}
    for session in sessions:
        for one in session.sets if session.on >= since else ():
            if one.exercise.key == key and (one.pain or 0) > worst.get(session.on, (0, ""))[0]:
                worst[session.on] = (one.pain or 0, one.pain_where)
    return tuple((on, amount, where) for on, (amount, where) in sorted(worst.items()))


def _percent(share: float) -> str:
    """A share in whole percent, at least one.

    >>> _percent(0.084), _percent(0.002)
    ('8', '1')
    """
    return f"{max(1, round(100 * share))}"


def _pain_sentence(pain: Sequence[Pain]) -> str:
    if not pain:
        return ""
    on, amount, where = max(pain, key=lambda one: one[1])
    said = f"Pain was logged on it since: {_of_ten(amount, where)} on {on.day} {on:%b}."
    return f"{said} {CAUTION if amount > PAIN_LIMIT.value else REFER}"


def _of_ten(amount: int, where: str) -> str:
    return f"{amount} of 10" + (f" ({where})" if where else "")


def _question(exercise: Exercise, pain: Sequence[Pain], day: str) -> str:
    if pain:
        *_, (_, _, place) = pain
        where = f" in the {place}" if place else ""
        return (
            f"{exercise.name} hurt{where} and got weaker since {day}. Please leave out what hurts "
            "for now. What brings the pain on, is it sharp, and is it still there next morning?"
        )
    return (
        f"{exercise.name} got harder since {day} and the others did not. Does anything hurt, did "
        "you change bar, machine, grip or tempo, and could you send a video of a set?"
    )
