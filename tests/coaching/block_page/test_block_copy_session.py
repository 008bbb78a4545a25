"""Where a copy of a session goes unless told otherwise, and which days hold one already."""

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import PlannedSession, Week
from tests.coaching.block_page.acting import PART, act
from tests.conftest import signed_in
from tests.factories.blocks import published_block

FORM = re.compile(r'<select id="panel-copy-session-on".*?</select>', re.DOTALL)
OPTION = re.compile(r'<option value="([^"]*)"( selected)?>([^<]*)</option>')


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today, "beginner-full-body")


def days(coach, block, session):
    url = reverse("blocks:edit-session", args=[block.pk, session["uid"]])
    part = signed_in(coach).get(url, {"shown": "2"}, headers=PART).content.decode()
    found = FORM.search(part)
    assert found
    return {day: (bool(chosen), words) for day, chosen, words in OPTION.findall(found[0])}


def chosen(found):
    return [day for day, (is_chosen, _) in found.items() if is_chosen]


def a_week_on(session):
    return str(date.fromisoformat(session["on"]) + timedelta(weeks=1))


def test_days_with_a_session_are_marked_and_a_free_day_of_this_week_is_the_first(ana, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]
    session = weeks[1]["sessions"][0]
    found = days(ana, block, session)

    held = {one["on"] for week in weeks for one in week["sessions"]}
    assert {day for day, (_, words) in found.items() if ", has " in words} == held & found.keys()
    assert found[session["on"]][1].endswith(f", has {session['name']}")
    # The same weekday a week on holds its own session: the first free day of the shown week.
    [first] = chosen(found)
    assert a_week_on(session) in held
    assert first not in held
    assert weeks[1]["starts_on"] <= first < weeks[2]["starts_on"]
    # Of the free days the one with the fewest sessions the day before and after it.
    one = timedelta(days=1)
    free = [day for day in found if weeks[1]["starts_on"] <= day < weeks[2]["starts_on"]]
    beside = {
        day: sum(str(date.fromisoformat(day) + by) in held for by in (-one, one))
        for day in free
        if day not in held
    }
    assert beside[first] == min(beside.values()) < max(beside.values())


def test_the_same_weekday_of_the_next_week_comes_first_where_it_is_free(ana, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]
    session, later = weeks[1]["sessions"][0], weeks[2]["sessions"][0]
    act(ana, block, act="remove-session", session=later["uid"], reach="week")

    assert chosen(days(ana, block, session)) == [a_week_on(session)]


def offered(coach, address, **query):
    part = signed_in(coach).get(address, {"shown": "2", **query}, headers=PART).content.decode()
    return [day for day, _, _ in OPTION.findall(part) if ISO_DAY.fullmatch(day)]


ISO_DAY = re.compile(r"\d{4}-\d\d-\d\d")


@pytest.fixture
def cut_short(ana, block, today):
    """Only three days of the second week are left: the third starts on its fourth day."""
    rows = list(Week.objects.filter(block=block).order_by("-starts_on"))
    third = rows[-3]
    starts_on = third.starts_on - timedelta(days=4)
    PlannedSession.objects.filter(week=rows[-2], on__gte=starts_on).delete()
    Week.objects.filter(pk=third.pk).update(starts_on=starts_on)
    return draft_of(block, today).snapshot["weeks"]


@pytest.mark.parametrize("kind", ["move", "copy", "add"])
def test_the_days_of_a_week_that_is_cut_short_are_its_own(ana, block, today, cut_short, kind):
    week = cut_short[1]
    session = week["sessions"][0]
    panel = reverse("blocks:edit-session", args=[block.pk, session["uid"]])
    if kind == "add":
        address = reverse("blocks:block", args=[block.pk])
        found = offered(ana, address, change="add-session", week="2")
    else:
        part = signed_in(ana).get(panel, {"shown": "2"}, headers=PART).content.decode()
        name = rf'<select id="panel-{kind}-session-on".*?</select>'
        [form] = re.findall(name, part, re.DOTALL)
        found = [day for day, _, _ in OPTION.findall(form)]

    assert found
    assert len(found) == len(set(found))
    for on in set(found) - ({session["on"]} if kind == "move" else set()):
        sent = {
            "move": {"act": "move-session", "session": session["uid"], "on": on},
            "copy": {"act": "copy-session", "session": session["uid"], "on": on},
            "add": {"act": "add-session", "week": week["starts_on"], "name": "New", "on": on},
        }[kind]
        answer = act(ana, block, reach="week", **sent)
        assert answer.status_code == 200, on
        act(ana, block, to="undo-edit")
