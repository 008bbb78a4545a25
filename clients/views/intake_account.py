"""How a client signs in, and leaving the practice."""

from django.contrib import messages
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from django.views.decorators.http import require_POST

from clients.access import client_of_coach
from clients.account_services import change_client_address
from clients.errors import AccountError
from clients.forms.accounts import ClientAddressForm
from clients.intake_services import archive_client as archive
from clients.intake_services import restore_client as restore
from clients.link_address import opens_here_only, phone_address, qr_code
from clients.page_or_part import SignedInRequest, go_to
from clients.pages import LinkShown
from clients.services import give_account, make_sign_in_link
from clients.views.intake_answers import answer, refused, saved


@require_POST
def save_address(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Give the client an account, or change the address it goes by."""
    client = client_of_coach(request.user, client_id)
    write = change_client_address if client.user_id else give_account
    form = ClientAddressForm(request.POST)
    if form.is_valid():
        try:
            write(client=client, email=form.cleaned_data["email"])
        except AccountError as error:
            form.add_error("email", str(error))
    if form.errors:
        return refused(request, client, "account", form)
    return saved(request, client, "account", "The account is saved.")


@require_POST
def make_link(request: SignedInRequest, client_id: int) -> HttpResponse:
    """A new sign-in link, readable in this answer only; older ones stop working."""
    client = client_of_coach(request.user, client_id)
    if client.user is None or client.archived_at is not None:
        messages.error(request, f"{client.name} has no open account to make a link for.")
        return answer(request, client, "account", status=422)
    token = make_sign_in_link(user=client.user)
    address = phone_address(request, reverse("clients:link", args=[token]))
    shown = LinkShown(address, qr_code(address), opens_here_only(address))
    response = answer(request, client, "account", link=shown)
    add_never_cache_headers(response)
    return response


@require_POST
def archive_client(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The client left the practice."""
    client = client_of_coach(request.user, client_id)
    archive(client=client, now=timezone.now())
    messages.success(request, f"{client.name} left the practice; everything is kept.")
    return go_to(request, "clients:intake", client.pk)


@require_POST
def restore_client(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The client is back."""
    client = client_of_coach(request.user, client_id)
    restore(client=client)
    messages.success(request, f"{client.name} is back on your roster.")
    return go_to(request, "clients:intake", client.pk)
