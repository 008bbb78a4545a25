"""A coach's templates: the list, keeping one from a block, naming, removing, bringing back."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, go_to, page_or_part
from coaching.blocks.access import block_of_coach, own_template
from coaching.blocks.block_sources import library_of, template_plan
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.errors import BlockError
from coaching.blocks.forms_templates import WHOLE_BLOCK, KeepTemplateForm, TemplateForm
from coaching.blocks.models import Block
from coaching.blocks.pages_templates import templates_page
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.template_services import (
    bring_back_template,
    keep_template,
    name_template,
    remove_template,
)

_LIST = ("blocks/templates/page.html", "blocks/templates/_list.html")
_KEEP = ("blocks/keep_template/page.html", "blocks/keep_template/_form.html")
_NAME = ("blocks/name_template/page.html", "blocks/name_template/_form.html")


@require_safe
def templates(request: SignedInRequest) -> HttpResponse:
    """The coach's own templates and the shared ones."""
    return page_or_part(request, *_LIST, {"page": templates_page(coach_or_404(request.user))})


@require_http_methods(["GET", "HEAD", "POST"])
def save_as_template(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Keep a block, or one week of it, as a template."""
    block = block_of_coach(request.user, block_id)
    snapshot = draft_of(block, block.client.local_date(timezone.now())).snapshot
    first = {"name": block.name, "level": block.client.level, "week": WHOLE_BLOCK}
    kinds = [week["kind"] for week in snapshot["weeks"]]
    form = KeepTemplateForm(request.POST or None, weeks=kinds, initial=first)
    if form.is_valid():
        try:
            made = _keep(request, snapshot, form.cleaned_data)
        except BlockError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"“{made}” is one of your templates now.")
            return go_to(request, "blocks:templates")
    return _answer(request, _KEEP, form, block=block)


def _keep(request: SignedInRequest, snapshot: Snapshot, data: dict[str, Any]) -> str:
    library = library_of(request.user)
    kept = keep_template(
        coach=request.user,
        plan=template_plan(snapshot, data["week"] or None, library),
        library=library.values,
        name=data["name"],
        level=data["level"],
        description=data["description"],
    )
    return kept.name


@require_http_methods(["GET", "HEAD", "POST"])
def change_template(request: SignedInRequest, template_id: int) -> HttpResponse:
    """Name an own template anew."""
    template = own_template(request.user, template_id)
    first = {"name": template.name, "level": template.level, "description": template.description}
    form = TemplateForm(request.POST or None, initial=first)
    if form.is_valid():
        try:
            name_template(template=template, **form.cleaned_data)
        except BlockError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, f"“{template.name}” is saved.")
            return go_to(request, "blocks:templates")
    return _answer(request, _NAME, form, template=template)


@require_POST
def remove_own_template(request: SignedInRequest, template_id: int) -> HttpResponse:
    """Offer an own template no more."""
    template = own_template(request.user, template_id)
    remove_template(template=template)
    messages.success(request, f"“{template.name}” is removed; bring it back under Removed.")
    return go_to(request, "blocks:templates")


@require_POST
def bring_back_own_template(request: SignedInRequest, template_id: int) -> HttpResponse:
    """Offer a removed template again."""
    template = own_template(request.user, template_id)
    try:
        bring_back_template(template=template)
        messages.success(request, f"“{template.name}” is offered again.")
    except BlockError as error:
        messages.error(request, str(error))
    return go_to(request, "blocks:templates")


def _answer(
    request: SignedInRequest,
    names: tuple[str, str],
    form: TemplateForm,
    *,
    block: Block | None = None,
    template: Any = None,
) -> HttpResponse:
    context = {"form": form, "from_block": block, "template": template}
    return page_or_part(request, *names, context, status=422 if form.is_bound else 200)
