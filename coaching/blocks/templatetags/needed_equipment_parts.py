"""What of a client's plans lacks its equipment, for pages that know nothing of plans."""

from django import template

from clients.models import Client
from coaching.blocks.needed_equipment import BlockNeeds, blocks_that_need

register = template.Library()


@register.simple_tag
def needed_equipment(client: Client) -> tuple[BlockNeeds, ...]:
    """The blocks to come that need what the client has not written down."""
    return blocks_that_need(client)
