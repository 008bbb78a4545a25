"""The block's page by keyboard alone, and with the mouse: every change in its place."""

import re

from django.urls import reverse
from playwright.sync_api import Locator, Page, Route, expect

from coaching.blocks.models import Block
from coaching.blocks.plan_rows import snapshot_of
from tests.browser.block.reading import (
    first_session,
    lines_on,
    names_in,
    order_of,
    remedied,
    rows_of,
    settled,
)
from tests.browser.conftest import PHONE


def test_a_cell_is_changed_and_its_letter_moved_by_keyboard_alone(desk, block):
    before = order_of(block)

    # One stop for the whole plan; along the strip of weeks by arrows.
    lines_on(desk).first.focus()
    desk.keyboard.press("ArrowRight")
    desk.keyboard.press("ArrowRight")
    expect(desk.locator("a.strip-cell:focus")).to_contain_text("Week 2")
    desk.keyboard.press("ArrowLeft")

    # Enter opens the cell in its place, Enter saves, and the focus is where it was.
    desk.keyboard.press("Enter")
    expect(desk.get_by_label("Targets")).to_be_focused()
    desk.keyboard.type("6-6-5")
    desk.keyboard.press("Enter")
    settled(desk, "6-6-5")
    expect(desk.locator("a.strip-cell:focus")).to_contain_text("6-6-5")
    desk.keyboard.press("+")
    settled(desk, "6-6-5-5")

    desk.keyboard.press("Alt+ArrowDown")
    expect(rows_of(desk).nth(1)).to_contain_text(before[0][0])
    expect(desk.locator(".strip-cell:focus")).to_have_count(1)
    assert order_of(block)[:2] == [before[1], before[0]]

    # Out of its pair and into it again.
    desk.keyboard.press("p")
    expect(rows_of(desk)).to_have_count(len(before) + 1)
    desk.keyboard.press("p")
    expect(rows_of(desk)).to_have_count(len(before))
    assert {frozenset(pair) for pair in order_of(block)} == {frozenset(pair) for pair in before}


def test_the_exercise_at_hand_stays_so_in_the_week_beside(desk):
    name = lines_on(desk).nth(2).inner_text()
    lines_on(desk).nth(2).focus()

    for key, week in (("]", "2"), ("]", "3"), ("[", "2")):
        desk.keyboard.press(key)
        desk.wait_for_url(f"**week={week}")
        expect(desk.locator(".spine-name a:focus")).to_have_text(name)

    desk.keyboard.press("+")
    settled(desk, name)


def publish(page: Page, block: Block, *, why: str) -> None:
    """By keyboard: Enter in the field publishes nothing, it leads on to the button that does."""
    seen_by_client = snapshot_of(block)
    page.keyboard.press("b")
    expect(page.get_by_label("Why")).to_be_focused()
    page.keyboard.type(why)
    page.keyboard.press("Enter")
    expect(page.locator("#publish-dialog [type=submit]")).to_be_focused()
    assert snapshot_of(block) == seen_by_client
    page.keyboard.press("Enter")
    expect(page.get_by_text("sees it on the phone now")).to_be_visible()
    assert block.versions.order_by("-number")[0].why == why


def test_a_swap_is_undone_and_done_again_and_the_client_sees_only_what_is_published(
    desk, open_page, block, cleo
):
    seen_by_client = snapshot_of(block)
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    settled(desk, "→")

    # The best replacement has the focus, Enter takes it.
    desk.keyboard.press("s")
    choice = desk.locator(".block-choice").first
    expect(choice).to_be_focused()
    name = choice.locator("strong").inner_text()
    desk.keyboard.press("Enter")
    settled(desk, name)

    desk.keyboard.press("z")
    settled(desk, "Undid")
    desk.keyboard.press("z")
    expect(desk.get_by_role("button", name=re.compile("^Undo"))).to_be_disabled()
    desk.keyboard.press("y")
    settled(desk, "Done again")
    desk.keyboard.press("y")
    settled(desk, name)
    assert name in names_in(block)

    assert snapshot_of(block) == seen_by_client
    phone = open_page(cleo.user, reverse("sessions:today"), viewport=PHONE)
    expect(phone.get_by_text(name, exact=True)).to_have_count(0)
    publish(desk, block, why="Felt easy all week.")
    phone.reload()
    expect(phone.get_by_text(name, exact=True).first).to_be_visible()


