"""The versions of a block, and what a coach decides where it was changed in two places."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from clients.page_or_part import SignedInRequest
from coaching.blocks.access import block_of_coach, kept_edit_of_coach, version_of_coach
from coaching.blocks.editing import plan_services
from coaching.blocks.editing.draft_services import DraftEdited
from coaching.blocks.errors import BlockError
from coaching.blocks.pages_versions import versions_page
from coaching.blocks.views.block import to_week
from coaching.blocks.views.sent import number_in


@require_safe
def versions(request: SignedInRequest, block_id: int) -> HttpResponse:
    """All versions of a block, and two of them compared."""
    found = block_of_coach(request.user, block_id)
    page = versions_page(
        found,
        today=found.client.local_date(timezone.now()),
        a=request.GET.get("a", ""),
        b=request.GET.get("b", ""),
        below=number_in(request.GET.get("below", "")),
    )
    return render(request, "blocks/versions/page.html", {"page": page})


@require_POST
def go_back(request: SignedInRequest, version_id: int) -> HttpResponse:
    """Put the plan of a version into the working copy."""
    version = version_of_coach(request.user, version_id)
    today = version.block.client.local_date(timezone.now())

    def act(revision: int) -> DraftEdited:
        return plan_services.go_back(
            version=version, revision=revision, today=today, by=request.user
        )

    done = f"The working copy is as version {version.number} was. Publish it when it is right."
    return _acted(request, version.block_id, act, done)


@require_POST
def put_on_top(request: SignedInRequest, kept_id: int) -> HttpResponse:
    """Do a kept edit again on the plan as it is now."""
    return _decided(request, kept_id, plan_services.put_on_top, "Done on the plan as it is now: {}")


@require_POST
def use_instead(request: SignedInRequest, kept_id: int) -> HttpResponse:
    """Take the plan of a kept edit instead of what is there."""
    done = "The plan is as that window had it: {}. Undo brings back what was done meanwhile."
    return _decided(request, kept_id, plan_services.use_instead, done)


@require_POST
def let_go(request: SignedInRequest, kept_id: int) -> HttpResponse:
    """Decide against a kept edit."""
    kept = kept_edit_of_coach(request.user, kept_id)
    try:
        plan_services.let_go(kept=kept)
        messages.success(request, f"Discarded: {kept.what}. The plan stays as it is.")
    except BlockError as error:
        messages.error(request, str(error))
    return to_week(request, kept.block_id, request.POST.get("shown", ""))


def _decided(
    request: SignedInRequest, kept_id: int, service: Callable[..., DraftEdited], done: str
) -> HttpResponse:
    kept = kept_edit_of_coach(request.user, kept_id)
    today = kept.block.client.local_date(timezone.now())

    def act(revision: int) -> DraftEdited:
        return service(kept=kept, revision=revision, today=today, by=request.user)

    return _acted(request, kept.block_id, act, done.format(kept.what))


def _acted(
    request: SignedInRequest, block_id: int, act: Callable[[int], DraftEdited], done: str
) -> HttpResponse:
    """Do it to the working copy that the page showed, and show the block."""
    revision = number_in(request.POST.get("revision", ""))
    if revision is None:
        messages.error(request, "Nothing was sent to say which plan you saw. Load the page again.")
        return to_week(request, block_id, request.POST.get("shown", ""))
    try:
        act(revision)
        messages.success(request, done)
    except BlockError as error:
        messages.error(request, str(error))
    return to_week(request, block_id, request.POST.get("shown", ""))
