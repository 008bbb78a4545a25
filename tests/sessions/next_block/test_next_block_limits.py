"""A joint limit that begins within the next block is minded in all of its weeks."""

from datetime import timedelta

import pytest

from clients.models import JointLimit
from coaching.blocks.editing.draft_services import publish_changes
from coaching.rules.plan import JointStress
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.sessions.next_block.pages import address, reading_of

pytestmark = pytest.mark.django_db

WRIST = JointStress.WRIST_EXTENSION
WEEK = timedelta(weeks=1)


def limited_from(cleo, day, stress=WRIST, action="avoid"):
    JointLimit.objects.create(client=cleo, stress=stress.value, action=action, since=day)


def first_day(cleo, today):
    return reading_of(next_block_page(cleo, {}, today)).starts_on


def loading(page, stress=WRIST):
    found = [one.exercise for one in page.choices.values() if one.exercise]
    return [one.name for one in found if stress in one.joint_stresses]


def test_what_is_avoided_from_a_later_week_on_does_not_come_over_and_says_from_when(
    cleo, block, log, today
):
    before = next_block_page(cleo, {}, today)
    assert loading(before)
    since = reading_of(before).starts_on + 2 * WEEK
    limited_from(cleo, since)

    page = next_block_page(cleo, {}, today)

    assert loading(page) == []
    gone = [one.sentence for one in page.choices.values() if one.why == "not possible now"]
    assert gone
    day = f"{since.day} {since:%b}"
    assert all(f"which is avoided from {day} on" in one for one in gone)


def test_what_may_be_chosen_instead_is_not_avoided_later_either(cleo, block, log, today):
    limited_from(cleo, first_day(cleo, today) + 2 * WEEK)

    lines = reading_of(next_block_page(cleo, {}, today)).lines.values()

    others = [one.exercise for line in lines for one in line.others]
    assert others
    assert not [one.name for one in others if WRIST in one.joint_stresses]


def test_a_limit_that_begins_after_the_last_week_changes_nothing_until_the_block_is_longer(
    cleo, block, log, today
):
    limited_from(cleo, first_day(cleo, today) + 4 * WEEK)

    assert loading(next_block_page(cleo, {"weeks": "4"}, today))
    assert not loading(next_block_page(cleo, {"weeks": "5"}, today))


@pytest.mark.parametrize("stress", [WRIST, JointStress.GRIP, JointStress.KNEE_DEEP_FLEXION])
def test_the_draft_may_be_published(ana, cleo, block, log, today, stress):
    limited_from(cleo, first_day(cleo, today) + 2 * WEEK, stress)

    signed_in(ana).post(address(cleo))
    made = cleo.blocks.get(published_at__isnull=True)
    publish_changes(block=made, by=ana, today=today)

    assert made.published_at


def test_what_is_to_be_regressed_later_says_from_when(cleo, block, log, today):
    since = first_day(cleo, today) + WEEK
    limited_from(cleo, since, action="regress")

    page = next_block_page(cleo, {}, today)

    said = [one.sentence for one in page.choices.values() if one.why == "joint limit"]
    assert said
    assert all(f"bent back under load from {since.day} {since:%b} on" in one for one in said)
