"""A template or a block for several clients at once, with a look at what each would get."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.views.decorators.http import require_http_methods

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, go_to, page_or_part
from clients.queries import clients_of
from coaching.blocks.access import block_of_coach, template_for_coach
from coaching.blocks.block_sources import Source, TemplateSource, block_source, library_of
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.errors import BlockError
from coaching.blocks.forms_templates import ApplyForm
from coaching.blocks.models import Block
from coaching.blocks.pages_apply import Asked, apply_page, make_drafts
from coaching.blocks.planned_days import next_monday

may_look_or_make = require_http_methods(["GET", "HEAD", "POST"])


@may_look_or_make
def apply_template(request: SignedInRequest, template_id: int) -> HttpResponse:
    """Look at a template for several clients; make a draft for each."""
    coach = coach_or_404(request.user)
    return _look_or_make(request, TemplateSource(template_for_coach(coach, template_id)))


@may_look_or_make
def copy_block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Look at a block for this or other clients; make a draft for each."""
    block = block_of_coach(request.user, block_id)
    today = block.client.local_date(timezone.now())
    try:
        snapshot = draft_of(block, today).snapshot
        source = block_source(block, snapshot, library_of(request.user))
    except BlockError as error:
        messages.error(request, str(error))
        return go_to(request, "blocks:block", block.pk)
    return _look_or_make(request, source, back=block.pk)


def _look_or_make(request: SignedInRequest, source: Source, *, back: int = 0) -> HttpResponse:
    clients = list(clients_of(request.user))
    is_post = request.method == "POST"
    sent = request.POST if is_post else request.GET
    today = timezone.localdate()
    form = ApplyForm(sent or None, clients=clients, today=today)
    asked, earliest = Asked(), next_monday(today)
    is_look = not is_post or "look" in request.POST
    if form.is_valid():
        asked = _asked(form, is_first=not is_post, is_look=is_look)
        earliest = form.cleaned_data["starts_on"] or earliest
    page = apply_page(source, request.user, asked=asked, earliest=earliest)
    if not is_look and page.is_possible:
        try:
            return _made(request, make_drafts(source, page.ticked, by=request.user))
        except BlockError as error:
            form.add_error(None, str(error))
    context = {"page": page, "form": form, "today": today, "block_id": back, "is_look": is_look}
    names = ("blocks/apply/page.html", "blocks/apply/_choice.html")
    return page_or_part(request, *names, context, status=200 if is_look else 422)


def _asked(form: ApplyForm, *, is_first: bool, is_look: bool) -> Asked:
    """Whose look is asked, and who is ticked; at the first look everybody is who can have it."""
    data = form.cleaned_data
    return Asked(
        shown=data["shown"] or data["clients"],
        ticked=None if is_first else data["clients"],
        days=form.days,
        faults=form.faults,
        held=data["held"],
        is_look=is_look,
        looked=form.looked,
    )


def _made(request: SignedInRequest, blocks: Sequence[Block]) -> HttpResponse:
    """Say what was made, open the one draft or the list of blocks."""
    names = [block.client.name for block in blocks]
    if len(blocks) == 1:
        words = f"The draft for {names[0]} is made. Look through, then publish."
        messages.success(request, words)
        return go_to(request, "blocks:block", blocks[0].pk)
    new = ",".join(str(block.pk) for block in blocks)
    there = f"{reverse('blocks:blocks')}?new={new}#drafts"
    told = ", ".join(names[:_MOST_NAMED])
    if names[_MOST_NAMED:]:
        told = f"{told} and {len(names) - _MOST_NAMED} more"
    words = "{} drafts for {} are made. <a href='{}'>They are marked as new</a>: look through, then publish."
    messages.success(request, format_html(words, len(blocks), told, there))
    return go_to(request, there)


_MOST_NAMED = 3
"""A message that names more of them would cover the page."""
