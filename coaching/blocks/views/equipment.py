"""What of a client's plans needs equipment that is not written down."""

from django.http import HttpResponse
from django.views.decorators.http import require_safe

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest, page_or_part
from coaching.blocks.needed_equipment import blocks_that_need

PAGE, PART = "blocks/equipment_needed/page.html", "blocks/equipment_needed/_part.html"


@require_safe
def equipment_needed(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The blocks to come, running or in writing, that need what the client has not."""
    client = client_of_coach(request.user, client_id)
    found = {"client": client, "blocks": blocks_that_need(client)}
    return page_or_part(request, PAGE, PART, found)