def test_a_key_pressed_three_times_quickly_makes_three_edits_and_no_conflict(desk, block):
    sets = len(first_session(block)["pairs"][0]["lines"][0]["targets"])
    lines_on(desk).first.focus()

    for _ in range(3):
        desk.keyboard.press("+")

    expect(desk.locator(".block-last")).to_contain_text(f"→ {sets + 3} ×")
    assert len(first_session(block)["pairs"][0]["lines"][0]["targets"]) == sets + 3

    for _ in range(3):
        desk.keyboard.press("z")

    expect(desk.get_by_text("Cleo Brandt sees this plan")).to_be_visible()
    assert len(first_session(block)["pairs"][0]["lines"][0]["targets"]) == sets
    expect(desk.get_by_text("Changed in two places")).to_have_count(0)


def test_who_works_through_what_was_found_goes_on_there(desk, block):
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    settled(desk, "week 1 on")
    remedied(desk)
    remedy = desk.locator("button[name=remedy]", has_text="One set").first
    remedy.focus()

    desk.keyboard.press("Enter")

    expect(desk.locator("#findings")).to_be_focused()
    # What settles the rest comes a moment later, and does not take the focus away.
    remedied(desk)
    expect(desk.locator("#findings")).to_be_focused()


def test_a_finding_that_was_opened_stays_open_when_its_remedies_arrive(desk, block):
    held: list[Route] = []
    desk.route("**/findings/**", lambda route: held.append(route))  # noqa: PLW0108 - no builtin can be a handler
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    settled(desk, "week 1 on")
    finding = desk.locator(".effects-finding").first
    said = finding.locator("summary").inner_text()
    finding.locator("summary").focus()
    desk.keyboard.press("Enter")
    expect(desk.locator("section.effects[hx-get]")).to_have_count(1)

    for request in held:
        request.continue_()
    desk.unroute("**/findings/**")
    remedied(desk)

    again = desk.locator(".effects-finding[open]")
    expect(again).to_have_count(1)
    expect(again.locator("summary")).to_be_focused()
    assert again.locator("summary").inner_text() == said


def test_what_cannot_be_done_is_said_and_esc_leaves(desk, block, troubles):
    before = order_of(block)
    lines_on(desk).first.focus()
    desk.keyboard.press("e")
    targets = desk.get_by_label("Targets")
    targets.fill("many")
    with desk.expect_response(lambda answer: answer.status == 422):
        targets.press("Enter")
    expect(desk.get_by_text("is not targets; write them like")).to_be_visible()
    expect(desk.get_by_label("Targets")).to_have_value("many")

    # The browser writes every refusal down; this one was meant.
    troubles.clear()
    expect(desk.locator("[data-panel] :focus")).to_have_count(1)
    desk.keyboard.press("Escape")

    expect(desk.locator("[data-panel]")).to_have_count(0)
    expect(desk.locator("a[data-at]:focus")).to_have_count(1)
    assert order_of(block) == before


def test_what_was_typed_is_saved_before_another_exercise_opens_and_stays_when_refused(
    desk, block, troubles
):
    lines_on(desk).first.focus()
    desk.keyboard.press("e")
    desk.get_by_label("Targets").fill("4 x 9")
    lines_on(desk).nth(1).click()
    settled(desk, "4 × 9")
    expect(desk.locator("[data-panel]")).to_have_count(1)
    assert first_session(block)["pairs"][0]["lines"][0]["targets"] == [9] * 4

    desk.get_by_label("Targets").fill("8-")
    with desk.expect_response(lambda answer: answer.status == 422):
        lines_on(desk).first.click()
    expect(desk.get_by_text("breaks off; write every set")).to_be_visible()
    expect(desk.get_by_label("Targets")).to_have_value("8-")
    troubles.clear()

    expect(desk.locator("[data-panel] :focus")).to_have_count(1)
    desk.keyboard.press("Escape")
    desk.keyboard.press("w")
    expect(desk.get_by_label("Put a copy after")).to_be_focused()


