"""Words in a note that call for somebody licensed before training goes on: never a diagnosis.

Written on the safe side: a word counts unless the note itself says that it is not so
("no numbness", "didn't faint"). What was there and went away counts.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from functools import cached_property

from coaching.rules.care import CAUTION, COULD_NOT_KNOW, QUESTION, SAME_DAY
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import REVIEW_DAYS


class Soon(StrEnum):
    """How soon somebody licensed is to look, soonest first."""

    NOW = "emergency if it is there now"
    TODAY = "the same day"
    BEFORE_TRAINING = "before training goes on"


AT_ONCE = (
    "If it is there now, came at rest or comes back: call the local emergency number. No training "
    "before a doctor allows it."
)
_SAID = {Soon.NOW: AT_ONCE, Soon.TODAY: SAME_DAY, Soon.BEFORE_TRAINING: ""}

SOURCE_KEY = "red-flags"
RULE = (
    "A note holds words that call for a licensed practitioner before training goes on. A word is "
    "passed over only where the note says that it is not so."
)

_JOINT = r"(knee|ankle|hip|elbow|shoulder|wrist|finger|toe|jaw|joint)s?"
_LIMB = r"(calf|calves|leg|thigh|arm|forearm|upper arm)s?"
_NEAR = r"(\W+\w+){0,3}?\W+"
_NOT_ABLE = r"(can ?not|can'?t|could ?n[o']?t|couldn'?t|unable to)"
# Words that say where in the chest. Not any word: "pain in my elbow on chest day" is no pain there.
_WITHIN = (
    r"((my|the|his|her|your|of|left|right|upper|lower|middle|mid|cent(re|er)|side|front|inner|outer|"
    r"whole|entire|part|half|area|top|bottom|all|over|just|deep) ){0,6}"
)
_CHEST = r"(chest(?! day)|breast ?bone|sternum)"
_ANYWHERE = "swelling"
_SWOLLEN = ("a hot or swollen joint", "swelling of a calf or an arm")
_HURTS = r"\b(pain\w*|hurt\w*|sore|ache[sd]?|aching|agony|ouch)\b"


@dataclass(frozen=True)
class RedFlag:
    """One group of words: what a note speaks of, and how soon somebody licensed is to look.

    ``patterns`` are ways to write it, any of which is enough; ``beside`` must stand in the same
    note as well where a group is told by two things together.
    """

    name: str
    soon: Soon
    patterns: tuple[str, ...]
    beside: tuple[str, ...] = ()

    @cached_property
    def _ways(self) -> tuple[re.Pattern[str], ...]:
        groups = (group for group in (self.patterns, self.beside) if group)
        return tuple(re.compile(rf"\b({'|'.join(group)})\b") for group in groups)

    def is_in(self, words: str) -> bool:
        """Whether words in lower case, without what they deny, speak of it."""
        return all(way.search(words) for way in self._ways)


RED_FLAGS = (
    RedFlag(
        "chest pain or pressure",
        Soon.NOW,
        (
            r"chest (pains?|pressure|tight\w*|hurts?|hurting|heav\w+|discomfort)",
            r"chest (just |then |also |suddenly )?(is|was|feels?|felt|got|gets|went|still|really|so|"
            r"a bit|bit|start(s|ed|ing)?|begins?|began|beginning|keeps|kept|(has |had )?been)"
            rf"{_NEAR}?(tight\w*|hurt\w*|in pain|painful|heavy|crush\w*|squeez\w*)",
            r"(pains?|pressure|tight(ness)?|squeezing|crushing|ache|heaviness|discomfort|hurt(s|ing)?) "
            rf"(in|on|across|behind|around|inside) {_WITHIN}{_CHEST}",
            rf"hurt(s|ing)? {_WITHIN}{_CHEST}",
            r"(hurt(s|ing)?|pain(s|ful)?) ((?!but|and)\w+ ){0,4}(to|when|while|as) (\w+ )?(breath\w*|inhal\w*)",
            # Also of "tight chest muscles after dips": who feels it cannot tell which it is.
            r"tight chest",
        ),
    ),
    RedFlag(
        "fainting or dizziness",
        Soon.NOW,
        (
            r"faint(ed|ing|s)?",
            r"pass(ed|ing)? out",
            r"black(ed|ing)? ?out",
            r"collapsed",
            r"dizz(y|iness)",
            r"light ?-?headed(ness)?",
            r"lost conscious\w*",
        ),
    ),
    RedFlag(
        "unusual breathlessness",
        Soon.NOW,
        (
            r"short(ness)? of breath",
            r"breathless\w*",
            rf"{_NOT_ABLE} (even |really |properly )?(breathe?|get (my |any |enough )?(breath|air)|"
            r"catch (my )?breath)",
            r"(trouble|difficulty|struggl\w+|hard|problems?) (with )?(to )?breath(e|ing)?",
        ),
    ),
    RedFlag(
        "palpitations",
        Soon.NOW,
        (
            r"palpitations?",
            r"heart (is |was |kept |keeps |felt |started |began )?(to )?(race|racing|skip\w*|flutter\w*|irregular\w*)",
            r"(irregular|uneven|racing) heart ?(beat|rate)?",
            r"heart ?(beat|rate) (is |was |felt )?(irregular|uneven|all over)",
        ),
    ),
    RedFlag(
        "sudden headache, or trouble seeing or speaking",
        Soon.NOW,
        (
            r"(sudden|thunderclap|worst|explosive|splitting)( \w+)? headache",
            r"headache came on suddenly",
            r"(lost|losing|loss of|blurr\w+|blurry|double) (my )?(vision|sight)",
            rf"{_NOT_ABLE} (see|speak)( \w+)? (out|proper\w*|clear\w*|any)",
            r"slurr\w+",
        ),
    ),
    RedFlag(
        "bladder or bowel control",
        Soon.NOW,
        (
            r"(bladder|bowels?)",
            r"incontinen\w+",
            r"(wet|peed|pissed|soiled) (myself|my \w+)",
            rf"{_NOT_ABLE} (pee|wee|urinate|hold my (pee|wee|urine|bladder))",
            r"leak(ed|ing|s)? (pee|wee|urine)",
        ),
    ),
    RedFlag(
        "numbness or tingling",
        Soon.BEFORE_TRAINING,
        (
            r"numb(ness|ing|ed)?",
            r"tingl(e[sd]?|y|ing)",
            r"pins (and|n|&|'n'?) needles",
        ),
    ),
    RedFlag(
        "loss of feeling or strength",
        Soon.BEFORE_TRAINING,
        (
            rf"{_NOT_ABLE} feel (my|the) (\w+ )?(hand|finger|arm|leg|foot|feet|toe|thumb|face)s?",
            r"(lost|losing|loss of|no) (all |any )?(feeling|sensation|strength|grip strength) in",
            r"sudden(ly)? (\w+ )?(weak\w*|no strength|lost \w+)",
            r"lost (all )?(my |the )?strength",
            r"(arm|leg|hand|foot) (went|goes|going|gone|is|was) (dead|limp)",
            r"drop foot|foot drop",
        ),
    ),
    RedFlag(
        "night or rest pain with fever or weight loss",
        Soon.BEFORE_TRAINING,
        (
            r"(night|rest) pain",
            r"(pain\w*|hurt\w*|ach\w+)(\W+\w+){0,5}?\W+(at night|all night|at rest|in bed|lying)",
            r"(woke|wakes?|waking|woken)(\W+\w+){0,5}?\W+(pain\w*|hurt\w*|ach\w+)",
            r"(pain\w*|hurt\w*|ach\w+)(\W+\w+){0,5}?\W+(wok\w+|wak\w+)",
        ),
        beside=(
            r"fever\w*",
            r"(high )?temperature",
            r"chills",
            r"night ?sweats?",
            r"weight loss",
            r"(lost|losing|lose|dropped)( \w+){0,2} weight",
        ),
    ),
    RedFlag(
        "a joint that locks, gives way or is deformed",
        Soon.BEFORE_TRAINING,
        (
            r"locks up|lock(ed|ing) up",
            rf"{_JOINT} (just |kept |keeps |is |was )?lock(s|ed|ing)?",
            r"(gives?|gave|giving) way",
            rf"{_JOINT} (just |kept |keeps )?(gave|gives?|giving) out",
            r"buckl(ed|es|ing)",
            r"dislocat\w+",
            r"popped out",
            r"out of (its |the )?(socket|place)",
            r"deform\w+",
            rf"{_JOINT} looks? (bent|crooked|wrong|odd|weird)",
        ),
    ),
    RedFlag(
        _SWOLLEN[0],
        Soon.TODAY,
        (
            rf"{_JOINT}{_NEAR}(hot|swoll?en|swell\w*|swelled|puffy|ballooned)",
            rf"(hot|swoll?en|puffy) (\w+ )?{_JOINT}",
            rf"swelling (in|on|of|around|at) (my |the )?(\w+ )?{_JOINT}",
        ),
    ),
    RedFlag(
        _SWOLLEN[1],
        Soon.TODAY,
        (
            rf"{_LIMB}{_NEAR}(swoll?en|swell\w*|swelled|puffy|ballooned)",
            rf"(swoll?en|puffy) (\w+ )?{_LIMB}",
            rf"swelling (in|on|of|around|at) (my |the )?(\w+ )?{_LIMB}",
        ),
    ),
    RedFlag(_ANYWHERE, Soon.TODAY, (r"swoll?en", r"swelling", r"swelled( up)?")),
    RedFlag(
        "dark urine",
        Soon.TODAY,
        (
            r"(dark|brown|cola|coke|red|tea)[- ]?(colou?red )?(urine|pee|wee|piss)",
            r"(urine|pee|wee)(\W+\w+){0,4}?\W+(dark|brown|red|cola|coke)",
        ),
    ),
    RedFlag(
        "a pop or a fall with pain",
        Soon.BEFORE_TRAINING,
        (
            r"(heard|felt|hear|feel|was|with|something) (a |an )?(\w+ )?"
            r"(pop(ped)?|snap(ped)?|crack(ed)?|tear|tore)",
            r"(fell|fallen|falling) (off|over|down|on|onto|from|out|hard|badly|backwards?)",
            r"(had|took|after|from) (a |the |my )?(\w+ )?fall",
            r"slipped and|tripped|landed (\w+ )?(on|badly|wrong|awkwardly)",
            r"(rolled|twisted) (my |the )?(\w+ )?(ankle|knee)",
        ),
        beside=(_HURTS,),
    ),
    RedFlag(
        "sharp pain",
        Soon.BEFORE_TRAINING,
        (r"sharp(ly)?( \w+)? pains?", r"stabbing", r"shooting pains?", r"pain (is|was|felt) sharp"),
    ),
)
"""In the order in which they are named: what cannot wait first."""

# What a note may deny, as a name of it and as something that happened or not.
_NAME = (
    r"((chest|calf|joint|arm|night|rest|sharp|shooting|stabbing|knee|elbow|shoulder|back|muscle) )?"
    r"(pains?|pressure|tightness|numbness|tingling|swelling|dizziness|fainting|palpitations?|"
    r"breathlessness|shortness of breath|pins (and|n|&) needles|locking|giving way|buckling|"
    r"weakness|stabbing|fever|(loss of|lost) (feeling|strength|sensation)|"
    r"(dark|brown|red) (urine|pee)|(bladder|bowel) (problems?|issues?|changes?|trouble)|"
    r"light-?headedness|blackouts?|headaches?)"
)
_HAPPENED = (
    r"(faint(ed|ing)?|pass(ed)? out|black(ed)? out|collapsed?|dizzy|light-?headed|breathless|"
    r"short of breath|numb|tingl(e|y|ing)|lock(ed|ing)?( up)?|g(i|a)v(e|ing) (way|out)|buckled?|"
    r"dislocated?|swollen|swell(ing)?|sharp pain|stabbing|deformed)"
)
_DENIES = r"(no|without( any)?|w/o|zero|nor|free (of|from))( (any|real|actual|sign of|signs of|hint of|new))?"
# Never read in part: what is said of the last of them is said of all.
_AND_NAMES = rf"(( ?[,/] ?{_NAME})*,? (or|nor|and no) {_NAME}\b)?+"
_DENIED_NAME = (
    rf"(not? (have|had|feel|felt|get|got|notice|any|feeling|having)( any)?|{_DENIES}) "
    rf"{_NAME}{_AND_NAMES}"
)
_DENIED_EVENT = (
    r"(not|never|did ?n'?t|does ?n'?t|was ?n'?t|is ?n'?t|were ?n'?t|are ?n'?t|have ?n'?t|has ?n'?t)"
    rf"( (ever|really|feel|felt|get|got|been|be|go|gone|at all))* {_HAPPENED}"
    rf"( or {_HAPPENED})*"
)
_DENIED_HAVING = (
    r"(did ?n'?t|does ?n'?t|do ?n'?t|have ?n'?t|has ?n'?t|never)"
    r"( (ever|really|have|had|feel|felt|get|got|notice|noticed))+( any| the| a)? "
    rf"{_NAME}{_AND_NAMES}"
)
# Only where the answer ends: "dizziness: no idea why" and "numbness: no better" deny nothing.
_ANSWERED_NO = (
    rf"{_NAME} ?[:?=] ?(no(ne|pe)?|nil|0(/10)?|zero)( (at all|today|whatsoever))?"
    r"(?=[ \t]*($|\n|[.,](?!\d)|[;:!?)]| [-–—] ))"
)
# In the same clause as what is denied, so that "no chest pain, felt so strong" stays a denial.
_COMPARED = (
    rf"(?!((?!\b(and(?! {_NAME})|but|felt|feel\w*)\b)([^.,;:!?\n]|, ?(?=(at least )?not ))){{0,120}}"
    r"\b(like(?! (always|usual|normal))|than|(this|that|so|as) (bad(ly)?|strong(ly)?|much(?! (better|easier|stronger))|severe(ly)?|"
    r"intense(ly)?|sharp|long|often|hard|heavy|painful)|(this|that) (kind|sort|level))\b)"
)
_IN_SPITE = (
    r"(?![^.;!?\n]*\b(until|till|except|apart from|other than|unless|at first|initially|to begin|"
    r"to start|unlike|before|any ?more|this time|last time|in the (start|beginning)|only)\b)"
    rf"{_COMPARED}"
)
_DENIED = re.compile(
    rf"\b(?<!not )({_DENIED_EVENT}|{_DENIED_HAVING}|{_DENIED_NAME}|{_ANSWERED_NO})\b{_IN_SPITE}"
)


def flags_in(note: str) -> tuple[RedFlag, ...]:
    """The groups of warning words that a note holds and does not deny.

    >>> [one.name for one in flags_in("Fingers went numb, no chest pain")]
    ['numbness or tingling']
    >>> flags_in("no numbness, felt strong")
    ()
    """
    words = _DENIED.sub(" ", note.lower().replace("’", "'"))
    found = [one for one in RED_FLAGS if one.is_in(words)]
    return tuple(one for one in found if not _is_said_closer(one, found))


def _is_said_closer(flag: RedFlag, found: Sequence[RedFlag]) -> bool:
    """Whether another group says where it is that something is swollen."""
    return flag.name == _ANYWHERE and any(one.name in _SWOLLEN for one in found)


def caution_of(flags: Sequence[RedFlag]) -> str:
    """What is said to the coach of these groups, each sentence once."""
    return " ".join([CAUTION, *dict.fromkeys(_SAID[one.soon] for one in flags if _SAID[one.soon])])


def find_red_flags(sessions: Sequence[LoggedSession], *, today: date) -> list[Finding]:
    """Warning words in the notes of sessions and sets of the last week.

    Args:
        sessions: Logged sessions, oldest first; sessions of every kind count.
        today: The day of the review.
    """
    since = today - timedelta(days=REVIEW_DAYS.value)
    return [
        found
        for session in sessions
        if since <= session.on <= today
        for found in _of_session(session)
    ]


def _of_session(session: LoggedSession) -> Iterator[Finding]:
    notes = [(session.note, "", "")]
    notes += [(f"{s.note} {s.pain_where}", s.exercise.name, s.exercise.key) for s in session.sets]
    for note, name, key in dict.fromkeys(notes):
        found = red_flag_finding(note, on=session.on, about=f"A note on {name}" if name else "")
        if found is not None:
            yield replace(found, exercise=key)


def red_flag_finding(note: str, *, on: date, about: str = "") -> Finding | None:
    """What to say of warning words in something that a client wrote; none without them.

    Args:
        note: As the client wrote it.
        on: The day it is about.
        about: What it is and of what, as the beginning of a sentence; a note when empty.
    """
    flags = flags_in(note)
    if not flags:
        return None
    names = ", ".join(one.name for one in flags)
    what = f"{about or 'A note'} of {on:%A} {on.day} {on:%b} speaks of {names}."
    return Finding(
        kind=FindingKind.RED_FLAG,
        sentence=f"{what} {caution_of(flags)}",
        evidence=(Evidence("Note", f"“{note.strip()}”"),),
        rule=RULE,
        source_key=SOURCE_KEY,
        since=on,
        could_not_know=COULD_NOT_KNOW,
        question=QUESTION,
    )
