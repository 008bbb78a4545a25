"""A block and a template kept from it, for tests of templates."""

from typing import Any

from django.urls import reverse
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.models import Block, BlockTemplate
from tests.conftest import signed_in
from tests.factories.blocks import published_block


def block_to_keep(client: Client) -> Block:
    """A published block of three whole-body days."""
    return published_block(client, client.local_date(timezone.now()), "beginner-full-body")


def keep(coach: User, block: Block, **changes: Any) -> Any:
    """Keep the first week of a block as a template, as the page posts it."""
    data = {"name": "Cleo's week", "level": "beginner", "week": 1, "description": "Three days."}
    url = reverse("blocks:save-as-template", args=[block.pk])
    return signed_in(coach).post(url, data | changes)


def kept_template(coach: User, client: Client) -> BlockTemplate:
    """A template of the coach's own."""
    keep(coach, block_to_keep(client))
    return BlockTemplate.objects.get(coach=coach)
