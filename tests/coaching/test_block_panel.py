"""The panel beside the plan: what an edit did is told, and a finding can be settled in one act."""

from datetime import timedelta
from html import unescape
from re import findall, search

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.editing.draft_services import draft_of
from tests.conftest import signed_in
from tests.factories.blocks import published_block

PART = {"HX-Request": "true"}
REMEDY_NAME = 'name="remedy"'
REMEDY = r'name="remedy"\s+value="([^"]+)"'


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today + timedelta(days=30))


@pytest.fixture
def coach(ana):
    return signed_in(ana)


def post(coach, block, today, **sent):
    url = reverse("blocks:edit-block", args=[block.pk])
    revision = draft_of(block, today).revision
    answer = coach.post(url, {"revision": revision, "shown": "1", **sent}, headers=PART)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def asked_after(coach, block, revision):
    """What the panel asks for by itself after an edit."""
    sent = {"revision": revision, "shown": "1"}
    return coach.get(reverse("blocks:block-findings", args=[block.pk]), sent, headers=PART)


def findings_of(coach, block, today):
    answer = asked_after(coach, block, draft_of(block, today).revision)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def pushing_line(block, today):
    """The first exercise of the block that pushes, as the page shows it on the left."""
    session = draft_of(block, today).snapshot["weeks"][0]["sessions"][0]
    return session["pairs"][0]["lines"][0]


def test_an_edit_answers_with_what_it_did(coach, block, today):
    line = pushing_line(block, today)

    part = post(
        coach, block, today, act="nudge-line", line=line["uid"], field="sets", by="1", reach="week"
    )

    reps = line["targets"][-1]
    told = search(r"Your change:</strong>\s*(.+?)\s*<", part)
    assert told is not None
    # Only what needs an act has the colour of an alarm.
    assert '<strong class="signal">Your change' not in part
    assert f"week +{reps} reps" in told[1]
    assert "<ins>+1</ins>" in part


def test_a_finding_that_the_edit_brought_is_new_and_its_remedy_settles_it(coach, block, today):
    line = pushing_line(block, today)
    nudge = {"act": "nudge-line", "line": line["uid"], "field": "sets", "reach": "week"}
    leaning = post(coach, block, today, **nudge, by="1")
    found = findings_of(coach, block, today)

    remedies = findall(REMEDY, found.split("The session has more", 1)[1])
    level = post(coach, block, today, remedy=remedies[0])

    for part in (leaning, found):
        assert "New:</strong>" in part
        assert "The session has more" in part
    assert "Put right: The session has more" in level


def test_what_settles_a_finding_comes_after_the_edit_and_not_of_a_plan_that_moved_on(
    coach, block, today
):
    line = pushing_line(block, today)
    nudge = {"act": "nudge-line", "line": line["uid"], "field": "sets", "by": "1"}
    first = post(coach, block, today, **nudge)
    seen = draft_of(block, today).revision
    post(coach, block, today, **nudge)

    late = asked_after(coach, block, seen)
    found = findings_of(coach, block, today)

    url = reverse("blocks:block-findings", args=[block.pk])
    assert f'hx-get="{url}?revision={seen}"' in first
    assert REMEDY_NAME not in first
    assert late.status_code == 204
    assert REMEDY_NAME in found
    assert "hx-get" not in found


@pytest.mark.parametrize("place", ["session", "pair"])
def test_no_remedy_is_offered_for_what_is_locked(coach, block, today, place):
    line = pushing_line(block, today)
    session = draft_of(block, today).snapshot["weeks"][0]["sessions"][0]
    nudge = {"act": "nudge-line", "line": line["uid"], "field": "sets", "reach": "week"}
    post(coach, block, today, **nudge, by="1")
    lean = findings_of(coach, block, today)
    locks = {"session": session["uid"]} if place == "session" else {"line": line["uid"]}

    post(coach, block, today, act="lock", **locks)

    held = [one["uid"] for one in session["pairs"][0]["lines"]]
    assert any(uid in one for one in findall(REMEDY, lean) for uid in held)
    sent = findall(REMEDY, findings_of(coach, block, today))
    assert not any(uid in one for one in sent for uid in [*held, locks.get("session", "none")])


def test_without_an_edit_nothing_is_told_to_have_changed(coach, block):
    page = coach.get(reverse("blocks:block", args=[block.pk])).content.decode()

    assert "Your change" not in page
    assert "<ins>" not in page
    assert "Sets per muscle over the weeks" in page


def test_the_log_is_read_when_it_is_looked_at_and_not_at_every_edit(coach, block, today):
    line = pushing_line(block, today)
    url = reverse("sessions:block-done", args=[block.pk])

    page = coach.get(reverse("blocks:block", args=[block.pk])).content.decode()
    part = post(
        coach, block, today, act="nudge-line", line=line["uid"], field="reps", by="1", reach="week"
    )

    for text in (page, part):
        assert f'hx-get="{url}"' in text
        assert 'id="effects-done-part"' in text
        assert "hx-preserve" in text


def test_each_wrong_field_says_so_at_its_place_and_keeps_what_was_typed(coach, block, today):
    line = pushing_line(block, today)
    sent = {"targets": "8-", "tempo": "slow", "rest_s": "2 min", "rir": "11"}
    raw = {"act": "change-line", "panel": "line", "line": line["uid"], "reach": "week", **sent}
    url = reverse("blocks:edit-block", args=[block.pk])
    revision = draft_of(block, today).revision

    answer = coach.post(url, {"revision": revision, "shown": "1", **raw}, headers=PART)

    part = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert findall(r'id="panel-wrong-(\w+)"', part) == ["targets", "tempo", "rir"]
    assert part.count("aria-invalid") == 3
    assert part.count("autofocus") == 1
    assert 'value="8-"' in part
    assert "data-refused" in part


def test_the_panel_shows_values_as_the_cell_does(coach, block, today):
    line = pushing_line(block, today)
    post(coach, block, today, act="change-line", line=line["uid"], targets="3 × 9", rest_s="2:00")

    part = coach.get(reverse("blocks:edit-line", args=[block.pk, line["uid"]]), headers=PART)

    text = unescape(part.content.decode())
    assert 'value="3 × 9"' in text
    assert 'value="2 min"' in text


def test_a_week_offers_only_what_can_be_done_with_it_and_speaks_of_light_weeks(coach, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]

    def panel(week):
        url = reverse("blocks:edit-week", args=[block.pk, week["starts_on"]])
        return unescape(coach.get(url, headers=PART).content.decode())

    first, second = panel(weeks[0]), panel(weeks[1])

    assert "Put a light week before it" not in first
    assert "Put a light week before it" in second
    assert "Put a copy after" in first
    assert "deload<" not in first
    assert "light week</option>" in first


def test_a_light_week_is_made_anew_from_its_panel_once_its_usual_week_is_another(
    coach, block, today
):
    weeks = draft_of(block, today).snapshot["weeks"]
    light = next(week for week in weeks if week["kind"] == "deload")
    url = reverse("blocks:edit-week", args=[block.pk, light["starts_on"]])
    for session in weeks[weeks.index(light) - 1]["sessions"]:
        post(coach, block, today, act="shorten-session", session=session["uid"], minutes="30")

    assert "Make it light anew" in unescape(coach.get(url, headers=PART).content.decode())
    post(coach, block, today, act="light-week-anew", week=light["starts_on"])
    assert "Make it light anew" not in unescape(coach.get(url, headers=PART).content.decode())
