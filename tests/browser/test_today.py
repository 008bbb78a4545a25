"""A client's session on the phone: one tap a set, nothing lost, nothing doubled.

Longer than our files are: every journey begins on the same page and shares its few helpers.
"""

import re
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Route, expect

from clients.models import BodyWeight
from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSession, LoggedSet
from tests.browser.conftest import sign_in
from tests.browser.on_phone import TAP, ready, save, told, until


def all_sets(planned: PlannedSession) -> int:
    return sum(len(p.targets) for pair in planned.pairs.all() for p in pair.prescriptions.all())


def test_a_whole_session_with_one_tap_a_set_ends_in_the_log(phone, planned):
    page = phone()
    count = all_sets(planned)

    save(page, count)
    page.get_by_role("radio", name="7 very hard").check(force=True)
    page.get_by_label("A word to your coach").fill("Last pull was slow.")
    page.get_by_role("button", name="Finish the session").tap()

    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    expect(page.locator("#summary")).to_contain_text(f"{count} of {count} sets")
    expect(told(page)).to_have_text(f"{count} saved here, {count} with your coach")
    row = LoggedSession.objects.get()
    assert (str(row.rpe), row.note, row.sets.count()) == ("7.0", "Last pull was slow.", count)
    assert all(s.amount == s.target for s in row.sets.all())
    page.locator("#summary").get_by_role("link", name="My log").tap()
    expect(page.locator(".log-sessions")).to_contain_text("effort 7 of 10")


def test_a_pair_alternates_under_the_thumb(phone, planned):
    page = phone()
    one, two = planned.pairs.all()[0].prescriptions.all()
    heading = page.locator(".entry-name")

    expect(heading).to_have_text(f"{one.exercise.name}, set 1")
    save(page)
    expect(heading).to_have_text(f"{two.exercise.name}, set 1")
    save(page)

    expect(heading).to_have_text(f"{one.exercise.name}, set 2")


def test_a_set_that_fell_short_and_its_reserve(phone, planned):
    page = phone()
    target = planned.pairs.all()[0].prescriptions.all()[0].targets[0]

    page.get_by_role("button", name="One fewer").tap()
    expect(page.locator(".entry-save")).to_have_text(f"Log {target - 1} reps")
    save(page)
    page.locator(".entry-after").get_by_text("2", exact=True).tap()

    until(page, lambda: LoggedSet.objects.filter(revision=2).exists())
    row = LoggedSet.objects.get()
    assert (row.amount, row.target, row.rir) == (target - 1, target, 2)


def test_pain_above_the_limit_cautions_at_once_and_stops_the_exercise(phone, planned):
    page = phone()
    hurting, other = planned.pairs.all()[0].prescriptions.all()
    save(page)

    page.get_by_role("button", name="Something hurts").tap()
    sheet = page.get_by_role("dialog", name="Something hurts")
    sheet.get_by_role("radio", name="5", exact=True).check(force=True)
    expect(sheet.get_by_text("Stop this exercise")).to_be_hidden()
    sheet.get_by_role("radio", name="6", exact=True).check(force=True)
    expect(sheet.get_by_text("see a licensed practitioner")).to_be_visible()
    sheet.get_by_role("radio", name="elbow").check(force=True)
    sheet.get_by_label("In your words").fill("left")
    sheet.get_by_role("button", name="Save").tap()
    hurt = page.get_by_text(f"{hurting.exercise.name}: pain 6, elbow, left. Do this one only if")
    expect(hurt).to_be_visible()
    save(page)

    # The hurting exercise is left out: after the other's first set comes its second.
    expect(page.locator(".entry-name")).to_have_text(f"{other.exercise.name}, set 2")
    until(page, lambda: LoggedSet.objects.filter(revision=2).exists())
    row = LoggedSet.objects.get(exercise=hurting.exercise_id)
    assert (row.pain, row.pain_where) == (6, "elbow, left")


def test_without_a_network_every_set_is_kept_and_sent_later(phone, troubles):
    page = phone()
    page.context.set_offline(True)

    save(page, 3)
    expect(told(page)).to_have_text("3 saved here, 0 with your coach · no network")
    assert LoggedSet.objects.count() == 0
    page.context.set_offline(False)

    expect(told(page)).to_have_text("3 saved here, 3 with your coach")
    assert LoggedSet.objects.count() == 3
    assert [t for t in troubles if "ERR_INTERNET_DISCONNECTED" not in t] == []
    troubles.clear()


