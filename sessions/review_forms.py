"""What a coach sends from the review page: notes, and targets set by set."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from coaching.blocks.errors import BlockError
from coaching.blocks.prescription_services import check_prescription
from sessions.entries import MOMENTS
from sessions.week_reading import Proposal, with_targets

MOST_KG = 1000


class NotesForm(forms.Form):
    """The word to the client, and the coach's own note."""

    note_to_client = forms.CharField(
        required=False,
        max_length=2000,
        label="Note to the client",
        help_text="Shown on the client's page of today.",
        widget=forms.Textarea(attrs={"rows": 3}),
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


def chosen_proposals(data: QueryDict, proposals: Sequence[Proposal]) -> list[Proposal]:
    """The proposals the coach ticked, with the numbers as sent.

    Raises TargetsError when a number cannot be planned, or when a rung that was shown is
    no longer what the log says.
    """
    wanted = set(data.getlist("take"))
    chosen, errors = [], {}
    for proposal in proposals:
        if proposal.key not in wanted:
            continue
        try:
            chosen.append(_as_sent(data, proposal))
        except (ValueError, BlockError) as error:
            errors[proposal.key] = str(error)
    if errors:
        raise TargetsError(errors)
    return chosen


def _as_sent(data: QueryDict, proposal: Proposal) -> Proposal:
    if data.get(f"rung-{proposal.key}", "") != proposal.rung:
        message = "The log changed since you opened this; look again before accepting."
        raise ValueError(message)
    targets = read_targets(data.get(f"targets-{proposal.key}", ""))
    load = _read_load(data.get(f"load-{proposal.key}"), proposal)
    return with_targets(proposal, targets, load)


def read_targets(text: str) -> tuple[int, ...]:
    """Targets as coaches write them: 8-7-7-7-7, or 5x7 for the same in every set.

    >>> read_targets("8-7-7"), read_targets("3 × 8")
    ((8, 7, 7), (8, 8, 8))
    """
    plain = text.strip().lower().replace("×", "x")
    try:
        if "x" in plain:
            sets, _, amount = plain.partition("x")
            targets = (int(amount),) * min(int(sets), 99)
        else:
            targets = tuple(
                int(n) for n in plain.replace(",", "-").replace(" ", "-").split("-") if n
            )
    except ValueError:
        message = f"“{text}” are no targets; write one number a set, such as 8-7-7-7-7."
        raise ValueError(message) from None
    fields: dict[str, Any] = {"targets": targets}
    check_prescription(fields)
    return targets


def _read_load(text: str | None, proposal: Proposal) -> float:
    if text is None:
        return proposal.target.load
    try:
        load = float(text.replace(",", "."))
    except ValueError:
        load = -1
    if not 0 <= load <= MOST_KG:
        message = f"Load: “{text}” is not between 0 and {MOST_KG} kg."
        raise ValueError(message)
    return round(load, 2)
