"""A heavy and a light day of one exercise, decided one by one with the keyboard alone."""

from datetime import date, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from clients.models import Equipment
from coaching.blocks.models import Block
from coaching.blocks.plan_rows import snapshot_of
from coaching.rules.plan import EquipmentKind
from sessions.models import Decision
from sessions.queries import week_start
from tests.browser.conftest import DESK
from tests.factories.sessions import log_week
from tests.factories.written_blocks import written_block
from tests.sessions.courses.days import HEAVY, LIGHT, PRESS, PULL, asked

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def last_week(cleo) -> date:
    return week_start(cleo.local_date(timezone.now())) - timedelta(days=7)


@pytest.fixture
def block(cleo, last_week) -> Block:
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)
    plates = [20, 20, 10, 10, 5, 5, 2.5, 2.5, 1.25, 1.25]
    Equipment.objects.filter(client=cleo, kind="barbell").update(pieces=plates, bar_kg=20)
    week = {"Heavy": [HEAVY, PULL], "Light": [LIGHT, PULL]}
    made = written_block(cleo, last_week, [week] * 4)
    log_week(cleo, last_week)
    return made


@pytest.fixture
def desk(open_page, ana, cleo, block, last_week) -> Page:
    address = f"/review/{cleo.pk}/?week={last_week.isoformat()}"
    page: Page = open_page(ana, address, viewport=DESK)
    page.wait_for_load_state("networkidle")
    return page


def test_the_heavy_day_is_left_and_the_light_one_goes_up(desk, cleo, block):
    before, today = snapshot_of(block), cleo.local_date(timezone.now())
    rows = desk.locator(".review-row").filter(has_text=PRESS)
    expect(rows).to_have_count(2)
    acts = {"Heavy on Mon": "l", "Light on Wed": "u"}
    for row in rows.all():
        day = row.locator("label .review-small").inner_text()
        desk.keyboard.press("n")
        desk.keyboard.press(acts.pop(day))
    assert not acts

    desk.keyboard.press("Enter")
    expect(desk.locator(".review-decisions")).to_be_visible()

    made = {one.proposal["when"]: one.kind for one in Decision.objects.filter(course__gt="")}
    assert made == {"Heavy on Mon": "leave", "Light on Wed": "step up"}
    assert set(asked(block, session="Heavy").values()) == {((6,) * 5, 60.0)}
    assert set(asked(block, session="Light", since=today).values()) == {((5,) * 5, 42.5)}

    undo = desk.get_by_role("button", name="Undo").first
    undo.focus()
    desk.keyboard.press("Enter")
    expect(desk.locator(".review-decisions").get_by_text("taken back")).to_be_visible()
    assert snapshot_of(block) == before


def test_on_a_phone_the_days_are_read_beside_the_exercise(open_page, ana, cleo, block, last_week):
    address = f"/review/{cleo.pk}/?week={last_week.isoformat()}"
    page = open_page(ana, address, viewport=PHONE)

    for day in ("Heavy on Mon", "Light on Wed"):
        expect(page.locator(".review-row label").filter(has_text=day)).to_be_visible()
        expect(page.get_by_label(f"{PRESS} ({day}), load in kg")).to_be_visible()
