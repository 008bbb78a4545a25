"""The next block within the client's minutes: what is cut, why, and how it is taken back.

What gives way first is common practice, no source; see ``rules/shorter_session.py``.
"""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from clients.models import Equipment
from coaching.blocks.models import Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import block_value
from coaching.rules.next_block import KEEP
from coaching.rules.plan import EquipmentKind
from sessions.pages_next_block import next_block_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 11, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _wednesday(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def block(cleo, today):
    """A block that has ended, of sessions that take about an hour; Cleo has 50 minutes by now."""
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)
    cleo.minutes = 50
    cleo.save()
    monday = today - timedelta(days=today.weekday())
    made = published_block(cleo, monday - timedelta(weeks=5), "beginner-full-body")
    assert Week.objects.filter(block=made).count() == 5
    return made


def sessions_of(client, today, **sent):
    preview = next_block_page(client, sent, today).preview
    assert preview is not None
    return preview.sessions


def lines_of(page):
    return [line for session in page.preview.sessions for line in session.lines]


def cut_lines(page):
    return [line for line in lines_of(page) if line.cut]


def address(client):
    return reverse("sessions:next-block", args=[client.pk])


def test_a_session_over_the_clients_minutes_is_cut_beside_the_exercise_and_ends_on_time(
    cleo, block, today
):
    page = next_block_page(cleo, {}, today)

    for session in sessions_of(cleo, today):
        assert session.was_minutes > 50
        assert session.asked_minutes > 50
        assert session.minutes <= 50
        assert session.fits
    cut = cut_lines(page)
    # Primary work loses a set at most, and only for a muscle that would leave its range else.
    primary = [line.cut for line in cut if line.part == "primary"]
    assert all(one.before - one.after <= 1 for one in primary)
    assert len(primary) < len(cut) / 2
    first = cut[0]
    assert first.cut is not None
    assert "min of 50" in first.cut.why
    assert first.asks != first.now


def test_what_fits_is_not_cut(cleo, block, today):
    cleo.minutes = 90

    assert not cut_lines(next_block_page(cleo, {}, today))


def test_a_line_keeps_its_sets_when_the_coach_says_so_and_another_gives_way(cleo, block, today):
    line = cut_lines(next_block_page(cleo, {}, today))[0]

    page = next_block_page(cleo, {f"whole-{line.uid}": "1"}, today)

    kept = next(one for one in lines_of(page) if one.uid == line.uid)
    assert kept.cut is None
    assert kept.is_whole
    assert kept.asks == kept.now
    assert cut_lines(page) != cut_lines(next_block_page(cleo, {}, today))


def test_as_it_was_keeps_the_sets_too(cleo, block, today):
    line = cut_lines(next_block_page(cleo, {}, today))[0]

    page = next_block_page(cleo, {f"choice-{line.key}": KEEP}, today)

    assert not [one for one in cut_lines(page) if one.key == line.key]


def test_a_session_is_left_as_long_as_it_is(cleo, block, today):
    session = sessions_of(cleo, today)[0]

    after = sessions_of(cleo, today, **{f"whole-{session.uid}": "1"})[0]

    assert after.minutes == session.asked_minutes
    assert not after.fits
    assert after.is_whole
    assert not after.is_cut


def test_the_draft_has_what_was_shown_and_tells_the_cuts(ana, cleo, block, today):
    page = next_block_page(cleo, {}, today)

    signed_in(ana).post(address(cleo))

    made = cleo.blocks.get(published_at__isnull=True)
    first = snapshot_of(made)["weeks"][0]
    sets = [
        (line["name"], len(line["targets"]))
        for session in first["sessions"]
        for pair in session["pairs"]
        for line in pair["lines"]
    ]
    shown = [
        (line.to or line.name, line.cut.after if line.cut else len(line.choice.targets))
        for line in lines_of(page)
        if line.asks
    ]
    assert sorted(sets) == sorted(shown)
    told = [change["sentence"] for change in made.changes_from_template]
    assert any("min of 50" in one and "sets instead of" in one for one in told)
    letters = [
        [pair.letter for pair in session.pairs] for session in block_value(made).weeks[0].sessions
    ]
    assert all(one == sorted(one) and one[0] == "A" for one in letters)


def test_a_post_with_a_line_kept_whole_makes_it_so(ana, cleo, block, today):
    sessions = sessions_of(cleo, today)
    session, sent = sessions[0], {f"whole-{one.uid}": "1" for one in sessions}

    answer = signed_in(ana).get(address(cleo))
    signed_in(ana).post(address(cleo), sent)

    assert f'name="whole-{session.uid}"' in answer.content.decode()
    assert f"{len(sessions)} sessions cut to end on time" in answer.content.decode()
    made = cleo.blocks.get(published_at__isnull=True)
    was, now = (
        sum(p.sets for s in block_value(one).weeks[0].sessions for p in s.prescriptions)
        for one in (block, made)
    )
    assert was == now
    assert made.changes_from_template == []


def test_what_is_told_of_a_line_that_is_cut_agrees_with_its_sets(cleo, block, today):
    page = next_block_page(cleo, {}, today)
    cut = [one for one in cut_lines(page) if one.cut.is_fewer]

    assert cut
    for line in cut:
        assert "fewer sets" in line.tag
        assert "step up" not in line.tag
        assert f"{line.cut.after} of {line.cut.before} sets" in line.sentence
        everything = ", ".join(str(one) for one in line.choice.targets)
        assert f"ask for {everything} " not in line.sentence
    assert page.preview is not None
    assert "with fewer sets" in page.preview.counts


def test_what_is_left_out_says_so_in_its_tag_its_sentence_and_its_box(ana, cleo, block, today):
    cleo.minutes = 20
    cleo.save()
    page = next_block_page(cleo, {}, today)
    gone = [line for line in cut_lines(page) if line.cut.is_all]

    assert gone
    assert {line.tag for line in gone} == {"no time for it"}
    assert all(
        line.sentence.startswith("Left out so that the session ends on time") for line in gone
    )
    answer = signed_in(ana).get(address(cleo)).content.decode()
    assert "Keep it in<span" in answer


def test_the_headline_says_what_the_week_loses(ana, cleo, block, today):
    cleo.minutes = 30
    cleo.save()
    page = next_block_page(cleo, {}, today)
    preview = page.preview
    assert preview is not None
    assert page.last is not None
    assert page.first is not None
    before, after = (
        sum(
            sum(line["targets"])
            for session in week["sessions"]
            for pair in session["pairs"]
            for line in pair["lines"]
        )
        for week in (page.last.base, page.first.week)
    )

    assert after < before
    assert preview.loses.startswith("−")
    assert " to " in preview.loses
    assert preview.loses in signed_in(ana).get(address(cleo)).content.decode()
