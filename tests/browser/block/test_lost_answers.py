"""The network goes after the server has acted and before its answer arrives."""

from playwright.sync_api import Route, expect

from coaching.blocks.models import KeptEdit
from tests.browser.block.reading import acts_of, answered, lines_on


def test_an_act_whose_answer_is_lost_is_done_once_and_the_next_one_is_no_conflict(
    desk, block, troubles
):
    lost: list[str] = []

    def lose(route: Route) -> None:
        if lost:
            route.continue_()
            return
        route.fetch()
        lost.append(route.request.post_data or "")
        route.abort("connectionreset")

    desk.route("**/edit/", lose)
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    answered(desk, block, 1)
    assert "sent=" in lost[0]
    # It was sent once more, and told: nothing is said to have failed.
    expect(desk.locator("#messages .message")).to_have_count(0)
    expect(desk.locator(".effects-change")).to_be_visible()

    desk.keyboard.press("+")
    answered(desk, block, 2)
    expect(desk.locator(".block-kept")).to_have_count(0)
    troubles.clear()


def test_an_act_whose_answers_are_all_lost_stands_beneath_the_next_one(desk, block, troubles):
    lost: list[str] = []

    def lose(route: Route) -> None:
        route.fetch()
        lost.append(route.request.post_data or "")
        route.abort("connectionreset")

    desk.route("**/edit/", lose)
    lines_on(desk).first.focus()
    desk.keyboard.press("+")
    expect(desk.get_by_text("The server cannot be reached.")).to_be_visible()
    assert len(lost) == 2
    assert len(acts_of(block)) == 1
    desk.unroute("**/edit/")

    lines_on(desk).nth(1).focus()
    desk.keyboard.press("+")
    answered(desk, block, 2)
    # Both sessions that changed were made anew, and nothing waits for a decision.
    expect(desk.get_by_role("heading", name="Changed in two places")).to_have_count(0)
    assert not KeptEdit.objects.exists()
    troubles.clear()
