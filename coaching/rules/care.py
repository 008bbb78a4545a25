"""Pain in a log: stop and refer, never a diagnosis."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import PAIN_LIMIT, PAIN_RISES, REVIEW_DAYS

CAUTION = (
    "Stop the exercise and refer to a licensed practitioner; emergencies to emergency services."
)
SAME_DAY = (
    "Dark urine, strong swelling or spreading muscle pain in the days after hard training: medical "
    "care the same day, and no training before a practitioner allows it."
)
NOT_AT_ONCE = (
    "Your coach does not read this at once. Chest pain, fainting, sudden breathlessness, numbness or "
    "lost strength: stop training and call the emergency number, or see a doctor the same day."
)
RISES = int(PAIN_RISES.value)

PAIN_RULE = (
    f"Pain above {PAIN_LIMIT.value:g} of 10 in a set, or rising over {RISES} sessions of the same exercise or place. The "
    "limit comes from trials at the knee and the Achilles tendon; elsewhere it is an analogy."
)
COULD_NOT_KNOW = "A number and a note are no examination; what the pain is, this tool cannot tell."
QUESTION = (
    "Please leave out what hurts for now. Where is it, what brings it on, is it sharp, and is it "
    "still there next morning?"
)


def find_pain(sessions: Sequence[LoggedSession], *, today: date) -> list[Finding]:
    """Pain above the limit, and rising pain, of the last week.

    Args:
        sessions: Logged sessions, oldest first; sessions of every kind count.
        today: The day of the review.
    """
    since = today - timedelta(days=REVIEW_DAYS.value)
    recent = [s for s in sessions if since <= s.on <= today]
    strong = _strongest(recent)
    found = [_too_much(on, one) for on, one in strong.values()]
    told = {one.exercise.key for _, one in strong.values()}
    found.extend(_rising(sessions, since, today, told))
    return found


def _strongest(sessions: Sequence[LoggedSession]) -> dict[str, tuple[date, LoggedSet]]:
    """The set with the most pain above the limit, by exercise."""
    strongest: dict[str, tuple[date, LoggedSet]] = {}
    for session in sessions:
        for one in session.sets:
            held = strongest.get(one.exercise.key)
            if (one.pain or 0) > max(PAIN_LIMIT.value, (held[1].pain or 0) if held else 0):
                strongest[one.exercise.key] = (session.on, one)
    return strongest


def _too_much(on: date, one: LoggedSet) -> Finding:
    where = f" ({one.pain_where})" if one.pain_where else ""
    return _pain(
        f"Pain {one.pain} of 10{where} on {one.exercise.name}, {on:%A} {on.day} {on:%b}. {CAUTION}",
        [(on, one.pain or 0)],
        one.exercise.key,
    )


def _rising(
    sessions: Sequence[LoggedSession], since: date, today: date, told: set[str]
) -> Iterator[Finding]:
    series: dict[str, list[tuple[date, int]]] = {}
    names = {}
    for session in sessions:
        if session.on > today:
            continue
        worst: dict[str, int] = {}
        for one in session.sets:
            if one.pain is not None:
                names[one.exercise.key] = one.exercise.name
                worst[one.exercise.key] = max(one.pain, worst.get(one.exercise.key, 0))
        for key, pain in worst.items():
            series.setdefault(key, []).append((session.on, pain))
    for key, pains in series.items():
        last = pains[-RISES:]
        values = [pain for _, pain in last]
        rising = len(last) == RISES and all(one < other for one, other in pairwise(values))
        if rising and last[-1][0] >= since and key not in told:
            steps = ", ".join(str(v) for v in values)
            yield _pain(
                f"Pain on {names[key]} rose over {RISES} sessions: {steps} of 10. {CAUTION}",
                last,
                key,
            )


def _pain(sentence: str, pains: Sequence[tuple[date, int]], key: str) -> Finding:
    return Finding(
        kind=FindingKind.PAIN,
        sentence=sentence,
        evidence=tuple(Evidence(f"Pain on {on.day} {on:%b}", f"{p} of 10") for on, p in pains),
        rule=PAIN_RULE,
        source_key="thomee-1997",
        exercise=key,
        since=pains[0][0],
        could_not_know=COULD_NOT_KNOW,
        question=QUESTION,
    )
