"""Today line by line: what may be done instead, what was changed, what was added."""

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest

from clients.models import Equipment
from clients.services import add_joint_limit
from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value
from coaching.rules.plan import LoadKind
from sessions.models import LineChange, LoggedSession
from sessions.pages_swaps import load_to_begin
from sessions.pages_today import today_page
from sessions.queries_phone import LastTime
from sessions.services import record_entry
from sessions.shown_session import Shown
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.phone import line_entry, set_entry
from tests.factories.sessions import log_session

URLS = {"today_url": "/today/", "log_url": "/my-log/", "sync_url": "/sync/"}
MONDAY = date(2026, 3, 9)
NOON = datetime(2026, 3, 9, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _monday_noon(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)


@pytest.fixture
def planned(cleo) -> PlannedSession:
    block = published_block(cleo, MONDAY, "upper-lower")
    return PlannedSession.objects.get(week__block=block, on=MONDAY)


def data_of(client, wanted=None, day=None):
    return today_page(client, client.user, NOON, URLS, wanted, day).data


def line_of(data, uid):
    return next(line for line in data["lines"] if line["uid"] == str(uid))


def first_line(planned) -> Prescription:
    return Prescription.objects.filter(pair__planned_session=planned).order_by("pair", "pk")[0]


def test_each_line_offers_what_trains_the_same_main_mover_of_the_same_pattern(cleo, planned):
    for line in data_of(cleo)["lines"]:
        asked = Exercise.objects.get(pk=line["exercise"])
        mover = {s.muscle for s in asked.muscle_shares.all() if s.share == 1}
        assert len(line["swaps"]) <= 4
        for swap in line["swaps"]:
            given = Exercise.objects.get(pk=swap["exercise"])
            trained = {s.muscle for s in given.muscle_shares.all() if s.share == 1}
            easier = given.ladder == asked.ladder and (given.rung or 0) < (asked.rung or 0)
            assert given.pattern == asked.pattern
            assert mover & trained or easier
            assert swap["why"]
    assert any(line["swaps"] for line in data_of(cleo)["lines"])


def test_nothing_is_offered_that_a_joint_or_the_equipment_forbids(cleo, planned):
    cleo.equipment.all().delete()
    add_joint_limit(client=cleo, stress="wrist bent back under load", action="avoid", since=MONDAY)

    swaps = [swap for line in data_of(cleo)["lines"] for swap in line["swaps"]]

    rows = Exercise.objects.filter(pk__in=[swap["exercise"] for swap in swaps])
    assert rows
    assert all(row.equipment == [] for row in rows)
    assert all("wrist bent back under load" not in row.joint_stresses for row in rows)


def test_the_lines_name_the_part_of_the_session(cleo, planned):
    parts = {line["uid"]: line["part"] for line in data_of(cleo)["lines"]}

    rows = Prescription.objects.filter(pair__planned_session=planned).select_related("pair")
    assert parts == {str(row.uid): row.pair.part for row in rows}


def value_of(kind: LoadKind):
    row = Exercise.objects.filter(coach=None, load_kind=kind.value).order_by("key")[0]
    return exercise_value(row)


@pytest.mark.django_db
def test_a_swap_begins_with_the_load_last_used_or_the_easiest():
    """Common practice, no source: what is done for the first time is begun easy."""
    last = LastTime(MONDAY, (8, 8), (12.5, 10))
    external, assisted = LoadKind.EXTERNAL, LoadKind.ASSISTED

    assert load_to_begin(value_of(external), (7.5, 10, 12.5), last) == 12.5
    assert load_to_begin(value_of(external), (7.5, 10, 15), last) == 10
    assert load_to_begin(value_of(external), (20, 25), last) == 20
    assert load_to_begin(value_of(external), (7.5, 10), None) == 7.5
    assert load_to_begin(value_of(assisted), (25, 15, 5), last) == 15
    assert load_to_begin(value_of(assisted), (25, 15), None) == 25
    assert load_to_begin(value_of(LoadKind.NONE), (), None) == 0


def test_every_offered_load_is_one_that_the_equipment_makes(cleo, planned):
    cleo.equipment.filter(kind="dumbbells").delete()
    Equipment.objects.create(client=cleo, kind="dumbbells", pieces=[7.5, 10])

    swaps = [swap for line in data_of(cleo)["lines"] for swap in line["swaps"]]

    assert all(swap["load"] in swap["loads"] for swap in swaps if swap["takes_load"])
    assert all(swap["loads"] == [] for swap in swaps if not swap["takes_load"])


def test_a_swap_comes_back_with_its_reason_and_stays_among_what_is_offered(cleo, planned):
    other = Exercise.objects.get(key="plank")
    line = first_line(planned)
    entry = line_entry(line, NOON, change="swap", exercise=other.pk, reason="shoulder")
    record_entry(client=cleo, entry=entry)

    data = data_of(cleo)

    [change] = data["changes"]
    assert (change["prescription"], change["exercise"]) == (str(line.uid), other.pk)
    assert (change["change"], change["reason"], change["removed"]) == ("swap", "shoulder", False)
    assert other.pk in [swap["exercise"] for swap in line_of(data, line.uid)["swaps"]]
    assert len(line_of(data, line.uid)["swaps"]) <= 4


def test_a_skip_is_kept_with_its_reason_and_can_be_taken_back(cleo, planned):
    entry = line_entry(first_line(planned), NOON, change="skip", reason="no bench free")
    record_entry(client=cleo, entry=entry)
    skipped = data_of(cleo)["changes"]

    record_entry(client=cleo, entry={**entry, "revision": 2, "removed": True})

    assert [one["reason"] for one in skipped] == ["no bench free"]
    assert data_of(cleo)["changes"] == []
    assert LineChange.objects.get().removed_at is not None


def test_a_swap_to_what_a_joint_limit_blocks_is_kept_as_it_was_done(cleo, planned):
    push_up = Exercise.objects.get(key="push-up")
    add_joint_limit(client=cleo, stress="wrist bent back under load", action="avoid", since=MONDAY)
    assert "wrist bent back under load" in push_up.joint_stresses
    line = first_line(planned)
    entry = line_entry(line, NOON, change="swap", exercise=push_up.pk, reason="felt fine")

    record_entry(client=cleo, entry=entry)
    record_entry(client=cleo, entry=set_entry(planned, NOON, exercise=push_up.pk))

    row = LoggedSession.objects.get()
    assert row.line_changes.get().exercise == push_up
    assert row.sets.get().exercise == push_up


def test_an_added_exercise_has_a_line_and_a_pair_of_its_own(cleo, planned):
    plank = Exercise.objects.get(key="plank")
    entry = set_entry(planned, NOON, exercise=plank.pk, prescription=None, target=None, amount=40)
    record_entry(client=cleo, entry=entry)

    page = today_page(cleo, cleo.user, NOON, URLS)

    line = line_of(page.data, f"x{plank.pk}")
    assert (line["targets"], line["exercise"], line["pair"]) == ([], plank.pk, f"x{plank.pk}")
    assert page.session is not None
    pair = page.session.pairs[-1]
    assert (pair.letter, pair.key, pair.title) == ("+", f"x{plank.pk}", "added")
    [cell] = pair.rows[0].cells
    assert (cell.key, cell.done) == (f"x{plank.pk}:1", "40")


def test_a_set_of_a_line_that_the_plan_dropped_meanwhile_is_still_shown(cleo, planned):
    gone = str(uuid4())
    record_entry(client=cleo, entry=set_entry(planned, NOON, prescription=gone))

    data = data_of(cleo)

    assert line_of(data, gone)["targets"] == []
    assert [one["prescription"] for one in data["sets"]] == [gone]


def test_a_warm_up_set_takes_no_place_of_the_plan(cleo, planned):
    line = first_line(planned)
    assert line.pair.part != "warm-up"
    record_entry(client=cleo, entry=set_entry(planned, NOON, warm_up=True, amount=5))

    page = today_page(cleo, cleo.user, NOON, URLS)

    assert page.session is not None
    cells = [c for pair in page.session.pairs for row in pair.rows for c in row.cells]
    assert all(cell.done == "" for cell in cells)
    assert page.data["sets"][0]["warm_up"] is True


def test_a_session_whose_plan_is_gone_is_shown_as_it_was_asked_for(cleo, planned):
    logged = log_session(cleo, planned, drop=1)
    before = data_of(cleo, Shown(planned, logged))
    planned.delete()

    data = data_of(cleo, Shown(None, LoggedSession.objects.get()))

    keep = ("uid", "name", "targets", "load", "tempo", "rest", "pair", "part")
    assert [[ln[k] for k in keep] for ln in data["lines"]] == [
        [ln[k] for k in keep] for ln in before["lines"]
    ]
    assert (data["planned_session"], data["session"]) == (None, str(logged.uid))
    assert data["minutes"] == before["minutes"]


@pytest.mark.parametrize("limited", [False, True])
def test_today_costs_the_same_whatever_was_changed(
    cleo, planned, limited, django_assert_max_num_queries
):
    if limited:
        add_joint_limit(client=cleo, stress="grip", action="watch", since=MONDAY)
    retired = Exercise.objects.get(key="plank")
    retired.retired_at = NOON
    retired.save()
    for number, line in enumerate(Prescription.objects.filter(pair__planned_session=planned)):
        swap = line_entry(line, NOON, change="swap", exercise=retired.pk, reason="full")
        record_entry(client=cleo, entry=swap)
        record_entry(
            client=cleo,
            entry=set_entry(
                planned, NOON, exercise=retired.pk, prescription=None, number=number + 1
            ),
        )
    cleo.refresh_from_db()

    with django_assert_max_num_queries(23):
        page = today_page(cleo, cleo.user, NOON + timedelta(minutes=1), URLS)

    assert len(page.data["changes"]) == len(page.data["lines"]) - 1


def test_a_weight_that_nobody_has_chosen_is_never_asked_for_as_0_kg(cleo, planned):
    lifted = Exercise.objects.filter(load_kind=LoadKind.EXTERNAL)[0]
    Prescription.objects.filter(pk=first_line(planned).pk).update(exercise=lifted, load_kg=0)

    page = signed_in(cleo.user).get("/today/").content.decode()

    assert "weight to find" in page
    assert ">0 kg<" not in page
