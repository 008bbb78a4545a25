"""Seeded walks: whatever happens on the way, the server holds what was entered, once.

As many as BLOCKWRIGHT_WALKS says: a few each time the tests are run, hundreds where one wants to be sure.
"""

import os
import random
from collections.abc import Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import Browser

from coaching.blocks.models import PlannedSession
from sessions.models import Correction, LoggedSession, LoggedSet
from tests.browser.conftest import sign_in
from tests.browser.walking import SHOWN, Phone, Server, Walk

WALKS = int(os.environ.get("BLOCKWRIGHT_WALKS", "5"))
STEPS = 12


@pytest.fixture
def server(practice) -> Iterator[Server]:
    running = Server()
    running.start()
    yield running
    running.stop()


def phone_of(browser: Browser, server: Server, user, planned, name: str) -> Phone:
    context = browser.new_context(
        base_url=server.url,
        viewport={"width": 390, "height": 844},
        reduced_motion="reduce",
        is_mobile=True,
        has_touch=True,
        service_workers="block",
    )
    sign_in(context, server.url, user)
    return Phone(name, context, f"{reverse('sessions:today')}?session={planned.uid}")


def held_amounts(row: LoggedSet) -> set[int]:
    """Every amount that was said of a set: the one that holds, and those it replaced."""
    kept = Correction.objects.filter(entry_uid=row.uid).values_list("values", flat=True)
    return {row.amount, *(one["amount"] for one in kept)}


def was_taken_back(row: LoggedSet) -> bool:
    kept = Correction.objects.filter(entry_uid=row.uid).values_list("values", flat=True)
    return row.removed_at is not None or any(one["removed"] for one in kept)


def faults_after(walk: Walk) -> list[str]:
    """What the server holds against what the people with the phones said."""
    rows = {row.pk: row for row in LoggedSet.objects.all()}
    amounts = {pk: held_amounts(row) for pk, row in rows.items()}
    faults = []
    for said in walk.history:
        told = {amount for _, amount in said.words if amount is not None}
        mine = [pk for pk, held in amounts.items() if held & told]
        if len(mine) != 1:
            faults.append(f"{said.words} is there {len(mine)} times")
            continue
        row = rows.pop(mine[0])
        faults += faults_of(row, amounts[row.pk], said)
    return faults + [f"nobody entered {row.amount}" for row in rows.values()]


def faults_of(row: LoggedSet, amounts: set[int], said) -> list[str]:
    now = None if row.removed_at else row.amount
    last = {phone: said.last_of(phone) for phone in said.phones}
    faults = [] if now in last.values() else [f"{said.words} ended as {now}"]
    for word in last.values():
        is_held = was_taken_back(row) if word is None else word in amounts
        if not is_held:
            faults.append(f"{word} of {said.words} is nowhere")
    return faults


def test_whatever_happens_on_the_way_the_server_holds_what_was_entered_once(
    browser, server, cleo, planned
):
    phones = [phone_of(browser, server, cleo.user, planned, name) for name in ("one", "two")]
    for seed in range(WALKS):
        LoggedSession.objects.all().delete()
        PlannedSession.objects.filter(pk=planned.pk).update(started_at=None)
        for phone in phones:
            phone.begin_anew()
        walk = Walk(random.Random(seed), server, phones)  # noqa: S311

        for _ in range(STEPS):
            walk.step()
        walk.settle()

        assert faults_after(walk) == [], f"seed {seed}: {walk.steps}"
        page = phones[0].tabs[0]
        phones[0].reload(page)
        kept = LoggedSet.objects.filter(removed_at=None).values_list("amount", flat=True)
        assert sorted(page.evaluate(SHOWN)) == sorted(kept), f"seed {seed}: {walk.steps}"
    for phone in phones:
        phone.context.close()