def test_what_is_corrected_before_it_was_sent_arrives_as_corrected(phone, troubles):
    page = phone()
    page.context.set_offline(True)
    save(page)
    for reserve in ("3", "1"):
        page.locator(".entry-after").get_by_text(reserve, exact=True).tap()
    page.wait_for_timeout(TAP)
    expect(told(page)).to_have_text("1 saved here, 0 with your coach · no network")

    page.context.set_offline(False)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    row = LoggedSet.objects.get()
    assert (row.rir, row.revision) == (1, 3)
    troubles.clear()


def test_leaving_and_coming_back_with_unsent_sets_shows_all_of_them(phone, troubles):
    page = phone()
    page.route("**/sync/", lambda route: route.abort())
    save(page, 2)

    page.reload()
    ready(page)

    expect(page.locator("ol .set.is-done")).to_have_count(2)
    expect(told(page)).to_have_text("2 saved here, 0 with your coach · waiting to send")
    page.unroute("**/sync/")
    page.reload()
    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    assert LoggedSet.objects.count() == 2
    troubles.clear()


def test_an_answer_that_is_lost_on_the_way_doubles_nothing(phone, troubles):
    page = phone()
    lost: list[int] = []

    def swallow(route: Route) -> None:
        answer = route.fetch()
        if len(lost) < 2:
            lost.append(answer.status)
            route.abort()
        else:
            route.fulfill(response=answer)

    page.route("**/sync/", swallow)
    save(page, 2)

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    assert lost == [200, 200]
    assert LoggedSet.objects.count() == 2
    troubles.clear()


def test_a_lost_sign_in_keeps_everything_and_asks(phone, live_server, cleo, troubles):
    page = phone()
    page.context.clear_cookies(name="sessionid")

    save(page, 2)
    expect(page.get_by_role("heading", name="Sign in again")).to_be_visible()
    assert LoggedSet.objects.count() == 0
    sign_in(page.context, live_server.url, cleo.user)
    page.reload()

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    assert LoggedSet.objects.count() == 2
    troubles.clear()


def test_a_lost_token_is_fetched_anew(phone, troubles):
    page = phone()
    page.context.clear_cookies(name="csrftoken")

    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    assert [t for t in troubles if "403" not in t] == []
    troubles.clear()


def test_a_refused_set_says_why_and_can_be_corrected(phone, troubles):
    page = phone()
    page.clock.set_fixed_time("2020-01-01T10:00:00Z")
    page.locator(".entry-save").tap()

    problem = page.locator("unsent-problems")
    expect(problem).to_contain_text("the phone's clock said 1 Jan 2020")
    expect(told(page)).to_have_text("1 saved here, 0 with your coach · not accepted")
    page.clock.set_fixed_time(timezone.now())
    problem.get_by_role("button", name="Correct it").tap()
    page.get_by_role("button", name=re.compile("^Save ")).tap()

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    expect(problem).to_be_empty()
    assert LoggedSet.objects.get().revision == 2
    troubles.clear()


def test_a_logged_set_is_corrected_and_taken_back(phone):
    page = phone()
    save(page, 2)
    first = page.locator("ol .set.is-done").first

    first.tap()
    expect(page.locator(".entry-name")).to_contain_text("Correct:")
    page.get_by_role("button", name="One more", exact=True).tap()
    page.locator(".entry-save").tap()
    until(page, lambda: LoggedSet.objects.filter(revision=2).exists())
    corrected = LoggedSet.objects.order_by("done_at")[0]
    page.wait_for_timeout(TAP)
    first.tap()
    page.get_by_role("button", name="Take it back").tap()

    expect(page.locator("ol .set.is-done")).to_have_count(1)
    until(page, lambda: LoggedSet.objects.filter(removed_at=None).count() == 1)
    assert corrected.amount == (corrected.target or 0) + 1


def test_one_more_set_than_planned(phone, planned):
    page = phone()
    line = planned.pairs.all()[0].prescriptions.all()[0]

    page.get_by_role("button", name=f"One more set of {line.exercise.name}").tap()
    page.get_by_label("Reps", exact=True).fill("4")
    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    row = LoggedSet.objects.get()
    assert (row.number, row.amount, row.target) == (len(line.targets) + 1, 4, None)
    page.reload()
    ready(page)
    expect(page.locator("ol .set.is-done")).to_have_text(re.compile("4"))


def test_a_finger_that_bounces_logs_one_set(phone):
    page = phone()

    page.locator(".entry-save").dblclick()
    page.wait_for_timeout(TAP)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    assert LoggedSet.objects.count() == 1


