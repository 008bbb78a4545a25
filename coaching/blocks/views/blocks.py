"""The list of blocks."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, page_or_part
from coaching.blocks.pages_blocks import blocks_page
from coaching.blocks.views.sent import numbers_in


@require_safe
def blocks(request: SignedInRequest) -> HttpResponse:
    """Running blocks, drafts and those still to come."""
    coach = coach_or_404(request.user)
    search = request.GET.get("search", "")[:120]
    new = numbers_in(request.GET.get("new", ""))
    context = {"page": blocks_page(coach, timezone.now(), search=search, new=new)}
    return page_or_part(request, "blocks/blocks/page.html", "blocks/blocks/_list.html", context)
