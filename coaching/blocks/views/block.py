"""The block's page and what a coach does on it."""

from datetime import date
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.page_or_part import SignedInRequest, go_to, page_or_part, wants_part
from coaching.blocks import prescription_services, services
from coaching.blocks.access import block_of_coach, prescription_of_coach, version_of_coach
from coaching.blocks.effects import WeekEffects
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import PrescriptionForm, SwapForm
from coaching.blocks.models import Block, Prescription
from coaching.blocks.pages_block import block_page, week_effects_now
from coaching.blocks.pages_prescription import PrescriptionPage, prescription_page


@require_safe
def block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """The plan of a block, one week at a time, with what it does."""
    found = block_of_coach(request.user, block_id)
    week = request.GET.get("week", "")
    return _workspace(request, found, int(week) if week.isdigit() else None)


def _workspace(
    request: SignedInRequest, found: Block, number: int | None, before: WeekEffects | None = None
) -> HttpResponse:
    today = found.client.local_date(timezone.now())
    context = {"page": block_page(found, number=number, today=today, before=before)}
    return page_or_part(request, "blocks/block/page.html", "blocks/block/_workspace.html", context)


def _after(
    request: SignedInRequest, found: Block, number: int, before: WeekEffects | None = None
) -> HttpResponse:
    """Show the week again after an act: the workspace to HTMX, the page otherwise."""
    if wants_part(request):
        return _workspace(request, found, number, before)
    answer = go_to(request, "blocks:block", found.pk)
    answer.headers["Location"] += f"?week={number}"
    return answer


@require_POST
def publish_block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Let the client see the block."""
    found = block_of_coach(request.user, block_id)
    try:
        services.publish_block(block=found, by=request.user)
        messages.success(request, f"Published. {found.client.name} sees it on the phone now.")
    except BlockError as error:
        messages.error(request, str(error))
    return go_to(request, "blocks:block", found.pk)


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


@require_http_methods(["GET", "HEAD", "POST"])
def change_prescription(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Edit one prescription: targets, load, tempo, rest, reserve."""
    row = prescription_of_coach(request.user, uid)
    page = prescription_page(request.user, row)
    if request.method != "POST":
        return _editor(request, page, PrescriptionForm(initial=_values(row), loads=page.loads))
    form = PrescriptionForm(request.POST, loads=page.loads)
    found, before, today = _edit_context(row)
    if form.is_valid():
        try:
            prescription_services.change_prescription(
                prescription=row,
                fields=form.fields_changed(),
                onward=form.cleaned_data["onward"],
                today=today,
                by=request.user,
            )
            return _after(request, found, page.week, before)
        except BlockError as error:
            form.add_error(None, str(error))
    return _editor(request, page, form, status=422)


@require_POST
def swap_exercise(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Put another exercise in the place of one."""
    row = prescription_of_coach(request.user, uid)
    form = SwapForm(request.POST)
    found, before, today = _edit_context(row)
    number = row.pair.planned_session.week.number
    options = {swap.pk for swap in prescription_page(request.user, row).swaps}
    if not form.is_valid() or form.cleaned_data["exercise"] not in options:
        messages.error(request, "Exercise: choose one of those that equipment and joints allow.")
        return _after(request, found, number)
    try:
        prescription_services.swap_exercise(
            prescription=row,
            to_id=form.cleaned_data["exercise"],
            onward=form.cleaned_data["onward"],
            today=today,
            by=request.user,
        )
    except BlockError as error:
        messages.error(request, str(error))
    return _after(request, found, number, before)


@require_POST
def undo_version(request: SignedInRequest, version_id: int) -> HttpResponse:
    """Go back to the plan before the newest change."""
    version = version_of_coach(request.user, version_id)
    found = version.block
    today = found.client.local_date(timezone.now())
    try:
        services.undo_version(version=version, today=today, by=request.user)
        messages.success(request, f"Undone: {version.what}.")
    except BlockError as error:
        messages.error(request, str(error))
    week = request.POST.get("week", "")
    return _after(request, found, int(week) if week.isdigit() else 1)


def _edit_context(row: Prescription) -> tuple[Block, WeekEffects, date]:
    session = row.pair.planned_session
    found = session.week.block
    today = found.client.local_date(timezone.now())
    return found, week_effects_now(found, session.week.number, today), today


def _values(row: Prescription) -> dict[str, object]:
    return {
        "targets": "-".join(str(target) for target in row.targets),
        "load_kg": row.load_kg.normalize() if row.load_kg else 0,
        "tempo": row.tempo,
        "rest_s": row.rest_s,
        "rir": row.rir,
        "onward": "1",
    }


def _editor(
    request: SignedInRequest, page: PrescriptionPage, form: PrescriptionForm, *, status: int = 200
) -> HttpResponse:
    """The editor: a dialog in the page for HTMX, a page of its own otherwise."""
    part = wants_part(request)
    template = "blocks/block/_editor.html" if part else "blocks/block/editor.html"
    answer = render(request, template, {"page": page, "form": form}, status=status)
    if part and status != 200:
        answer.headers["HX-Retarget"] = "#prescription-editor"
        answer.headers["HX-Reswap"] = "outerHTML"
    return answer
