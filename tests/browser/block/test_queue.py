"""Acts pressed one after another while answers are slow: none is lost, none is refused."""

import time

import pytest
from playwright.sync_api import Route, expect

from coaching.blocks.editing.draft_services import draft_of, edit_block, undo_edit
from coaching.blocks.models import BlockVersion, KeptEdit
from coaching.blocks.views import block_edits
from tests.browser.block.reading import acts_of, answered, lines_on, settled

SLOW = 0.8
"""How long [s] an answer waits."""


@pytest.fixture(autouse=True)
def slow(monkeypatch) -> None:
    """Every act is answered late."""

    def late(service):
        def answer(**asked):
            time.sleep(SLOW)
            return service(**asked)

        return answer

    monkeypatch.setattr(block_edits, "edit_block", late(edit_block))
    monkeypatch.setattr(block_edits, "undo_edit", late(undo_edit))


def test_keys_remedies_and_panels_pressed_while_an_edit_is_under_way_wait_their_turn(desk, block):
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    desk.keyboard.press("+")
    # A panel that is opened meanwhile pushes nothing out of line.
    desk.keyboard.press("Enter")
    expect(desk.locator("[data-panel]")).to_be_visible()
    answered(desk, block, 2)

    # A remedy, and another one while the first is not answered yet.
    remedies = desk.locator("#block-effects button[name=remedy]")
    expect(remedies.first).to_be_visible()
    chosen = [remedies.nth(n).get_attribute("value") for n in range(2)]
    for value in chosen:
        desk.locator(f'#block-effects button[value="{value}"]').click()
    answered(desk, block, 4)


def test_a_button_that_is_pressed_twice_acts_once(desk, block):
    remedy = desk.locator("#block-effects button[name=remedy]").first
    remedy.dblclick()
    answered(desk, block, 1)
    desk.wait_for_timeout(2000 * SLOW)
    assert len(acts_of(block)) == 1


def test_changes_that_are_discarded_by_two_clicks_are_discarded_once(desk, block):
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    answered(desk, block, 1)
    desk.get_by_role("button", name="Discard changes").dblclick()
    answered(desk, block, 2)
    desk.wait_for_timeout(2000 * SLOW)
    assert acts_of(block)[1:] == ["discard-changes"]
    expect(desk.locator("#messages .message")).to_have_count(0)


def test_what_is_pressed_before_publishing_is_published(desk, block):
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    answered(desk, block, 1)
    desk.keyboard.press("+")
    desk.keyboard.press("b")
    expect(desk.locator("#publish-dialog")).to_be_visible()
    desk.locator("#publish-dialog").get_by_role("button", name="Publish").click()
    expect(desk.get_by_text("Published.")).to_be_visible()
    assert BlockVersion.objects.filter(block=block).count() == 2
    assert len(draft_of(block, block.starts_on).unpublished) == 0


def test_what_was_pressed_before_a_conflict_is_seen_is_kept_too(desk, block, troubles):
    lines_on(desk).first.focus()
    other = desk.context.new_page()
    other.goto(desk.url)
    lines_on(other).nth(1).focus()
    other.keyboard.press("-")
    settled(other, "→")
    desk.keyboard.press("+")
    desk.keyboard.press("+")

    expect(desk.get_by_role("heading", name="Changed in two places")).to_be_visible()
    expect(desk.locator(".block-kept")).to_have_count(2)
    assert len(acts_of(block)) == 1
    assert KeptEdit.objects.filter(block=block).count() == 2
    # The browser tells every answer that is not 200.
    assert {"422" in one for one in troubles} == {True}
    troubles.clear()


def test_without_a_network_it_says_what_was_not_done(desk, block, troubles):
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    desk.route("**/edit/", hold)
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    desk.keyboard.press("+")
    desk.keyboard.press("-")
    # The act is sent once more before it is given up.
    for tries in (1, 2):
        while len(held) < tries:
            desk.wait_for_timeout(100)
        held[-1].abort("internetdisconnected")
    expect(desk.get_by_text("The server cannot be reached.")).to_be_visible()
    expect(desk.get_by_text("Not done either: 2 more changes")).to_be_visible()
    assert len(held) == 2
    assert acts_of(block) == []
    desk.unroute("**/edit/")

    # What was not done can be done once the network is back.
    desk.keyboard.press("+")
    answered(desk, block, 1)
    assert any("INTERNET_DISCONNECTED" in one for one in troubles)
    troubles.clear()
