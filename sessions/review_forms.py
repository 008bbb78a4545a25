"""What a coach sends from the review page: notes, and targets set by set."""

from collections.abc import Collection
from datetime import date

from django import forms
from django.http import QueryDict

from coaching.blocks.editing.notation import checked_targets
from coaching.blocks.errors import BlockError
from coaching.rules.plan import LoadKind
from sessions.decided import Kept, is_open
from sessions.entries import MOMENTS
from sessions.errors import ReviewError
from sessions.exercise_choices import Act, ExerciseChoices
from sessions.next_targets import Proposal, with_targets
from sessions.review_words import before_words
from sessions.word_forms import nothing_is_open

MOST_KG = 1000

CHANGED = "The log or the plan changed since you opened this; look again before accepting."
GONE = "Something you ticked is decided by now or no longer to come; look again before accepting."


class NotesForm(forms.Form):
    """The word to the client, and the coach's own note."""

    note_to_client = forms.CharField(
        required=False,
        max_length=2000,
        label="Note to the client",
        validators=[nothing_is_open],
        help_text="Shown on the client's page of today.",
        widget=forms.Textarea(
            attrs={"rows": 3, "data-key": "m", "data-key-says": "Note to the client"}
        ),
    )
    private_note = forms.CharField(
        required=False,
        max_length=2000,
        label="Private note",
        help_text="For you only.",
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    # When the newest word of the client was received that the page showed.
    read_until = forms.DateTimeField(
        required=False, widget=forms.HiddenInput, input_formats=MOMENTS
    )


class TargetsError(Exception):
    """Some targets cannot be planned; ``errors`` says why and how to mend it, by proposal."""

    def __init__(self, errors: dict[str, str]) -> None:
        super().__init__("; ".join(errors.values()))
        self.errors = errors


def chosen_proposals(
    data: QueryDict, choices: ExerciseChoices | None, kept: Kept
) -> list[Proposal]:
    """What the coach ticked, with the act and the numbers as sent.

    Raises TargetsError when an act or a number cannot be planned, when the plan or the rung that
    was shown is no longer that of now, or when what was ticked is not to be decided any more.
    """
    rows = choices.rows if choices else {}
    open_ = {key: one for key, one in rows.items() if is_open(one, kept)}
    wanted = dict.fromkeys(data.getlist("take"))
    chosen, errors = [], {key: GONE for key in wanted if key not in open_}
    for key, proposal in open_.items():
        if choices is None or key not in wanted:
            continue
        try:
            chosen.append(_as_sent(data, proposal, choices))
        except (ValueError, BlockError) as error:
            errors[key] = str(error)
    if errors:
        raise TargetsError(errors)
    return chosen


def _as_sent(data: QueryDict, proposal: Proposal, choices: ExerciseChoices) -> Proposal:
    key, act = proposal.key, data.get(f"act-{proposal.key}", "")
    if data.get(f"planned-{key}") != before_words(proposal):
        raise ValueError(CHANGED)
    one = _act_sent(data, proposal, choices, act) if act else proposal
    if act != Act.SWAP and data.get(f"rung-{key}", "") != one.rung and not _is_plain(data, key):
        raise ValueError(CHANGED)
    targets = _read_targets(data.get(f"targets-{key}", ""), one)
    load = _read_load(data.get(f"load-{key}"), one)
    if _is_plain(data, key) and data.get(f"was-{key}") == data.get(f"targets-{key}"):
        # Without scripts the numbers do not follow the act: those of the act hold.
        return one
    return with_targets(one, targets, load)


def _is_plain(data: QueryDict, key: str) -> bool:
    """Whether the numbers that were shown are those of another act than the one sent."""
    return data.get(f"shown-{key}", data.get(f"act-{key}")) != data.get(f"act-{key}")


def _act_sent(data: QueryDict, proposal: Proposal, choices: ExerciseChoices, act: str) -> Proposal:
    if act == Act.SWAP:
        wanted = data.get(f"swap-{proposal.key}", "")
        offers = {str(one.proposal.swap_to): one.proposal for one in choices.swaps(proposal)}
        if wanted not in offers:
            message = "This exercise can no longer take the place; choose another."
            raise ValueError(message)
        return offers[wanted]
    steps = {step.value: one for step, one in choices.steps(proposal).items()}
    if act not in steps:
        message = f"“{act}” cannot be chosen here now; look again."
        raise ValueError(message)
    return steps[act]


def day_sent(data: QueryDict, days: Collection[date]) -> date | None:
    """The session from which on a decision holds; none for the next one.

    Raises ReviewError when no such session is to come.
    """
    text = data.get("since", "")
    if not text:
        return None
    found = next((day for day in days if day.isoformat() == text), None)
    if found is None:
        message = "That session is begun or gone; choose another day to start from."
        raise ReviewError(message)
    return found


def _read_targets(text: str, proposal: Proposal) -> tuple[int, ...]:
    goal = proposal.to or proposal.exercise
    sets = len(proposal.target.targets)
    return tuple(checked_targets(text, measure=goal.measure, sets=sets))


def _read_load(text: str | None, proposal: Proposal) -> float:
    goal = proposal.to or proposal.exercise
    if text is None or goal.load_kind is LoadKind.NONE:
        return proposal.target.load
    try:
        load = float(text.replace(",", "."))
    except ValueError:
        load = -1
    if not 0 <= load <= MOST_KG:
        message = f"Load: “{text}” is not between 0 and {MOST_KG} kg."
        raise ValueError(message)
    return round(load, 2)
