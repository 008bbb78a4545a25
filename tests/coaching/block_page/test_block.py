"""The block's page: the whole plan in one place, and what of it stays as it is."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import Block, BlockTemplate, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template
from tests.coaching.block_page.acting import PART, act, change, open_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db


# What is shown


def test_the_page_shows_a_week_around_the_spine_and_what_it_does(ana, block):
    page = open_page(ana, block).context["page"]

    first = page.sessions[0].rows[0]
    assert first.left.side == "push"
    assert first.right.side == "pull"
    balance = page.effects.week.balance
    assert balance.push_sets == balance.pull_sets
    assert page.effects.week.chart.rows


def test_each_exercise_has_a_cell_for_every_week_that_leads_to_its_own_line(ana, block):
    page = open_page(ana, block).context["page"]

    strip = page.sessions[0].rows[0].left.strip
    weeks = [week["starts_on"] for week in snapshot_of(block)["weeks"]]
    by_uid = {
        one["uid"]: week["starts_on"]
        for week in snapshot_of(block)["weeks"]
        for session in week["sessions"]
        for pair in session["pairs"]
        for one in pair["lines"]
    }
    assert [by_uid[cell.uid] for cell in strip] == weeks
    assert [cell.is_light for cell in strip] == [False] * (len(weeks) - 1) + [True]


def test_what_rises_is_marked_by_a_word_and_not_by_colour_alone(ana, block, line):
    change(ana, block, line, targets="9-9-9-9-9", reach="week")

    page = open_page(ana, block).context["page"]

    strip = page.sessions[0].rows[0].left.strip
    # A figure does not break over two lines.
    assert strip[0].targets == "5\N{NO-BREAK SPACE}×\N{NO-BREAK SPACE}9"
    assert strip[1].mark == "falls"
    text = open_page(ana, block).text
    assert 'aria-hidden="true">↓</i><span class="visually-hidden">less, </span>' in text


def test_the_sets_and_reps_of_each_week_stand_above_it(ana, block):
    tabs = open_page(ana, block).context["page"].tabs

    weeks = snapshot_of(block)["weeks"]
    counted = [
        sum(
            len(one["targets"])
            for session in week["sessions"]
            for pair in session["pairs"]
            if pair["part"] != "warm-up"
            for one in pair["lines"]
        )
        for week in weeks
    ]
    assert [tab.sets for tab in tabs] == counted


# What may not be changed


def test_a_past_or_logged_session_cannot_be_changed(ana, block, line):
    session = line.pair.planned_session
    session.started_at = timezone.now()
    session.save()

    page = open_page(ana, block).context["page"]

    assert page.sessions[0].state == "logged"
    assert all(cell.is_fixed for cell in page.sessions[0].rows[0].left.strip[:1])
    answer = change(ana, block, line, targets="2-2")
    assert answer.status_code == 422
    assert "already begun" in answer.text


def test_what_is_locked_is_told_and_stays(ana, block, line):
    act(ana, block, act="lock", line=line.uid, reach="week")

    answer = change(ana, block, line, targets="2-2", reach="week")

    assert "locked; unlock it first" in answer.text
    assert open_page(ana, block).context["page"].sessions[0].rows[0].locked


def test_saving_what_is_planned_already_is_no_edit(ana, block, line):
    typed = "-".join(map(str, line.targets))

    answer = change(ana, block, line, targets=typed, panel="line")

    assert answer.status_code == 422
    assert "Nothing differs" in answer.text
    assert open_page(ana, block).context["page"].unpublished == 0


def test_a_draft_is_published_once_or_discarded(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    other = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)

    signed_in(ana).post(reverse("blocks:publish-block", args=[draft.pk]), {"revision": "0"})
    signed_in(ana).post(reverse("blocks:discard-draft", args=[draft.pk]))
    signed_in(ana).post(reverse("blocks:discard-draft", args=[other.pk]))

    assert Block.objects.get(pk=draft.pk).published_at is not None
    assert not Block.objects.filter(pk=other.pk).exists()


def test_before_it_is_sent_the_dialog_says_how_long_it_is_and_what_is_still_to_look_at(
    ana, cleo, today
):
    template = BlockTemplate.objects.get(key="beginner-full-body")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    first = Prescription.objects.filter(pair__planned_session__week__block=draft).first()
    change(ana, draft, first, targets="1-1-1-1-1-1-1-1-1", reach="week")

    page = open_page(ana, draft)
    weeks = page.context["page"].effects.columns
    dialog = page.text.partition('id="publish-dialog"')[2].partition("</dialog>")[0]
    said = " ".join(dialog.split())

    assert f"{len(weeks)} weeks, " in said
    alike = [one.number for one in weeks if one.findings == weeks[0].findings > 0]
    assert alike == [1]
    assert f"Still to look at: {weeks[0].findings} in week 1" in said


def test_a_coach_cannot_open_or_edit_another_coachs_block(ben, block, line):
    assert open_page(ben, block).status_code == 404
    assert change(ben, block, line, targets="2-2").status_code == 404


def test_an_edit_takes_at_most_twelve_queries_whatever_the_size_of_the_block(
    ana, cleo, block, line, today, django_assert_max_num_queries
):
    larger = published_block(cleo, today + timedelta(days=60), "upper-lower")
    row = Prescription.objects.filter(pair__planned_session__week__block=larger).order_by("pk")[0]

    for one, at in ((block, line), (larger, row)):
        change(ana, one, at, targets="9-9")
        revision = draft_of(one, today).revision
        browser = signed_in(ana)
        url = reverse("blocks:edit-block", args=[one.pk])
        sent = {"act": "change-line", "line": at.uid, "targets": "8-8", "reach": "onward"}
        # A savepoint and its release are told as queries in a test, not in use.
        with django_assert_max_num_queries(12 + 2):
            answer = browser.post(url, {"revision": revision, "shown": "1", **sent}, headers=PART)
        assert answer.status_code == 200
