"""What does not go as planned on the phone: swapped, skipped, lighter, noted, added, written down later."""

import re
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from coaching.blocks.models import Pair, PlannedSession, Prescription
from coaching.rules.plan import Part
from sessions.models import LineChange, LoggedSession, LoggedSet
from tests.browser.on_phone import TAP, ready, save, told, until


def first_line(planned: PlannedSession) -> Prescription:
    return planned.pairs.all()[0].prescriptions.all()[0]


def open_sheet(page: Page, name: str):
    page.get_by_role("button", name=f"Swap or skip {name}").tap()
    return page.get_by_role("dialog", name=name)


def test_twenty_sets_to_plan_cost_at_most_twenty_five_taps(phone, planned):
    pair = planned.pairs.all()[0]
    planned.pairs.exclude(pk=pair.pk).delete()
    Prescription.objects.filter(pair=pair).update(targets=[6] * 10)
    page = phone()
    page.evaluate("window.taps = 0; addEventListener('click', () => { window.taps += 1; }, true)")

    save(page, 20)
    page.locator(".effort label").nth(7).tap()
    page.get_by_role("button", name="Finish the session").tap()

    expect(page.locator("#summary")).to_contain_text("20 of 20 sets")
    # A tap on a label is also told as a click of its input: one tap is counted twice.
    assert page.evaluate("window.taps") <= 25


def test_an_exercise_is_swapped_with_a_reason_and_put_back(phone, planned):
    page = phone()
    line = first_line(planned)

    sheet = open_sheet(page, line.exercise.name)
    sheet.get_by_role("button", name="Swap", exact=True).tap()
    expect(sheet.get_by_text("Choose what you do instead.")).to_be_visible()
    choice = sheet.locator(".swap-list label").first
    name = choice.locator("strong").inner_text()
    choice.tap()
    sheet.get_by_text("it hurts", exact=True).tap()
    sheet.get_by_role("button", name="Swap", exact=True).tap()

    expect(page.locator(".entry-name")).to_have_text(f"{name}, set 1")
    expect(page.get_by_text(f"instead of {line.exercise.name}: it hurts")).to_be_visible()
    save(page)
    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    row = LoggedSet.objects.get()
    assert (row.exercise.name, row.prescription_uid) == (name, line.uid)
    assert LineChange.objects.get().reason == "it hurts"
    page.reload()
    ready(page)
    expect(page.get_by_text(f"instead of {line.exercise.name}: it hurts")).to_be_visible()
    sheet = open_sheet(page, name)
    sheet.get_by_role("button", name=f"Back to {line.exercise.name}").tap()
    expect(page.get_by_role("heading", name=line.exercise.name, exact=True)).to_be_visible()
    until(page, lambda: LineChange.objects.get().removed_at is not None)


def test_an_exercise_is_skipped_and_nothing_more_of_it_is_asked(phone, planned):
    page = phone()
    line, other = planned.pairs.all()[0].prescriptions.all()

    sheet = open_sheet(page, line.exercise.name)
    sheet.get_by_role("button", name="Skip this exercise").tap()
    expect(sheet.get_by_text("Choose a reason or write one")).to_be_visible()
    sheet.get_by_text("no time", exact=True).tap()
    sheet.get_by_role("button", name="Skip this exercise").tap()

    expect(page.locator(".entry-name")).to_have_text(f"{other.exercise.name}, set 1")
    save(page)
    expect(page.locator(".entry-name")).to_have_text(f"{other.exercise.name}, set 2")
    until(page, lambda: LineChange.objects.filter(change="skip", reason="no time").exists())


