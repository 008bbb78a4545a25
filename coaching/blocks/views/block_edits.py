"""Edits of a block: every one is an act on the working copy, and answers with what changed."""

import json
from collections.abc import Callable

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients.page_or_part import SignedInRequest, wants_part
from coaching.blocks.access import block_of_coach
from coaching.blocks.block_facts import BlockFacts, block_facts
from coaching.blocks.editing.draft_services import (
    DraftEdited,
    Stale,
    discard_changes,
    draft_of,
    edit_block,
    redo_edit,
    undo_edit,
)
from coaching.blocks.editing.places import days_of
from coaching.blocks.editing.sent_acts import done_before
from coaching.blocks.editing.values import reach_of
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.limit_services import override_limit
from coaching.blocks.models import Block
from coaching.blocks.pages_block import block_page
from coaching.blocks.pages_edit import EditAnswer, edit_answer
from coaching.blocks.pages_limits import keep_forms
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.blocks.pages_panels import Panel
from coaching.blocks.panels_asked import panel_refused
from coaching.blocks.views.block import facts_of, to_week, workspace
from coaching.blocks.views.sent import number_in, revision_in, sent_in
from coaching.library.queries import exercises_of

_OF_THE_PAGE = {"csrfmiddlewaretoken", "revision", "shown", "panel", "sent"}


