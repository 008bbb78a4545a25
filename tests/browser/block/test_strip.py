"""The weeks beneath an exercise: every figure stands within its own cell; on paper one week."""

import pytest
from django.urls import reverse

from coaching.blocks.editing.draft_services import draft_of
from tests.browser.conftest import DESK, PHONE
from tests.coaching.block_page.acting import act
from tests.factories.blocks import published_block

# The longest figures that a strip may have to hold: stairs, two digits, a load with quarters.
LONGEST = {"targets": "12-11-11-10-10", "load": "11.25"}
OUTSIDE = """() => [...document.querySelectorAll('.strip-cell')].flatMap((cell) => {
    const box = cell.getBoundingClientRect();
    const range = document.createRange();
    return [...cell.querySelectorAll('span:not(.visually-hidden)')].flatMap((span) => {
        range.selectNodeContents(span);
        return [...range.getClientRects()].filter((one) => one.width > 1
            && (one.left < box.left - 0.5 || one.right > box.right + 0.5))
            .map(() => span.textContent);
    });
})"""


@pytest.fixture
def block(cleo, ana, today):
    """A block of eight weeks with long figures."""
    made = published_block(cleo, today, "upper-lower")
    while len(weeks := draft_of(made, today).snapshot["weeks"]) < 8:
        week = weeks[-1]["starts_on"]
        assert act(ana, made, act="copy-week", week=week, after=week).status_code == 200
    for session in weeks[1]["sessions"]:
        line = session["pairs"][0]["lines"][0]["uid"]
        act(ana, made, act="change-line", line=line, reach="onward", **LONGEST)
    return made


@pytest.mark.parametrize("size", [DESK, {"width": 1280, "height": 800}, PHONE, "narrow"])
def test_no_figure_leaves_its_cell(open_page, ana, block, size):
    viewport = {"width": 320, "height": 700} if size == "narrow" else size
    page = open_page(ana, reverse("blocks:block", args=[block.pk]) + "?week=4", viewport=viewport)

    assert page.locator(".strip-cell").count() >= 8
    assert page.evaluate(OUTSIDE) == []


def test_a_hold_that_rises_stands_within_its_cell(open_page, ana, cleo, today):
    made = published_block(cleo, today, "upper-lower")
    week = draft_of(made, today).snapshot["weeks"][1]
    lines = [ln for one in week["sessions"] for pair in one["pairs"] for ln in pair["lines"]]
    holds = [ln["uid"] for ln in lines if min(ln["targets"]) >= 20]
    for uid in holds:
        change = {"line": uid, "targets": "3 × 50 s", "reach": "onward"}
        assert act(ana, made, act="change-line", **change).status_code == 200

    page = open_page(ana, reverse("blocks:block", args=[made.pk]) + "?week=4", viewport=DESK)

    assert page.locator(".strip-cell.is-rises", has_text="50").count() == len(holds) > 0
    assert page.evaluate(OUTSIDE) == []


def test_on_paper_each_set_of_the_week_has_a_place_and_nothing_is_cut(open_page, ana, block, today):
    page = open_page(ana, reverse("blocks:block", args=[block.pk]) + "?week=4")
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 718, "height": 1000})  # A4 within margins of 1 cm
    week = draft_of(block, today).snapshot["weeks"][3]
    lines = [ln for one in week["sessions"] for pair in one["pairs"] for ln in pair["lines"]]

    places = page.locator(".block-done li:visible")
    assert places.count() == sum(len(line["targets"]) for line in lines)
    assert page.locator(".strip:visible").count() == 0
    edges = places.evaluate_all("all => all.map((one) => one.getBoundingClientRect().right)")
    assert max(edges) <= 718
