"""What to ask before the first block, and when somebody licensed has to look first.

The logic follows the published preparticipation screening: exercise now, symptoms, known
disease. It sorts people, it finds nothing out about them: no answer here is a diagnosis.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

SOURCE_KEY = "riebe-2015"
CLEARANCE = "Get clearance from a licensed practitioner first."
EMERGENCY = (
    "Chest pain, fainting or breathlessness at rest now: stop, and call the emergency services."
)
NOTHING_ASKED_FOR = (
    "Nothing in these answers asks for clearance before training. Ask again when health changes, "
    "and at the latest after a year."
)


class Topic(StrEnum):
    """What the screen asks about."""

    ACTIVE = "active"
    SYMPTOMS = "symptoms"
    HEART = "heart"
    METABOLIC = "metabolic"
    RENAL = "renal"
    PREGNANCY = "pregnancy"
    BLOOD_PRESSURE = "blood pressure"
    EYES = "eyes"
    MINOR = "minor"
    CONSENT = "consent"


QUESTIONS = {
    Topic.ACTIVE: (
        "Trains now: at least 30 minutes of moderate effort, three days a week or more, for the "
        "last three months"
    ),
    Topic.SYMPTOMS: (
        "Chest pain or pressure, fainting or dizzy spells, unusual breathlessness, a racing or "
        "uneven heartbeat, swollen ankles, or calves that hurt when walking"
    ),
    Topic.HEART: "A known disease of the heart, the blood vessels or the brain’s circulation",
    Topic.METABOLIC: "Diabetes, type 1 or 2",
    Topic.RENAL: "A known disease of the kidneys",
    Topic.PREGNANCY: "Pregnant, or gave birth in the last six months",
    Topic.BLOOD_PRESSURE: "High blood pressure, treated or not",
    Topic.EYES: "Glaucoma, a disease of the retina, or an eye operation in the last months",
    Topic.MINOR: "Younger than 18",
    Topic.CONSENT: "If younger than 18: a parent or guardian agreed in writing",
}
"""The questions in the order they are asked; each is answered yes or no."""

_DISEASES = (Topic.HEART, Topic.METABOLIC, Topic.RENAL)
_NO_BREATH_HOLDING = "No breath-holding on hard repetitions."


class Gate(StrEnum):
    """How far training may go, strictest first."""

    STOP = "no training before clearance"
    NOT_HARD = "no hard training before clearance"
    CARE = "training with care"
    OPEN = "training may start"


@dataclass(frozen=True, slots=True)
class Caution:
    """One answer that the coach must act on, and what to do."""

    topic: Topic
    gate: Gate
    sentence: str


def cautions(answers: Mapping[Topic, bool]) -> tuple[Caution, ...]:
    """What the answers ask the coach to do before the first block, strictest first.

    Sets close to failure count as vigorous effort (house choice), so a trained person with
    a known disease waits for clearance before hard training and may go on with moderate.
    An answer that is missing says nothing: ask before relying on the result.

    >>> cautions({Topic.ACTIVE: True, Topic.HEART: True})[0].gate
    <Gate.NOT_HARD: 'no hard training before clearance'>
    """
    found = [
        *_symptoms(answers),
        *_diseases(answers),
        *_breath(answers),
        *_minors(answers),
    ]
    order = list(Gate)
    return tuple(sorted(found, key=lambda one: order.index(one.gate)))


def gate(answers: Mapping[Topic, bool]) -> Gate:
    """The strictest of what the answers ask for.

    >>> gate({Topic.ACTIVE: False})
    <Gate.OPEN: 'training may start'>
    """
    return next((one.gate for one in cautions(answers)), Gate.OPEN)


def _symptoms(answers: Mapping[Topic, bool]) -> list[Caution]:
    if not answers.get(Topic.SYMPTOMS):
        return []
    verb = "Stop training." if answers.get(Topic.ACTIVE) else "Do not start."
    return [Caution(Topic.SYMPTOMS, Gate.STOP, f"Signs or symptoms: {verb} {CLEARANCE}")]


def _diseases(answers: Mapping[Topic, bool]) -> list[Caution]:
    known = [topic for topic in _DISEASES if answers.get(topic)]
    if answers.get(Topic.ACTIVE):
        how = (
            "Moderate training may go on; before sets close to failure: "
            "get clearance from a licensed practitioner first."
        )
        return [Caution(one, Gate.NOT_HARD, f"{_NAMES[one]}, trains now. {how}") for one in known]
    return [
        Caution(one, Gate.STOP, f"{_NAMES[one]}, not training now. {CLEARANCE}") for one in known
    ]


def _breath(answers: Mapping[Topic, bool]) -> list[Caution]:
    asked = (Topic.PREGNANCY, Topic.BLOOD_PRESSURE, Topic.EYES)
    return [
        Caution(one, Gate.NOT_HARD, f"{_NAMES[one]}. {CLEARANCE} {_NO_BREATH_HOLDING}")
        for one in asked
        if answers.get(one)
    ]


def _minors(answers: Mapping[Topic, bool]) -> list[Caution]:
    if not answers.get(Topic.MINOR):
        return []
    if answers.get(Topic.CONSENT):
        sentence = "Younger than 18, a guardian agreed. Local law on coaching minors comes first."
        return [Caution(Topic.MINOR, Gate.CARE, sentence)]
    sentence = "Younger than 18. Get the written consent of a parent or guardian first."
    return [Caution(Topic.MINOR, Gate.STOP, sentence)]


_NAMES = {
    Topic.HEART: "A known disease of heart or vessels",
    Topic.METABOLIC: "Diabetes",
    Topic.RENAL: "A known disease of the kidneys",
    Topic.PREGNANCY: "Pregnancy or a recent birth",
    Topic.BLOOD_PRESSURE: "High blood pressure",
    Topic.EYES: "A condition of the eyes",
}