@require_POST
def edit(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Put one act to the working copy."""
    found = block_of_coach(request.user, block_id)
    raw = _act_sent(request)
    return _answered(request, found, _put(request, found, raw))


def _put(
    request: SignedInRequest, found: Block, raw: dict[str, str]
) -> Callable[[int], DraftEdited]:
    """An act as it was sent, to be put to a revision."""
    today = found.client.local_date(timezone.now())
    sent = sent_in(request.POST.get("sent", ""))

    def act(revision: int) -> DraftEdited:
        return edit_block(
            block=found, raw=raw, revision=revision, today=today, by=request.user, sent=sent
        )

    return act


def _act_sent(request: SignedInRequest) -> dict[str, str]:
    """The act's own fields; a remedy has them all in the value of its button."""
    sent = QueryDict(request.POST["remedy"]) if "remedy" in request.POST else request.POST
    return {name: sent[name] for name in sent if name not in _OF_THE_PAGE}


@require_POST
def undo(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Take the last edit back."""
    return _step(request, block_id, undo_edit)


@require_POST
def redo(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Do again what was undone last."""
    return _step(request, block_id, redo_edit)


@require_POST
def let_go(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Go back to the plan that the client sees."""
    return _step(request, block_id, discard_changes)


@require_POST
def override_line(request: SignedInRequest, block_id: int, uid: str) -> HttpResponse:
    """Put in an exercise that a joint limit forbids: by its full name, with the reason."""
    found = block_of_coach(request.user, block_id)
    form = KeepForm(request.POST, auto_id="override_%s")
    if form.is_valid():
        try:
            return _overridden(request, found, uid, form)
        except BlockError as error:
            form.add_error(None, str(error))
    return _not_overridden(request, found, uid, form)


def _not_overridden(
    request: SignedInRequest, found: Block, uid: str, form: KeepForm
) -> HttpResponse:
    """The panel of the exercise with what was wrong; the sentence alone when it is gone."""
    facts = facts_of(request, found)
    try:
        panel = swap_panel(facts, uid, shown_of(request) or 1, override=form)
    except BlockError as gone:
        return _answer_refused(request, facts, None, str(gone))
    return _answer_refused(request, facts, panel, "")


def _overridden(request: SignedInRequest, found: Block, uid: str, form: KeepForm) -> HttpResponse:
    """Record the override and put the exercise in; neither without the other, and both once."""
    name, why = form.cleaned_data["name"], form.cleaned_data["why"]
    row = exercises_of(request.user).filter(name__iexact=name.strip()).first()
    if row is None:
        message = f"“{name}” is no exercise of your library; write its full name."
        raise BlockError(message)
    by, today = request.user, found.client.local_date(timezone.now())
    reach = request.POST.get("reach", "")
    days = days_of(draft_of(found, today).snapshot, uid, reach_of({"reach": reach}))
    raw = {"act": "swap-line", "line": uid, "exercise": str(row.pk), "reach": reach}
    act = _put(request, found, raw)
    if done_before(found, sent_in(request.POST.get("sent", ""))):
        return _answered(request, found, act)
    try:
        with transaction.atomic():
            override_limit(client=found.client, exercise=row, name=name, why=why, days=days, by=by)
            done = act(revision_in(request.POST.get("revision", "")))
    except Stale:
        # What was kept of the act went back with the override: it is kept once more.
        return _answered(request, found, act)
    return _edited(request, found, done)


def _step(
    request: SignedInRequest, block_id: int, step: Callable[..., DraftEdited]
) -> HttpResponse:
    found = block_of_coach(request.user, block_id)
    today, by = found.client.local_date(timezone.now()), request.user
    sent = sent_in(request.POST.get("sent", ""))
    return _answered(
        request,
        found,
        lambda revision: step(block=found, revision=revision, today=today, by=by, sent=sent),
    )


def _answered(
    request: SignedInRequest, found: Block, act: Callable[[int], DraftEdited]
) -> HttpResponse:
    """Act, and answer: with what changed, with a conflict, or with what was wrong."""
    try:
        return _edited(request, found, act(revision_in(request.POST.get("revision", ""))))
    except Stale as stale:
        if stale.kept is None:
            messages.error(request, str(stale))
        answer = workspace(request, facts_of(request, found), shown_of(request), status=422)
        answer.headers["HX-Retarget"], answer.headers["HX-Reswap"] = "#block-workspace", "outerHTML"
        return answer
    except BlockError as error:
        return _refused(request, found, error)


def shown_of(request: SignedInRequest) -> int | None:
    """The week that the coach looks at."""
    return number_in(request.POST.get("shown", request.GET.get("shown", "")))


def _edited(request: SignedInRequest, found: Block, done: DraftEdited) -> HttpResponse:
    shown = shown_of(request)
    if not wants_part(request):
        for sentence in done.edited.skipped:
            messages.info(request, sentence)
        return to_week(request, found.pk, str(shown or ""))
    facts = _facts_after(request, found, done)
    number = min(shown, len(done.draft.snapshot["weeks"])) if shown else None
    page = block_page(facts, number=number)
    told = edit_answer(page, done.before, done.edited)
    if told.whole:
        answer = workspace(request, facts, number)
        answer.headers["HX-Retarget"], answer.headers["HX-Reswap"] = "#block-workspace", "outerHTML"
    else:
        context = {"page": page, "answer": told, "limited": keep_forms(page.limited)}
        answer = render(request, "blocks/block/_edited.html", {**context, "out_of_band": True})
    answer.headers["HX-Trigger-After-Settle"] = _told(told)
    return answer


def _facts_after(request: SignedInRequest, found: Block, done: DraftEdited) -> BlockFacts:
    """What is known of a block after an edit, with what the edit has read already."""
    return block_facts(
        found,
        coach=request.user,
        today=found.client.local_date(timezone.now()),
        draft=done.draft,
        before=done.before,
        exercises=done.exercises,
        joints=done.joints,
        remedies_later=True,
    )


def _told(answer: EditAnswer) -> str:
    """What the page's script says and where it puts the focus."""
    said = {"focus": answer.focus, "says": " ".join([f"{answer.says}.", *answer.skipped])}
    also = {"skipped": list(answer.skipped), "whole": answer.whole}
    return json.dumps({"block:edited": {**said, **also}})


def _refused(request: SignedInRequest, found: Block, error: BlockError) -> HttpResponse:
    """The panel again with what was typed, where the act came from one; else the sentence."""
    facts = facts_of(request, found)
    shown = shown_of(request)
    panel = None
    try:
        kind = request.POST.get("panel", "")
        panel = panel_refused(facts, request.POST, kind, shown or 1, error)
    except BlockError as gone:
        error = gone
    return _answer_refused(request, facts, panel, str(error))


def _answer_refused(
    request: SignedInRequest, facts: BlockFacts, panel: Panel | None, sentence: str
) -> HttpResponse:
    """A panel with what was wrong with it, or without one the sentence."""
    if panel is None:
        messages.error(request, sentence)
    if not wants_part(request):
        return workspace(request, facts, shown_of(request), panel=panel, status=422)
    if panel is None:
        answer = HttpResponse(status=422)
        answer.headers["HX-Reswap"] = "none"
        return answer
    return _panel_again(request, panel)


def _panel_again(request: SignedInRequest, panel: Panel) -> HttpResponse:
    answer = render(request, panel.template, {"panel": panel}, status=422)
    answer.headers["HX-Retarget"], answer.headers["HX-Reswap"] = "[data-panel]", "outerHTML"
    return answer
