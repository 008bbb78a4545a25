"""The roster: who trains with the coach, in which block and week."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, page_or_part
from coaching.blocks.pages_roster import roster_page


@require_safe
def roster(request: SignedInRequest) -> HttpResponse:
    """All clients of the coach, or those whose name holds what was typed."""
    page = roster_page(
        coach_or_404(request.user),
        timezone.now(),
        shows_left=request.GET.get("who") == "left",
        search=request.GET.get("search", "")[:120],
    )
    return page_or_part(
        request, "blocks/roster/page.html", "blocks/roster/_list.html", {"page": page}
    )
