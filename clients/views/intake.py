"""A new client, and the sections of the intake that are filled in and saved one by one."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.access import client_of_coach, coach_or_404
from clients.errors import AccountError
from clients.forms.equipment import EquipmentForm
from clients.forms.person import NewPersonForm, time_zones
from clients.intake_services import add_client as add
from clients.intake_services import record_screening, update_client, weigh_client
from clients.models import Client, User
from clients.page_or_part import SignedInRequest
from clients.pages import person_form, screening_form
from clients.queries import equipment_of, usual_time_zone
from clients.services import set_equipment
from clients.views.intake_answers import answer, refused, saved


@require_http_methods(["GET", "HEAD", "POST"])
def add_client(request: SignedInRequest) -> HttpResponse:
    """Put somebody on the roster, and go on with the rest of the intake."""
    coach = coach_or_404(request.user)
    zone = usual_time_zone(coach)
    form = NewPersonForm(
        request.POST if request.method == "POST" else None,
        initial={"time_zone": zone or "UTC"},
        today=timezone.localdate(),
    )
    if form.is_valid() and (client := _new_client(coach, form)):
        messages.success(request, f"{client.name} is on your roster.")
        return redirect("clients:intake", client.pk)
    context = {"form": form, "time_zones": time_zones(), "guess_zone": not zone}
    status = 422 if form.is_bound else 200
    return render(request, "clients/add_client/page.html", context, status=status)


def _new_client(coach: User, form: NewPersonForm) -> Client | None:
    try:
        return add(
            coach=coach,
            now=timezone.now(),
            email=form.cleaned_data["email"],
            body_weight=form.body_weight(),
            **form.person(),
        )
    except AccountError as error:
        form.add_error("email", str(error))
        return None


@require_safe
def intake(request: SignedInRequest, client_id: int) -> HttpResponse:
    """What the coach must know of a client before planning."""
    return answer(request, client_of_coach(request.user, client_id), "person")


@require_POST
def save_person(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Keep name, level, time zone, body and minutes."""
    client = client_of_coach(request.user, client_id)
    now = timezone.now()
    form = person_form(client, client.local_date(now), request.POST)
    if not form.is_valid():
        return refused(request, client, "person", form)
    update_client(client=client, **form.person())
    weigh_client(client=client, on=client.local_date(now), kg=form.body_weight())
    return saved(request, client, "person", "The person is saved.")


@require_POST
def save_screening(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Keep the answers of the health screen."""
    client = client_of_coach(request.user, client_id)
    today = client.local_date(timezone.now())
    form = screening_form(client, today, request.POST)
    if not form.is_valid():
        return refused(request, client, "screening", form)
    record_screening(
        client=client,
        answers=form.answers(),
        on=today,
        note=form.cleaned_data["note"],
        cleared_on=form.cleaned_data["cleared_on"],
    )
    return saved(request, client, "screening", "The health screen is saved.")


@require_POST
def save_equipment(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Keep what the client can train with."""
    client = client_of_coach(request.user, client_id)
    form = EquipmentForm(request.POST, owned=equipment_of(client))
    if not form.is_valid():
        return refused(request, client, "equipment", form)
    set_equipment(client=client, items=form.items())
    return saved(request, client, "equipment", "The equipment is saved.")
