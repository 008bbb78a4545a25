"""Blocks for tests, made by the services from a shared template."""

from datetime import date

from clients.models import Client
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.services import create_block_from_template, publish_block


def published_block(client: Client, starts_on: date, template: str = "") -> Block:
    """A published block for a client, copied from a shared template."""
    templates = BlockTemplate.objects.filter(coach=None)
    chosen = templates.get(key=template) if template else templates.order_by("key")[0]
    block = create_block_from_template(
        client=client, template=chosen, starts_on=starts_on, by=client.coach
    )
    publish_block(block=block, by=client.coach)
    return block
