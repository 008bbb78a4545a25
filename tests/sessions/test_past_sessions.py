"""Sessions of other days and sessions without a plan: written down later, opened again, kept ahead."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit, record_body_weight
from coaching.blocks.models import PlannedSession
from coaching.library.models import Exercise
from sessions.errors import EntryError
from sessions.models import LoggedSession
from sessions.queries import attendance_of
from sessions.services import record_entry
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.phone import session_entry, set_entry
from tests.factories.sessions import log_session


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def today(cleo, now):
    return cleo.local_date(now)


@pytest.fixture
def block(cleo, today):
    """A block that began two Mondays ago."""
    return published_block(cleo, today - timedelta(days=today.weekday() + 14), "upper-lower")


def last_before(block, day) -> PlannedSession:
    rows = PlannedSession.objects.filter(week__block=block, on__lt=day)
    return rows.order_by("-on")[0]


def get(user, url, *args, **asked):
    return signed_in(user).get(reverse(f"sessions:{url}", args=args), asked)


def free_set(now, **fields):
    plank = Exercise.objects.get(key="plank")
    return {
        "kind": "set",
        "uid": str(uuid4()),
        "edit": str(uuid4()),
        "revision": 1,
        "session": str(uuid4()),
        "done_at": now.isoformat(),
        "exercise": plank.pk,
        "number": 1,
        "amount": 40,
        **fields,
    }


def test_a_session_written_down_later_is_dated_by_the_day_that_is_said(cleo, block, now, today):
    record_body_weight(client=cleo, on=today - timedelta(days=20), kg=70)
    record_body_weight(client=cleo, on=today, kg=75)
    planned, on = last_before(block, today), today - timedelta(days=3)

    record_entry(client=cleo, entry=set_entry(planned, now, on=on.isoformat()))

    row = LoggedSession.objects.get()
    assert (row.on, row.planned_session, row.started_at) == (on, planned, now)
    assert float(row.body_weight_kg or 0) == 70
    [attendance] = attendance_of([cleo], planned.on, planned.on)[cleo.pk]
    assert attendance.done


def test_the_day_counts_for_the_first_entry_only(cleo, block, now, today):
    planned, on = last_before(block, today), today - timedelta(days=3)
    record_entry(client=cleo, entry=set_entry(planned, now, on=on.isoformat()))

    record_entry(client=cleo, entry=session_entry(planned, now, rpe=7, on=today.isoformat()))

    assert LoggedSession.objects.get().on == on


@pytest.mark.parametrize(
    ("days", "words"),
    [(2, "Day: it is still to come"), (-15, "Day: a session can be written down up to 14 days")],
)
def test_a_day_to_come_or_long_gone_is_refused_with_words(cleo, block, now, today, days, words):
    entry = set_entry(last_before(block, today), now, on=(today + timedelta(days=days)).isoformat())

    with pytest.raises(EntryError) as refused:
        record_entry(client=cleo, entry=entry)

    assert str(refused.value).startswith(words)
    assert not LoggedSession.objects.exists()


def test_the_fourteenth_day_is_the_last_that_is_taken(cleo, block, now, today):
    on = today - timedelta(days=14)

    record_entry(client=cleo, entry=set_entry(last_before(block, today), now, on=on.isoformat()))

    assert LoggedSession.objects.get().on == on


def test_an_entry_that_waited_on_a_phone_for_a_month_is_taken_all_the_same(cleo, now, today):
    then = now - timedelta(days=30)

    record_entry(client=cleo, entry=free_set(then, on=cleo.local_date(then).isoformat()))

    assert LoggedSession.objects.get().on == cleo.local_date(then)


def test_the_page_says_on_which_days_a_session_may_have_been_done(cleo, block, now, today):
    planned = last_before(block, today)
    open_page = get(cleo.user, "today", session=str(planned.uid)).context["page"]
    record_entry(client=cleo, entry=set_entry(planned, now, on=str(today - timedelta(days=2))))

    begun = get(cleo.user, "today", session=str(planned.uid)).context["page"]

    assert open_page.data["days"] == [str(today - timedelta(days=n)) for n in range(15)]
    assert [str(one) for one in open_page.days] == open_page.data["days"]
    assert (open_page.data["on"], open_page.data["is_past"]) == (str(today), False)
    assert (begun.data["days"], begun.days) == ([], ())
    assert (begun.data["on"], begun.data["is_past"]) == (str(today - timedelta(days=2)), True)


def test_a_session_without_a_plan_begins_empty_and_comes_back_with_its_lines(cleo, now):
    empty = get(cleo.user, "unplanned").context["page"]
    entry = free_set(now, planned_session="", session_name="")
    record_entry(client=cleo, entry=entry)

    again = get(cleo.user, "today", session=entry["session"]).context["page"]

    assert (empty.data["session"], empty.data["planned_session"]) == ("", None)
    assert (empty.data["lines"], empty.data["sets"], empty.session.pairs) == ([], [], ())
    assert empty.session.name == "Unplanned session"
    assert again.data["session"] == entry["session"]
    assert [line["uid"] for line in again.data["lines"]] == [f"x{entry['exercise']}"]
    assert [one["uid"] for one in again.data["sets"]] == [entry["uid"]]


def test_a_session_without_a_plan_that_runs_is_todays_and_then_stands_beside_it(cleo, now):
    entry = free_set(now)
    record_entry(client=cleo, entry=entry)
    running = get(cleo.user, "today").context["page"]
    end = {"kind": "session", "uid": entry["session"], "revision": 1, "session": entry["session"]}
    moment = now.isoformat()
    record_entry(client=cleo, entry={**end, "done_at": moment, "finished_at": moment})

    after = get(cleo.user, "today").context["page"]

    assert running.data["session"] == entry["session"]
    assert after.session is None
    assert [str(row.uid) for row in after.others] == [entry["session"]]


def test_a_past_session_opens_by_its_own_id_with_or_without_its_plan(cleo, block, today):
    planned = last_before(block, today)
    logged = log_session(cleo, planned)
    with_plan = get(cleo.user, "today", session=str(logged.uid)).context["page"].data
    planned.delete()

    without = get(cleo.user, "today", session=str(logged.uid)).context["page"].data

    assert (with_plan["planned_session"], without["planned_session"]) == (str(planned.uid), None)
    uids = [one["uid"] for one in with_plan["sets"]]
    assert uids
    assert [one["uid"] for one in without["sets"]] == uids
    assert [x["uid"] for x in without["lines"]] == [x["uid"] for x in with_plan["lines"]]


def test_a_logged_session_of_somebody_else_is_not_found(ana, ben, cleo, drew, now):
    entry = free_set(now)
    record_entry(client=cleo, entry=entry)

    answers = [
        get(drew.user, "today", session=entry["session"]),
        get(ben, "today-for", cleo.pk, session=entry["session"]),
        get(ana, "today-for", cleo.pk, session=entry["session"]),
    ]

    assert [answer.status_code for answer in answers] == [404, 404, 200]


def test_the_page_of_a_day_ahead_is_what_that_day_will_show(cleo, block, now, today):
    rows = PlannedSession.objects.filter(week__block=block, on__gt=today)
    coming = rows.filter(on__lte=today + timedelta(days=7)).order_by("on")[0]

    page = get(cleo.user, "today", day=str(coming.on)).context["page"]

    assert page.data["planned_session"] == str(coming.uid)
    assert (page.today, page.data["today"], page.data["on"]) == (
        coming.on,
        str(coming.on),
        str(coming.on),
    )
    assert page.session.is_today


def test_what_runs_now_is_not_what_another_day_shows(cleo, now, today):
    record_entry(client=cleo, entry=free_set(now))

    page = get(cleo.user, "today", day=str(today + timedelta(days=1))).context["page"]

    assert page.session is None


@pytest.mark.parametrize("asked", [-1, 8, "soon", "2026-13-01"])
def test_other_days_are_not_found(cleo, today, asked):
    day = asked if isinstance(asked, str) else str(today + timedelta(days=asked))

    assert get(cleo.user, "today", day=day).status_code == 404


def test_what_can_be_added_is_told_by_name_with_the_day_it_was_last_done(
    ana, cleo, now, today, django_assert_max_num_queries
):
    record_entry(client=cleo, entry=free_set(now))
    cleo.equipment.all().delete()
    add_joint_limit(client=cleo, stress="grip", action="avoid", since=today)
    browser = signed_in(ana)

    with django_assert_max_num_queries(12):
        answer = browser.get(reverse("sessions:today-exercises-for", args=[cleo.pk]))

    found = answer.json()["exercises"]
    names = [one["name"].lower() for one in found]
    assert names == sorted(names)
    plank = next(one for one in found if one["last"])
    assert plank["exercise"] == Exercise.objects.get(key="plank").pk
    assert (plank["last"], plank["measure"], plank["takes_load"]) == (str(today), "seconds", False)
    assert sum(one["last"] is None for one in found) == len(found) - 1
    rows = Exercise.objects.filter(pk__in=[one["exercise"] for one in found])
    assert all(row.equipment == [] and "grip" not in row.joint_stresses for row in rows)
    assert get(cleo.user, "today-exercises").json() == answer.json()


def test_a_page_for_the_coach_names_the_coachs_addresses(ana, cleo):
    data = get(ana, "unplanned-for", cleo.pk).context["page"].data

    assert data["exercises_url"] == f"/clients/{cleo.pk}/today/exercises/"
    assert data["unplanned_url"] == f"/clients/{cleo.pk}/today/unplanned/"
    assert data["sync_url"] == f"/clients/{cleo.pk}/sync/"
