"""What journeys on the block's page read: of the page, and of the working copy behind it."""

import re

from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import Block, BlockEdit, KeptEdit
from coaching.blocks.snapshots import SessionData


def first_session(block: Block) -> SessionData:
    today = block.client.local_date(timezone.now())
    return draft_of(block, today).snapshot["weeks"][0]["sessions"][0]


def order_of(block: Block) -> list[list[str]]:
    return [[line["name"] for line in pair["lines"]] for pair in first_session(block)["pairs"]]


def names_in(block: Block) -> set[str]:
    return {one for pair in order_of(block) for one in pair}


def acts_of(block: Block) -> list[str]:
    edits = BlockEdit.objects.filter(draft__block=block).order_by("revision")
    return [one.act["act"] for one in edits]


def settled(page: Page, words: str | re.Pattern[str]) -> None:
    """Wait until the page says that an act was done."""
    expect(page.locator("[data-says]")).to_contain_text(words)


def remedied(page: Page) -> None:
    """Wait for what settles the findings; it comes after them, by a request of its own."""
    expect(page.locator("section.effects[hx-get]")).to_have_count(0)


def answered(page: Page, block: Block, count: int) -> None:
    """Wait until so many acts are in the working copy, and the page shows the last of them."""
    begins = block.versions.count()
    expect(page.locator(f'#block-strip[data-revision="{begins + count}"]')).to_be_attached()
    assert len(acts_of(block)) == count
    assert not KeptEdit.objects.filter(block=block).exists()


def lines_on(page: Page) -> Locator:
    return page.locator(".block-line .spine-name a")


def rows_of(page: Page) -> Locator:
    return page.locator(".block-session").first.locator(".spine-row[data-letter]")
