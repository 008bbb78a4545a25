"""How the intake answers: the section that was saved, or the whole page."""

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from clients.forms.person import time_zones
from clients.models import Client
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from clients.pages import LinkShown, intake_page


def answer(
    request: SignedInRequest,
    client: Client,
    section: str,
    *,
    status: int = 200,
    form: Form | None = None,
    link: LinkShown | None = None,
) -> HttpResponse:
    """The section with how all sections stand, or the whole page without HTMX."""
    forms = {section: form} if form else {}
    page = intake_page(client, timezone.now(), link=link, **forms)
    response = page_or_part(
        request,
        "clients/intake/page.html",
        f"clients/intake/_{section}.html",
        {"page": page, "time_zones": time_zones()},
        status=status,
    )
    if wants_part(request):
        context = {"page": page, "out_of_band": True}
        response.write(render_to_string("clients/intake/_steps.html", context, request))
    return response


def refused(request: SignedInRequest, client: Client, section: str, form: Form) -> HttpResponse:
    """The section with what has to be corrected; nothing was written."""
    client.refresh_from_db()
    return answer(request, client, section, status=422, form=form)


def saved(request: SignedInRequest, client: Client, section: str, message: str) -> HttpResponse:
    """The section as it stands now, with a message."""
    messages.success(request, message)
    if wants_part(request):
        return answer(request, client, section)
    return redirect(f"{reverse('clients:intake', args=[client.pk])}#intake-{section}")