def drag(page: Page, what: Locator, onto: Locator, share: float) -> None:
    """Take something with the mouse and let it go over something else, at a share of its height."""
    start, end = what.bounding_box(), onto.bounding_box()
    assert start is not None
    assert end is not None
    page.mouse.move(start["x"] + start["width"] / 2, start["y"] + start["height"] / 2)
    page.mouse.down()
    page.mouse.move(start["x"] + start["width"] / 2, start["y"] + start["height"], steps=3)
    page.mouse.move(end["x"] + end["width"] / 2, end["y"] + end["height"] * share, steps=5)
    page.mouse.up()


def test_an_exercise_is_dragged_within_a_session_and_into_another(desk, block):
    desk.set_viewport_size({"width": 1440, "height": 1800})
    before = order_of(block)
    rows = rows_of(desk)

    drag(desk, rows.nth(0).locator(".spine-axis"), rows.nth(1), 0.9)
    expect(rows.nth(1)).to_contain_text(before[0][0])
    assert order_of(block)[:2] == [before[1], before[0]]
    remedied(desk)

    second = desk.locator(".block-session").nth(1)
    name = rows.nth(0).locator(".block-line").first.locator(".spine-name a")
    moved = name.inner_text()
    drag(desk, name, second.locator(".card-head"), 0.5)
    expect(second.locator(".spine-name a").first).to_have_text(moved)
    assert moved not in {one for pair in order_of(block) for one in pair}


def test_enter_in_the_search_adds_the_first_found_and_goes_there(desk, block):
    lines_on(desk).first.focus()
    desk.keyboard.press("a")
    search = desk.get_by_label("Search exercises")
    expect(search).to_be_focused()
    desk.keyboard.type("hollow hold")
    desk.keyboard.press("Enter")  # before the answer is there

    added = lines_on(desk).filter(has_text="Hollow hold")
    expect(added.first).to_be_focused()
    expect(search).to_have_count(0)
    assert any("Hollow hold" in name for name in names_in(block))


def test_every_control_has_a_name_and_every_key_stands_in_the_list(desk):
    lines_on(desk).first.focus()
    desk.keyboard.press("?")
    listed = desk.locator("key-list tbody tr")
    expect(listed.filter(has_text="swap for another exercise")).to_be_visible()
    expect(listed.filter(has_text="move the exercise or its pair")).to_be_visible()
    desk.keyboard.press("Escape")

    lines_on(desk).first.click()
    expect(desk.get_by_label("Targets")).to_be_visible()
    nameless = desk.locator("block-editor").evaluate(
        """(root) => [...root.querySelectorAll('a, button, input:not([type=hidden]), select, summary')]
            .filter((one) => one.checkVisibility())
            .filter((one) => {
                const labels = [...(one.labels ?? [])].map((label) => label.textContent).join('');
                return !(one.ariaLabel || one.textContent.trim() || labels.trim());
            }).map((one) => one.outerHTML)"""
    )
    assert nameless == []
    assert desk.locator("[data-at]").count() > desk.locator("[data-at][tabindex='0']").count() == 1


def test_on_a_phone_the_block_is_read_without_scrolling_sideways(open_page, ana, block):
    url = reverse("blocks:block", args=[block.pk])
    page: Page = open_page(ana, url, viewport=PHONE, has_touch=True, is_mobile=True)

    expect(lines_on(page).first).to_be_visible()
    over = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert over == 0
    lines_on(page).first.tap()
    expect(page.get_by_label("Targets")).to_be_visible()
