"""A new block for a client, copied from a template."""

from datetime import date

from django.contrib import messages
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from clients.access import client_of_coach
from clients.models import Client
from clients.page_or_part import SignedInRequest, go_to, page_or_part
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import NewBlockForm
from coaching.blocks.pages_new_block import new_block_page
from coaching.blocks.queries import templates_for
from coaching.blocks.services import create_block_from_template
from coaching.blocks.views.sent import number_in


@require_http_methods(["GET", "HEAD", "POST"])
def new_block(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Choose a template, look at week 1, make the block."""
    client = client_of_coach(request.user, client_id)
    today = client.local_date(timezone.now())
    if request.method != "POST":
        asked = NewBlockForm(request.GET or None, today=today, is_look=True)
        return _show(request, client, asked, today)
    form = NewBlockForm(request.POST, today=today)
    if not form.is_valid():
        return _show(request, client, form, today, status=422)
    template = templates_for(request.user).filter(pk=form.cleaned_data["template"]).first()
    starts_on = form.cleaned_data["starts_on"]
    if template is None:
        form.add_error(None, "Template: choose one of the list.")
        return _show(request, client, form, today, status=422)
    try:
        block = create_block_from_template(
            client=client, template=template, starts_on=starts_on, by=request.user, adapt=True
        )
    except BlockError as error:
        form.add_error(None, str(error))
        return _show(request, client, form, today, status=422)
    messages.success(request, "The draft is made. Look it through, then publish it.")
    return go_to(request, "blocks:block", block.pk)


def _show(
    request: SignedInRequest, client: Client, form: NewBlockForm, today: date, *, status: int = 200
) -> HttpResponse:
    data = form.cleaned_data if form.is_bound and form.is_valid() else {}
    raw = form.data.get("template", "")
    page = new_block_page(
        client,
        request.user,
        template_id=number_in(raw),
        starts_on=data.get("starts_on"),
        today=today,
    )
    context = {"page": page, "form": form, "today": today}
    part = "blocks/new_block/_choice.html"
    return page_or_part(request, "blocks/new_block/page.html", part, context, status=status)