def test_a_session_is_skipped_with_a_reason_and_done_after_all(phone, planned):
    page = phone()
    page.get_by_role("heading", name="Skip this session").tap()
    page.get_by_role("button", name="Skip it").tap()
    expect(page.get_by_text("Choose a reason or write one")).to_be_visible()
    page.get_by_role("radio", name="ill").check(force=True)
    page.get_by_role("button", name="Skip it").tap()
    expect(page.get_by_role("heading", name="Skipped")).to_be_visible()
    expect(told(page)).not_to_contain_text("more to send")
    assert LoggedSession.objects.get().skipped_reason == "ill"

    page.get_by_role("button", name="Do it after all").tap()
    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    assert LoggedSession.objects.get().skipped_reason == ""


def test_rest_is_counted_from_the_set_even_when_the_phone_slept(phone, planned):
    page = phone()
    rest = planned.pairs.all()[0].prescriptions.all()[0].rest_s
    save(page)
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile(rf"rest {rest // 60}:|rest {(rest - 1) // 60}:"))

    LoggedSet.objects.update(done_at=timezone.now() - timedelta(seconds=rest + 30))
    page.reload()

    expect(timer).to_have_text(re.compile(r"rested \+0:3\d"))


def test_body_weight_of_the_day_is_kept_without_a_network_too(phone, cleo, troubles):
    page = phone()
    page.context.set_offline(True)
    page.get_by_label("Body weight").fill("66.4")
    page.locator(".today-weight").get_by_role("button", name="Save").tap()
    expect(page.get_by_text("66.4 kg saved for today")).to_be_visible()

    page.context.set_offline(False)

    expect(told(page)).not_to_contain_text("more to send")
    assert float(BodyWeight.objects.get(client=cleo).kg) == 66.4
    troubles.clear()


def test_a_coach_logs_for_a_client_on_the_same_page(phone, ana, cleo):
    page = phone(ana, reverse("sessions:today-for", args=[cleo.pk]))

    expect(page.get_by_text("Logging for Cleo Brandt")).to_be_visible()
    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 in the log")
    assert LoggedSession.objects.get().client == cleo


def test_signing_out_with_unsent_entries_asks_first(phone, troubles):
    page = phone()
    page.route("**/sync/", lambda route: route.abort())
    save(page)
    page.get_by_role("link", name="My log").first.tap()
    expect(told(page)).to_have_text("1 saved here, not with your coach yet · waiting to send")

    page.get_by_role("button", name="Sign out").tap()
    question = page.get_by_role("dialog", name="One entry has not arrived yet")
    question.get_by_role("button", name="Stay signed in").tap()

    expect(question).to_be_hidden()
    assert page.url.endswith(reverse("sessions:my-log"))
    page.unroute("**/sync/")
    page.reload()
    expect(told(page)).to_have_text("All saved with your coach")
    page.get_by_role("button", name="Sign out").tap()
    expect(page).to_have_url(re.compile(r"/sign-in/"))
    troubles.clear()


def test_a_session_is_logged_by_keyboard_alone(phone):
    page = phone()

    page.locator(".entry-save").focus()
    page.keyboard.press("Enter")
    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    page.wait_for_timeout(TAP)
    page.keyboard.press("Enter")

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")


def test_every_target_on_the_phone_is_large_enough_for_a_thumb(phone):
    page = phone()
    save(page)
    small = """() => [...document.querySelectorAll('button, a, summary, input, label:has(input), textarea')]
      .filter((one) => one.checkVisibility() && !one.closest('.skip-link, .choice-grid input, label > input'))
      .filter((one) => !one.matches('[type=radio], .skip-link'))
      .map((one) => [one.outerHTML.slice(0, 90), one.getBoundingClientRect().height])
      .filter(([, height]) => height < 48)"""

    on_today = page.evaluate(small)
    page.get_by_role("link", name="My log").first.tap()
    expect(told(page)).to_have_text("All saved with your coach")

    assert [*on_today, *page.evaluate(small)] == []


def test_the_card_leaves_the_set_to_do_and_the_one_before_in_sight(phone):
    page = phone()

    save(page, times=4)

    card = page.locator(".entry").bounding_box()
    head = page.locator(".phone-head").bounding_box()
    now = page.locator("ol .set.is-now")
    rows = [now.bounding_box(), page.locator("ol .set.is-done").last.bounding_box()]
    assert card["height"] < 350
    for row in rows:
        assert head["y"] + head["height"] <= row["y"]
        assert row["y"] + row["height"] <= card["y"]
