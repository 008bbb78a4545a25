"""What the page of the next block says of the draft before it is made, and a light week first."""

import html
from datetime import timedelta

import pytest
from django.urls import reverse

from clients.models import JointLimit
from coaching.blocks.queries import block_value
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.numbers import DELOAD_SHARE, DELOAD_TOLERANCE
from coaching.rules.plan import JointStress, WeekKind
from sessions import week_reading
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.sessions.next_block.pages import address

pytestmark = pytest.mark.django_db


def found_in_draft(browser, client) -> set[str]:
    """Every finding of every week of the draft, as the page of the block tells it."""
    made = client.blocks.get(published_at__isnull=True)
    page = reverse("blocks:block", args=[made.pk])
    weeks = [
        browser.get(page, {"week": n + 1}).context["effects"] for n in range(made.weeks.count())
    ]
    return {
        one.finding.sentence
        for effects in weeks
        for one in effects.findings
        if one.finding.kind is not FindingKind.LOAD_TO_CHOOSE
    }


def test_what_the_draft_will_be_found_to_have_is_told_before_it_is_made(ana, cleo, block, log):
    cleo.minutes = 25
    cleo.save()
    JointLimit.objects.create(
        client=cleo,
        stress=JointStress.KNEE_DEEP_FLEXION.value,
        action="watch",
        since=block.starts_on + timedelta(weeks=20),
    )
    browser = signed_in(ana)
    shown = browser.get(address(cleo))
    whole = {f"whole-{one.uid}": "1" for one in shown.context["page"].preview.sessions}
    before = html.unescape(browser.get(address(cleo), whole).content.decode())

    browser.post(address(cleo), whole)

    found = found_in_draft(browser, cleo)
    assert any("min" in one for one in found)
    assert [one for one in sorted(found) if one not in before] == []


def test_a_limit_that_begins_within_the_block_is_told_with_its_weeks(ana, cleo, block, log, today):
    starts_on = signed_in(ana).get(address(cleo)).context["page"].reading.starts_on
    JointLimit.objects.create(
        client=cleo,
        stress=JointStress.KNEE_DEEP_FLEXION.value,
        action="watch",
        since=starts_on + timedelta(weeks=2),
    )

    found = signed_in(ana).get(address(cleo)).context["page"].preview.found

    assert any("Weeks 3" in one and "knee" in one for one in found.must_see)


# A light week first


@pytest.fixture
def _fallen(monkeypatch):
    said = "Nothing planned explains it: no light week, no change of exercise, no missed week."
    found = Finding(FindingKind.OVERREACHING, said, (), "A rule.", "common-practice")
    monkeypatch.setattr(week_reading, "read_signals", lambda *_, **__: (found,))


def test_where_nothing_says_so_no_light_week_is_offered_first(ana, cleo, block, log):
    page = signed_in(ana).get(address(cleo)).content.decode()

    assert 'name="light-first"' not in page


@pytest.mark.usefixtures("_fallen")
def test_where_strength_falls_the_block_may_begin_with_a_light_week_and_take_it_back(
    ana, cleo, block, log
):
    browser = signed_in(ana)

    offered = browser.get(address(cleo))
    chosen = browser.get(address(cleo), {"light-first": "1"})

    said, box = offered.content.decode(), chosen.content.decode()
    assert said.index("Nothing planned explains it") < said.index("Begin with a light week")
    assert "One week with about 40% of the usual repetitions comes first" in said
    assert "checked" in box[box.index('name="light-first"') :].partition(">")[0]
    longer = chosen.context["page"].ends_on - offered.context["page"].ends_on
    assert longer == timedelta(weeks=1)
    assert not cleo.blocks.filter(published_at__isnull=True).exists()


@pytest.mark.usefixtures("_fallen")
@pytest.mark.parametrize("sent", [{}, {"light-first": "1"}])
def test_the_draft_begins_with_the_light_week_only_where_it_was_chosen(ana, cleo, block, log, sent):
    page = signed_in(ana).get(address(cleo), sent).context["page"]

    signed_in(ana).post(address(cleo), sent)

    made = cleo.blocks.get(published_at__isnull=True)
    weeks = block_value(made).weeks
    light = [one.kind is WeekKind.DELOAD for one in weeks]
    assert light == [*([True] if sent else []), *[False] * (page.weeks - 1), True]
    assert weeks[0].starts_on == page.reading.starts_on
    assert [one.starts_on - weeks[0].starts_on for one in weeks] == [
        timedelta(weeks=n) for n in range(len(weeks))
    ]
    assert weeks[-1].starts_on + timedelta(days=6) == page.ends_on
    reps = [sum(p.reps for s in w.sessions for p in s.prescriptions) for w in weeks]
    for first in reps[: len(sent)]:
        # About 40 % of the usual volume (common practice, no source).
        assert first / reps[1] == pytest.approx(DELOAD_SHARE.value, abs=DELOAD_TOLERANCE.value)
    days = {tuple(s.on.weekday() for s in one.sessions) for one in weeks}
    assert len(days) == 1


@pytest.mark.usefixtures("_fallen")
def test_a_light_week_that_is_still_to_come_is_named_beside_the_one_that_is_offered(
    ana, cleo, block, log, monday
):
    over = signed_in(ana).get(address(cleo)).content.decode()
    published_block(cleo, monday, "beginner-full-body")

    runs = signed_in(ana).get(address(cleo)).content.decode()

    assert "ends with a light week already" not in over
    assert "Block 2 ends with a light week already, from " in runs
    assert "Or put the light week into block 2 now" in runs
    assert "Or put the light week" not in over
