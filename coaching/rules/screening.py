"""What to ask before the first block, and when somebody licensed has to look first.

The logic follows the published preparticipation screening: exercise now, symptoms, known
disease. It sorts people, it finds nothing out about them: no answer here is a diagnosis.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.numbers import ADULT_AGE, HARD_SET_REPS, HOLD_SECONDS_PER_REP
from coaching.rules.numbers import WORKING_SET_RESERVE as WORK
from coaching.rules.plan import Measure, Part, PlannedSession, Prescription

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
BREATH_RULE = (
    "Holding the breath on hard repetitions is common practice for healthy people. It is cautioned "
    "for anyone with a condition of blood pressure, heart or eyes, or who is pregnant: breathe out "
    "on the way up, end the set before the breath has to be held, and keep to what a licensed "
    "practitioner wrote."
)


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


@dataclass(frozen=True, slots=True)
class BreathCaution:
    """Hard work that is planned for somebody who should not hold the breath on it."""

    conditions: tuple[str, ...]
    exercises: tuple[str, ...]
    rule: str = BREATH_RULE

    @property
    def sentence(self) -> str:
        """The caution in words, with the exercises it is about."""
        conditions = " and ".join(_lowered(one) for one in self.conditions)
        return (
            f"No breath-holding on {', '.join(self.exercises)}: the health screen names "
            f"{conditions}. This is hard work of few repetitions, or close to failure."
        )


def cautions(
    answers: Mapping[Topic, bool], *, born_in: int | None = None, year: int | None = None
) -> tuple[Caution, ...]:
    """What the answers ask the coach to do before the first block, strictest first.

    Sets close to failure count as vigorous effort (house choice), so a trained person with
    a known disease waits for clearance before hard training and may go on with moderate.
    An answer that is missing says nothing: ask before relying on the result. With
    ``born_in`` and the present ``year`` a birth year speaks where the question about age
    was left open or answered otherwise.

    >>> cautions({Topic.ACTIVE: True, Topic.HEART: True})[0].gate
    <Gate.NOT_HARD: 'no hard training before clearance'>
    """
    found = [
        *_symptoms(answers),
        *_diseases(answers),
        *_breath(answers),
        *(_minors(answers) or _young(answers, born_in, year)),
    ]
    order = list(Gate)
    return tuple(sorted(found, key=lambda one: order.index(one.gate)))


def still_open(found: Iterable[Caution], *, cleared: bool) -> tuple[Caution, ...]:
    """The cautions that nobody settled: a practitioner's clearance is no guardian's consent.

    >>> minor = Caution(Topic.MINOR, Gate.STOP, "Get the written consent first.")
    >>> still_open([minor, Caution(Topic.HEART, Gate.STOP, "Wait.")], cleared=True) == (minor,)
    True
    """
    return tuple(one for one in found if not cleared or one.topic is Topic.MINOR)


def stopping(found: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions that keep the client from training, or from training hard."""
    return tuple(one for one in found if one.gate in {Gate.STOP, Gate.NOT_HARD})


def gate(
    answers: Mapping[Topic, bool], *, born_in: int | None = None, year: int | None = None
) -> Gate:
    """The strictest of what the answers ask for.

    >>> gate({Topic.ACTIVE: False}), gate({}, born_in=2010, year=2026).name
    (<Gate.OPEN: 'training may start'>, 'STOP')
    """
    found = cautions(answers, born_in=born_in, year=year)
    return next((one.gate for one in found), Gate.OPEN)


def breath_caution(
    sessions: Iterable[PlannedSession], answers: Mapping[Topic, bool]
) -> BreathCaution | None:
    """Which planned work is hard enough to hold the breath, for a client who should not.

    Hard is a set of few repetitions, or a short hold, that leaves little in reserve, and any
    set that ends close to failure; warm-up and prehab are not. None when the answers name no
    such condition or nothing hard is planned. Common practice, no source for the bounds.
    """
    conditions = tuple(_NAMES[topic] for topic in _BREATH if answers.get(topic))
    hard = dict.fromkeys(
        one.exercise.name for session in sessions for one in session.prescriptions if is_hard(one)
    )
    return BreathCaution(conditions, tuple(hard)) if conditions and hard else None


def is_hard(prescription: Prescription) -> bool:
    """Whether a prescription asks for sets in which people hold their breath."""
    if prescription.part in {Part.WARM_UP, Part.PREHAB} or not prescription.targets:
        return False
    rir = prescription.rir
    if rir is not None and rir <= 1:
        return True
    held = prescription.exercise.measure is Measure.SECONDS
    bound = HARD_SET_REPS.value * (HOLD_SECONDS_PER_REP.value if held else 1)
    return min(prescription.targets) <= bound and (rir is None or rir < WORK.value)


def _symptoms(answers: Mapping[Topic, bool]) -> list[Caution]:
    if not answers.get(Topic.SYMPTOMS):
        return []
    verb = "Stop training." if answers.get(Topic.ACTIVE) else "Do not start."
    return [Caution(Topic.SYMPTOMS, Gate.STOP, f"Signs or symptoms: {verb} {CLEARANCE}")]


def _diseases(answers: Mapping[Topic, bool]) -> list[Caution]:
    known = [topic for topic in _DISEASES if answers.get(topic)]
    if answers.get(Topic.ACTIVE):
        how = (
            "trains now. Moderate training may go on; before sets close to failure: "
            "get clearance from a licensed practitioner first."
        )
        return [_disease(one, Gate.NOT_HARD, how) for one in known]
    return [_disease(one, Gate.STOP, f"not training now. {CLEARANCE}") for one in known]


def _disease(topic: Topic, gate: Gate, how: str) -> Caution:
    breath = f" {_NO_BREATH_HOLDING}" if topic in _BREATH else ""
    return Caution(topic, gate, f"{_NAMES[topic]}, {how}{breath}")


def _breath(answers: Mapping[Topic, bool]) -> list[Caution]:
    asked = (one for one in _BREATH if one is not Topic.HEART)
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


def _young(answers: Mapping[Topic, bool], born_in: int | None, year: int | None) -> list[Caution]:
    """What a birth year says where no answer called the client a minor."""
    if born_in is None or year is None or year - born_in > ADULT_AGE.value:
        return []
    may_be_adult = year - born_in == ADULT_AGE.value
    if may_be_adult and Topic.MINOR in answers:
        return []
    said = (
        f"Born in {born_in}: younger than 18{', or turning 18 this year' if may_be_adult else ''}."
    )
    if Topic.MINOR in answers:
        said += " The health screen says otherwise; ask again."
    consent = "Get the written consent of a parent or guardian first."
    return [Caution(Topic.MINOR, Gate.STOP, f"{said} {consent}")]


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:]


_BREATH = (Topic.HEART, Topic.BLOOD_PRESSURE, Topic.EYES, Topic.PREGNANCY)
"""Conditions with which nobody should hold the breath on hard repetitions."""

_NAMES = {
    Topic.HEART: "A known disease of heart or vessels",
    Topic.METABOLIC: "Diabetes",
    Topic.RENAL: "A known disease of the kidneys",
    Topic.PREGNANCY: "Pregnancy or a recent birth",
    Topic.BLOOD_PRESSURE: "High blood pressure",
    Topic.EYES: "A condition of the eyes",
}
