"""The next block of a client: look, choose line by line, make the draft."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods
from django_htmx.http import replace_url

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest, page_or_part
from sessions.errors import ReviewError
from sessions.next_block_services import make_next_block
from sessions.pages_next_block import NextBlockPage, next_block_page

PAGE, PART = "sessions/next_block/page.html", "sessions/next_block/_part.html"


@require_http_methods(["GET", "HEAD", "POST"])
def next_block(request: SignedInRequest, client_id: int) -> HttpResponse:
    """What the next block would be, for what the coach asks; a post makes its draft."""
    client = client_of_coach(request.user, client_id)
    sent = request.POST if request.method == "POST" else request.GET
    page = next_block_page(client, sent.dict(), client.local_date(timezone.now()))
    if request.method != "POST":
        return show(request, page)
    if page.reading is None or page.first is None or not (page.form and page.form.is_valid()):
        return show(request, page, status=422)
    try:
        block = make_next_block(
            reading=page.reading,
            choices=page.choices,
            first=page.first,
            weeks=page.weeks,
            begins_light=page.begins_light,
        )
    except ReviewError as error:
        messages.error(request, str(error))
        return show(request, page, status=422)
    messages.success(
        request, f"Block {block.number} is a draft: {page.preview.counts if page.preview else ''}."
    )
    return redirect("blocks:block", block.pk)


def show(request: SignedInRequest, page: NextBlockPage, status: int = 200) -> HttpResponse:
    """The page, or its part with an address that leads back to the same choices."""
    wrong = page.form is not None and not page.form.is_valid()
    answer = page_or_part(request, PAGE, PART, {"page": page}, status=422 if wrong else status)
    if request.method == "GET" and not wrong and request.GET:
        asked = {name: value for name, value in request.GET.items() if value}
        address = reverse("sessions:next-block", args=[page.client.pk])
        return replace_url(answer, f"{address}?{urlencode(asked)}")
    return answer
