"""What was done of a block, beside its plan."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.page_or_part import SignedInRequest, page_or_part
from coaching.blocks.access import block_of_coach
from sessions.pages_block_done import block_done as page_of

PAGE, PART = "sessions/block_done/page.html", "sessions/block_done/_part.html"


@require_safe
def block_done(request: SignedInRequest, block_id: int) -> HttpResponse:
    """Sets per muscle as done, week by week."""
    found = block_of_coach(request.user, block_id)
    page = page_of(found, found.client.local_date(timezone.now()))
    return page_or_part(request, PAGE, PART, {"page": page})
