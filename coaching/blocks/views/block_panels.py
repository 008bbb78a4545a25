"""What opens in its place on the block's page: one exercise, what may stand there, a session, a week."""

from collections.abc import Callable

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clients.page_or_part import SignedInRequest, wants_part
from coaching.blocks.access import block_of_coach
from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.errors import BlockError
from coaching.blocks.pages_block_weeks import chosen_number
from coaching.blocks.pages_panel_add import add_panel
from coaching.blocks.pages_panel_line import line_panel
from coaching.blocks.pages_panel_place import new_session_panel, session_panel, week_panel
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.blocks.pages_panels import Panel
from coaching.blocks.views.block import facts_of, workspace
from coaching.blocks.views.block_edits import shown_of


@require_safe
def edit_line(request: SignedInRequest, block_id: int, uid: str) -> HttpResponse:
    """One exercise in one week: its values, and every other act on it."""
    return _panel(request, block_id, lambda facts, shown: line_panel(facts, uid, shown))


@require_safe
def swap_line(request: SignedInRequest, block_id: int, uid: str) -> HttpResponse:
    """What may stand in the place of an exercise, best first, with the reasons."""
    return _panel(request, block_id, lambda facts, shown: swap_panel(facts, uid, shown))


@require_safe
def add_line(request: SignedInRequest, block_id: int, uid: str) -> HttpResponse:
    """Exercises to add to a session."""
    return _panel(request, block_id, lambda facts, shown: add_panel(facts, uid, shown, request.GET))


@require_safe
def edit_session(request: SignedInRequest, block_id: int, uid: str) -> HttpResponse:
    """A session as a whole."""
    return _panel(request, block_id, lambda facts, shown: session_panel(facts, uid, shown))


@require_safe
def edit_week(request: SignedInRequest, block_id: int, starts_on: str) -> HttpResponse:
    """A week as a whole."""
    return _panel(request, block_id, lambda facts, shown: week_panel(facts, starts_on, shown))


@require_safe
def add_session(request: SignedInRequest, block_id: int, starts_on: str) -> HttpResponse:
    """A session to be added to a week."""
    return _panel(
        request, block_id, lambda facts, shown: new_session_panel(facts, starts_on, shown)
    )


def _panel(
    request: SignedInRequest, block_id: int, made: Callable[[BlockFacts, int], Panel]
) -> HttpResponse:
    """The panel as a part, or the page with it open."""
    facts = facts_of(request, block_of_coach(request.user, block_id))
    shown = chosen_number(facts.draft.snapshot, shown_of(request), facts.today)
    try:
        panel = made(facts, shown)
    except BlockError as error:
        raise Http404(str(error)) from error
    if wants_part(request):
        return render(request, panel.template, {"panel": panel})
    return workspace(request, facts, shown, panel=panel)
