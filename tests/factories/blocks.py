"""Blocks for tests, made by the services from a shared template."""

from datetime import date

from django.utils import timezone

from clients.models import Client
from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.services import create_block_from_template


def published_block(client: Client, starts_on: date, template: str = "") -> Block:
    """A published block for a client, copied from a shared template."""
    templates = BlockTemplate.objects.filter(coach=None)
    chosen = templates.get(key=template) if template else templates.order_by("key")[0]
    block = create_block_from_template(
        client=client, template=chosen, starts_on=starts_on, by=client.coach
    )
    publish_changes(block=block, by=client.coach, today=client.local_date(timezone.now()))
    return block
