"""The block's page, and what a coach does with a block as a whole."""

from contextlib import suppress
from datetime import date

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from clients.page_or_part import SignedInRequest, go_to, page_or_part
from coaching.blocks import services
from coaching.blocks.access import block_of_coach
from coaching.blocks.block_facts import BlockFacts, block_facts
from coaching.blocks.editing.draft_services import Stale, draft_of, plan_before, publish_changes
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.logged_pain import notes_of
from coaching.blocks.models import Block
from coaching.blocks.pages_block import block_page, signed_in_ever
from coaching.blocks.pages_limits import keep_forms
from coaching.blocks.pages_panels import Panel
from coaching.blocks.panels_asked import panel_asked
from coaching.blocks.views.sent import number_in, numbers_in, revision_in

NOT_YET = "will see it once signed in"


@require_safe
def block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """The whole block, one week at a time, with what it does; everything is changed in its place."""
    found = block_of_coach(request.user, block_id)
    if came_from := request.GET.get("review"):
        remember_review(request, found, came_from)
    number = number_in(request.GET.get("week", ""))
    facts = facts_of(request, found)
    panel = None
    with suppress(BlockError):
        panel = panel_asked(facts, request.GET, number)
    return workspace(request, facts, number, panel=panel)


@require_safe
def findings(request: SignedInRequest, block_id: int) -> HttpResponse:
    """What is found after an edit, with what settles it; nothing when the plan has moved on."""
    found = block_of_coach(request.user, block_id)
    today = found.client.local_date(timezone.now())
    draft = draft_of(found, today)
    if number_in(request.GET.get("revision", "")) != draft.revision:
        return HttpResponse(status=204)
    before = plan_before(found, draft.revision)
    facts = block_facts(found, coach=request.user, today=today, draft=draft, before=before)
    page = block_page(facts, number=number_in(request.GET.get("shown", "")))
    context = {"page": page, "effects": page.effects}
    return render(request, "blocks/block/_effects_findings.html", context)


@require_safe
def pains(request: SignedInRequest, block_id: int) -> HttpResponse:
    """What hurt lately and the plan loads again, as the plan is after an edit."""
    found = block_of_coach(request.user, block_id)
    draft = draft_of(found, found.client.local_date(timezone.now()))
    context = {"block": found, "pains": notes_of(found.client, draft)}
    return render(request, "blocks/block/_pains.html", context)


def remember_review(request: SignedInRequest, found: Block, week: str) -> None:
    """Keep which week's review the coach came from, to lead back there after every change."""
    with suppress(ValueError):
        request.session["review_of_block"] = [found.pk, date.fromisoformat(week).isoformat()]


def facts_of(request: SignedInRequest, found: Block) -> BlockFacts:
    """The working copy of a block with what is known of its client."""
    today = found.client.local_date(timezone.now())
    return block_facts(found, coach=request.user, today=today, draft=draft_of(found, today))


def workspace(
    request: SignedInRequest,
    facts: BlockFacts,
    number: int | None,
    *,
    panel: Panel | None = None,
    refused: KeepForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """The week with what it does; ``refused`` is a form about an exercise that was not right."""
    page = block_page(facts, number=number, panel=panel)
    came_from, review = request.session.get("review_of_block", (None, ""))
    context = {
        "page": page,
        "limited": keep_forms(page.limited, refused),
        "review_week": review if came_from == facts.block.pk else "",
    }
    templates = ("blocks/block/page.html", "blocks/block/_workspace.html")
    return page_or_part(request, *templates, context, status=422 if refused else status)


@require_POST
def publish_block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Let the client see the block as it is edited."""
    found = block_of_coach(request.user, block_id)
    today = found.client.local_date(timezone.now())
    why = request.POST.get("why", "")
    try:
        revision = revision_in(request.POST.get("revision", ""))
        waiting = numbers_in(request.POST["waiting"]) if "waiting" in request.POST else None
        publish_changes(
            block=found,
            by=request.user,
            today=today,
            why=why,
            revision=revision,
            waiting=waiting,
        )
        sees = "sees it on the phone now" if signed_in_ever(found.client) else NOT_YET
        messages.success(request, f"Published. {found.client.name} {sees}.")
    except (Stale, BlockError) as error:
        messages.error(request, str(error))
    return to_week(request, found.pk, request.POST.get("shown", ""))


def to_week(request: SignedInRequest, block_id: int, shown: str) -> HttpResponse:
    """Lead back to the week that was shown, to where it says who sees what."""
    week = f"?week={shown}" if number_in(shown) else ""
    return go_to(request, f"{reverse('blocks:block', args=[block_id])}{week}#block-strip")


@require_POST
def discard_draft(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Throw a draft away."""
    found = block_of_coach(request.user, block_id)
    try:
        services.discard_draft(block=found)
    except BlockError as error:
        messages.error(request, str(error))
        return go_to(request, "blocks:block", block_id)
    messages.success(request, f"The draft for {found.client.name} is discarded.")
    return go_to(request, "blocks:blocks")
