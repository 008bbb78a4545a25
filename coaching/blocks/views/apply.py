"""A template or a block for several clients at once, with a look at what each would get."""

from django.contrib import messages
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, go_to, page_or_part
from clients.queries import clients_of
from coaching.blocks.access import block_of_coach, template_for_coach
from coaching.blocks.block_sources import Source, TemplateSource, block_source, library_of
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.errors import BlockError
from coaching.blocks.forms_templates import ApplyForm
from coaching.blocks.pages_apply import Made, apply_page, make_drafts
from coaching.blocks.views.new_block import next_monday

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
    sent = request.POST if request.method == "POST" else request.GET
    today = timezone.localdate()
    form = ApplyForm(sent or None, clients=clients, today=today)
    chosen: list[int] = []
    starts_on = next_monday(today)
    if form.is_valid():
        chosen, starts_on = form.cleaned_data["clients"], form.cleaned_data["starts_on"]
        if request.method == "POST":
            wanted = [one for one in clients if one.pk in chosen]
            return _made(request, make_drafts(source, wanted, starts_on=starts_on, by=request.user))
    page = apply_page(source, request.user, chosen=chosen, starts_on=starts_on)
    context = {"page": page, "form": form, "today": today, "block_id": back}
    names = ("blocks/apply/page.html", "blocks/apply/_choice.html")
    status = 422 if request.method == "POST" else 200
    return page_or_part(request, *names, context, status=status)


def _made(request: SignedInRequest, made: Made) -> HttpResponse:
    """Say what was made, open the one draft or the list of blocks."""
    for name, why in made.failed:
        messages.error(request, f"No draft for {name}: {why}")
    if made.blocks:
        names = ", ".join(block.client.name for block in made.blocks)
        one = len(made.blocks) == 1
        words = "The draft" if one else f"{len(made.blocks)} drafts"
        verb = "is" if one else "are"
        message = f"{words} for {names} {verb} made. Look through, then publish."
        messages.success(request, message)
    if len(made.blocks) == 1:
        return go_to(request, "blocks:block", made.blocks[0].pk)
    return go_to(request, "blocks:blocks")
