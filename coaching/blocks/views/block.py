"""The block's page and what a coach does on it."""

from contextlib import suppress
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
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm, OverrideForm, PrescriptionForm, SwapForm
from coaching.blocks.models import Block, Prescription
from coaching.blocks.pages_block import block_page
from coaching.blocks.pages_limits import keep_forms
from coaching.blocks.pages_prescription import PrescriptionPage, prescription_page
from coaching.library.models import Exercise
from coaching.library.queries import exercises_of


@require_safe
def block(request: SignedInRequest, block_id: int) -> HttpResponse:
    """The plan of a block, one week at a time, with what it does."""
    found = block_of_coach(request.user, block_id)
    week = request.GET.get("week", "")
    if came_from := request.GET.get("review"):
        remember_review(request, found, came_from)
    return workspace(request, found, int(week) if week.isdigit() else None)


def remember_review(request: SignedInRequest, found: Block, week: str) -> None:
    """Keep which week's review the coach came from, to lead back there after every change."""
    with suppress(ValueError):
        request.session["review_of_block"] = [found.pk, date.fromisoformat(week).isoformat()]


def workspace(
    request: SignedInRequest,
    found: Block,
    number: int | None,
    edited: str = "",
    *,
    refused: KeepForm | None = None,
) -> HttpResponse:
    """The week with what it does; ``refused`` is a form about an exercise that was not right."""
    today = found.client.local_date(timezone.now())
    page = block_page(found, coach=request.user, number=number, today=today, edited=edited)
    came_from, review = request.session.get("review_of_block", (None, ""))
    context = {
        "page": page,
        "limited": keep_forms(page.limited, refused),
        "review_week": review if came_from == found.pk else "",
    }
    templates = ("blocks/block/page.html", "blocks/block/_workspace.html")
    return page_or_part(request, *templates, context, status=422 if refused else 200)


def after(request: SignedInRequest, found: Block, number: int, edited: str = "") -> HttpResponse:
    """Show the week again after an act: the workspace to HTMX, the page otherwise."""
    if wants_part(request):
        return workspace(request, found, number, edited)
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
        return _editor(request, page)
    form = PrescriptionForm(request.POST, loads=page.loads)
    if form.is_valid():
        try:
            prescription_services.change_prescription(
                prescription=row,
                fields=form.fields_changed(),
                onward=form.cleaned_data["onward"],
                today=_today_of(row),
                by=request.user,
            )
            return after(request, page.block, page.week, edited=str(uid))
        except BlockError as error:
            form.add_error(None, str(error))
    return _editor(request, page, form=form)


@require_POST
def swap_exercise(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Put another exercise in the place of one."""
    row = prescription_of_coach(request.user, uid)
    page = prescription_page(request.user, row)
    form = SwapForm(request.POST, swaps=page.choices, auto_id="swap_%s")
    if form.is_valid():
        to = exercises_of(request.user).get(pk=form.cleaned_data["exercise"])
        if _swapped(request, row, to, form):
            return after(request, page.block, page.week, edited=str(uid))
    return _editor(request, page, swap=form)


@require_POST
def override_limit(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Put in an exercise that a joint limit forbids, by its name and with a reason."""
    row = prescription_of_coach(request.user, uid)
    page = prescription_page(request.user, row)
    form = OverrideForm(request.POST, auto_id="override_%s")
    if form.is_valid():
        to = exercises_of(request.user).filter(name__iexact=form.cleaned_data["name"]).first()
        if to is None:
            form.add_error("name", "No exercise of your library has that name.")
        elif _swapped(request, row, to, form):
            return after(request, page.block, page.week, edited=str(uid))
    return _editor(request, page, override=form)


def _swapped(
    request: SignedInRequest, row: Prescription, to: Exercise, form: SwapForm | OverrideForm
) -> bool:
    """Whether the swap was done; otherwise the form says why not."""
    try:
        prescription_services.swap_exercise(
            prescription=row,
            to=to,
            onward=form.cleaned_data["onward"],
            today=_today_of(row),
            by=request.user,
            override_why=form.cleaned_data.get("why", ""),
        )
    except BlockError as error:
        form.add_error(None, str(error))
        return False
    return True


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
    return after(request, found, int(week) if week.isdigit() else 1)


def _today_of(row: Prescription) -> date:
    return row.pair.planned_session.week.block.client.local_date(timezone.now())


def _values(row: Prescription) -> dict[str, object]:
    return {
        "targets": "-".join(str(target) for target in row.targets),
        "load_kg": f"{row.load_kg.normalize():f}" if row.load_kg else 0,
        "tempo": row.tempo,
        "rest_s": row.rest_s,
        "rir": row.rir,
        "onward": "1",
    }


def _editor(
    request: SignedInRequest,
    page: PrescriptionPage,
    *,
    form: PrescriptionForm | None = None,
    swap: SwapForm | None = None,
    override: OverrideForm | None = None,
) -> HttpResponse:
    """The editor: a dialog in the page for HTMX, a page of its own otherwise."""
    refused = bool(form or swap or override)
    context = {
        "page": page,
        "form": form or PrescriptionForm(initial=_values(page.prescription), loads=page.loads),
        "swap": swap or SwapForm(swaps=page.choices, auto_id="swap_%s"),
        "override": override or OverrideForm(auto_id="override_%s"),
    }
    part = wants_part(request)
    template = "blocks/block/_editor.html" if part else "blocks/block/editor.html"
    answer = render(request, template, context, status=422 if refused else 200)
    if part and refused:
        answer.headers["HX-Retarget"] = "#prescription-editor"
        answer.headers["HX-Reswap"] = "outerHTML"
    return answer