def test_after_a_short_supplementary_set_the_next_one_is_lighter(phone, planned, cleo):
    line = first_line(planned)
    Pair.objects.filter(pk=line.pair_id).update(part=Part.SUPPLEMENTARY.value)
    Prescription.objects.filter(pk=line.pk).update(load_kg=10)
    page = phone()
    page.locator("[data-pair] [data-slot]").first.tap()
    page.get_by_role("button", name="One fewer").tap()
    save(page)
    page.locator("[data-pair]").first.locator(".pair-row").nth(1).locator(".set").first.tap()

    expect(page.locator(".entry-drop")).to_contain_text("one step easier")
    lighter = float(page.locator(".entry-load input").input_value())
    assert lighter < 10
    page.get_by_role("button", name="Keep +10 kg").tap()
    expect(page.locator(".entry-load input")).to_have_value("10")


def test_a_warm_up_set_is_kept_and_does_not_count(phone, planned):
    page = phone()
    line = first_line(planned)

    open_sheet(page, line.exercise.name).get_by_role("button", name="Log a warm-up set").tap()
    expect(page.locator(".entry-name")).to_have_text(f"{line.exercise.name}, warm-up set 1")
    page.get_by_label("Reps", exact=True).fill("3")
    save(page)

    expect(page.locator(".entry-name")).to_have_text(f"{line.exercise.name}, set 1")
    until(page, lambda: LoggedSet.objects.filter(warm_up=True, amount=3).exists())
    page.reload()
    ready(page)
    expect(page.locator(".pair-row.is-aside .set.is-done")).to_have_count(1)
    expect(page.locator(".entry-name")).to_have_text(f"{line.exercise.name}, set 1")


def test_a_note_on_a_set(phone):
    page = phone()
    save(page)

    page.get_by_role("button", name="Note", exact=True).tap()
    sheet = page.get_by_role("dialog", name="Note on this set")
    sheet.get_by_label("Note").fill("Grip slipped.")
    sheet.get_by_role("button", name="Save").tap()

    until(page, lambda: LoggedSet.objects.filter(note="Grip slipped.").exists())
    expect(page.get_by_role("button", name="Change note")).to_be_visible()


def test_an_unplanned_session_is_logged_without_a_network_too(phone, troubles):
    page = phone(url=reverse("sessions:unplanned"))
    page.get_by_role("button", name="Add an exercise").tap()
    sheet = page.get_by_role("dialog", name="Add an exercise")
    sheet.get_by_label("Part of its name").fill("push-up")
    sheet.get_by_role("button", name="Push-up", exact=True).tap()
    page.context.set_offline(True)
    page.get_by_label("Reps", exact=True).fill("11")
    save(page)
    expect(page.locator(".entry-name")).to_have_text("Push-up, set 2")
    save(page)
    page.context.set_offline(False)

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    session = LoggedSession.objects.get()
    assert session.planned_session is None
    assert [row.amount for row in session.sets.all()] == [11, 11]
    page.reload()
    ready(page)
    expect(page.locator("ol .set.is-done")).to_have_count(2)
    troubles.clear()


def test_a_session_is_written_down_for_the_day_it_was_done(phone, planned, cleo):
    on = cleo.local_date(timezone.now()) - timedelta(days=2)
    PlannedSession.objects.filter(pk=planned.pk).update(on=on)
    page = phone(url=f"{reverse('sessions:today')}?session={planned.uid}")

    page.get_by_label("Done on").select_option(on.isoformat())
    save(page, 2)

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    session = LoggedSession.objects.get()
    assert session.on == on
    assert {cleo.local_date(row.done_at) for row in session.sets.all()} == {on}
    expect(page.locator("rest-timer")).to_be_hidden()


def test_the_page_holds_at_twice_the_size(open_page, cleo, planned):
    page = open_page(
        cleo.user, reverse("sessions:today"), viewport={"width": 195, "height": 422}, is_mobile=True
    )
    ready(page)

    root = "document.documentElement"
    assert page.evaluate(f"{root}.scrollWidth <= {root}.clientWidth")
    expect(page.locator(".entry-save")).to_be_visible()
    page.locator(".entry-save").click()
    expect(told(page)).to_have_text(re.compile("^1 saved here, 1 with your coach$"))
    page.wait_for_timeout(TAP)
