"""A template or a block for several clients: a look for each, and drafts for all."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit, set_equipment
from coaching.blocks.block_sources import TemplateSource
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockTemplate, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def drew(ana):
    client = ClientFactory.create(coach=ana, name="Drew Salas", minutes=45)
    set_equipment(client=client, items=[{"kind": "rings", "pieces": []}])
    return client


@pytest.fixture
def template():
    return BlockTemplate.objects.get(key="rings-at-home")


@pytest.fixture
def start(cleo) -> date:
    today: date = cleo.local_date(timezone.now())
    return today + timedelta(days=7)


def url_of(template):
    return reverse("blocks:apply-template", args=[template.pk])


def sent(start, *clients):
    return {"starts_on": start.isoformat(), "clients": [one.pk for one in clients]}


def test_each_client_is_looked_at_by_own_equipment_and_minutes(ana, cleo, drew, template, start):
    page = signed_in(ana).get(url_of(template), sent(start, cleo, drew)).context["page"]

    looks = {look.client.name: look for look in page.looks}
    short = looks["Drew Salas"]
    assert any("needs rings" in one for one in looks[cleo.name].changes.work)
    assert not any("needs" in one for one in short.changes.work)
    assert any("would take" in one for one in short.changes.work)
    assert all(session.fits and session.minutes <= 45 for session in short.sessions)
    assert page.ready == 2
    assert not cleo.blocks.exists()


def test_drafts_are_made_for_all_who_are_ticked(ana, cleo, drew, template, start):
    other = ClientFactory.create(coach=ana, name="Emil Haas")

    answer = signed_in(ana).post(url_of(template), sent(start, cleo, drew), follow=True)

    assert "2 drafts for Cleo Brandt, Drew Salas are made" in answer.content.decode()
    assert [c.blocks.get().starts_on for c in (cleo, drew)] == [start, start]
    assert cleo.blocks.get().published_at is None
    assert not other.blocks.exists()


def test_one_that_fails_stops_all_and_is_told_by_name(
    ana, cleo, drew, template, start, monkeypatch
):
    made = TemplateSource.make

    def fails_for_drew(self, client, **more):
        if client == drew:
            raise BlockError("Nothing of this template fits this client; choose another.")
        return made(self, client, **more)

    monkeypatch.setattr(TemplateSource, "make", fails_for_drew)

    answer = signed_in(ana).post(url_of(template), sent(start, cleo, drew))

    assert answer.status_code == 422
    assert "Drew Salas: Nothing of this template fits" in answer.content.decode()
    assert "No draft was made for anybody." in answer.content.decode()
    assert not drew.blocks.exists()
    assert not cleo.blocks.exists()


def test_each_client_starts_after_the_running_block(ana, cleo, drew, template, start):
    running = published_block(cleo, start - timedelta(days=7), "beginner-full-body")
    after = running.starts_on + timedelta(weeks=running.weeks.count())
    browser = signed_in(ana)

    looks = browser.get(url_of(template), sent(start, cleo, drew)).context["page"].looks
    browser.post(url_of(template), sent(start, cleo, drew))

    assert {one.client.name: one.starts_on for one in looks} == {
        cleo.name: after,
        drew.name: start,
    }
    assert all(one.is_ticked for one in looks)
    assert cleo.blocks.latest("number").starts_on == after
    assert drew.blocks.get().starts_on == start


def test_without_a_day_blocks_start_on_the_coming_monday(ana, drew, template):
    look = signed_in(ana).get(url_of(template), {"clients": [drew.pk]}).context["page"].looks[0]

    today = drew.local_date(timezone.now())
    assert look.starts_on.weekday() == 0
    assert 0 <= (look.starts_on - today).days < 7


def test_a_day_of_ones_own_is_taken_for_that_client_alone(ana, cleo, drew, template, start):
    own = start + timedelta(days=2)
    data = sent(start, cleo, drew) | {f"starts_on_{drew.pk}": own.isoformat()}

    signed_in(ana).post(url_of(template), data)

    assert (cleo.blocks.get().starts_on, drew.blocks.get().starts_on) == (start, own)


def test_days_that_are_taken_are_told_beside_the_client_and_nothing_is_made(
    ana, cleo, drew, template, start
):
    published_block(cleo, start - timedelta(days=7), "beginner-full-body")
    shown = sent(start, cleo, drew) | {"shown": [cleo.pk, drew.pk]}
    data = shown | {f"starts_on_{cleo.pk}": start.isoformat()}
    browser = signed_in(ana)

    refused = browser.post(url_of(template), data)
    left_out = browser.post(url_of(template), data | {"look": "1", "clients": [drew.pk]})

    look = refused.context["page"].looks[0]
    assert refused.status_code == 422
    assert "plans sessions until" in look.fault
    assert f'id="day-fault-{cleo.pk}"' in refused.content.decode()
    assert not drew.blocks.exists()
    assert cleo.blocks.count() == 1
    assert [one.is_ticked for one in left_out.context["page"].looks] == [False, True]
    browser.post(url_of(template), data | {"clients": [drew.pk]})
    assert drew.blocks.count() == 1
    assert cleo.blocks.count() == 1


@pytest.mark.parametrize(
    ("raw", "told"), [("2020-01-06", "can start today"), ("soon", "“soon” is not a day")]
)
def test_a_day_that_cannot_be_is_told_beside_the_client(
    ana, cleo, drew, template, start, raw, told
):
    data = sent(start, cleo, drew) | {f"starts_on_{cleo.pk}": raw}

    answer = signed_in(ana).post(url_of(template), data)

    looks = {one.client.name: one for one in answer.context["page"].looks}
    assert answer.status_code == 422
    assert told in looks[cleo.name].fault
    assert looks[drew.name].fault == ""
    assert not cleo.blocks.exists()
    assert not drew.blocks.exists()


def test_looking_again_makes_nothing_and_keeps_days_and_ticks(ana, cleo, drew, template, start):
    own = start + timedelta(days=7)
    data = {
        "starts_on": start.isoformat(),
        "shown": [cleo.pk, drew.pk],
        "clients": [cleo.pk],
        f"starts_on_{cleo.pk}": own.isoformat(),
        "look": "1",
    }

    answer = signed_in(ana).post(url_of(template), data)

    looks = {one.client.name: one for one in answer.context["page"].looks}
    assert answer.status_code == 200
    assert looks[cleo.name].starts_on == own
    assert looks[cleo.name].sessions[0].on == own
    assert [looks[name].is_ticked for name in (cleo.name, drew.name)] == [True, False]
    assert not cleo.blocks.exists()


def test_who_is_left_out_for_the_day_is_ticked_again_once_it_is_free(
    ana, cleo, drew, template, start
):
    running = published_block(cleo, start - timedelta(days=7), "beginner-full-body")
    free = running.starts_on + timedelta(weeks=running.weeks.count())
    browser = signed_in(ana)
    field = f"starts_on_{cleo.pk}"
    data = sent(start, cleo, drew) | {"shown": [cleo.pk, drew.pk], "look": "1"}

    taken = browser.post(url_of(template), data | {field: start.isoformat()})
    again = {"clients": [drew.pk], "held": [cleo.pk], field: free.isoformat()}
    mended = browser.post(url_of(template), data | again)

    looks = [answer.context["page"].looks[0] for answer in (taken, mended)]
    assert [(one.is_ticked, one.is_held) for one in looks] == [(False, True), (True, False)]
    assert f'name="held" value="{cleo.pk}"' in taken.content.decode()


def test_nobody_ticked_is_told(ana, cleo, template, start):
    data = {"starts_on": start.isoformat(), "shown": [cleo.pk]}

    answer = signed_in(ana).post(url_of(template), data)

    assert answer.status_code == 422
    assert "Nobody is ticked." in answer.content.decode()


def test_a_draft_that_waits_already_is_told(ana, cleo, template, start):
    browser = signed_in(ana)
    browser.post(url_of(template), sent(start, cleo))

    look = browser.get(url_of(template), sent(start, cleo)).context["page"].looks[0]

    assert "Block 1, Rings at home, is a draft already" in look.notes


def test_findings_name_the_weeks_that_they_are_true_of(ana, cleo, start):
    template = BlockTemplate.objects.get(key="upper-lower")
    look = signed_in(ana).get(url_of(template), sent(start, cleo)).context["page"].looks[0]

    assert [week.kind for week in look.weeks][-1] == "light"
    assert look.weeks[-1].reps < look.weeks[0].reps
    found = (*look.findings.must_see, *look.findings.others)
    assert all(one.startswith("Week") for one in found)


def test_a_client_of_another_coach_cannot_be_chosen(ana, ben, template, start):
    stranger = ClientFactory.create(coach=ben)

    answer = signed_in(ana).post(url_of(template), sent(start, stranger))

    assert answer.status_code == 422
    assert not stranger.blocks.exists()


@pytest.mark.parametrize("days", [-1, 0])
def test_the_first_day_is_not_in_the_past(ana, cleo, template, days):
    start = timezone.localdate() + timedelta(days=days)

    answer = signed_in(ana).post(url_of(template), sent(start, cleo))

    assert (answer.status_code == 422) == (days < 0)
    assert cleo.blocks.exists() == (days == 0)


def test_nobody_chosen_is_told(ana, template, start):
    answer = signed_in(ana).post(url_of(template), {"starts_on": start.isoformat()})

    assert "Choose one client or more." in answer.content.decode()


def test_loads_that_nobody_knows_are_left_to_choose_and_told_once(ana, drew, start):
    set_equipment(client=drew, items=[{"kind": "dumbbells", "pieces": [10, 12]}])
    template = BlockTemplate.objects.get(key="dumbbells-short")
    browser = signed_in(ana)

    answer = browser.get(url_of(template), sent(start, drew))
    browser.post(url_of(template), sent(start, drew))

    look = answer.context["page"].looks[0]
    assert "Dumbbell floor press" in look.to_choose
    assert len(set(look.to_choose)) == len(look.to_choose)
    assert "Loads to choose in the draft: Dumbbell floor press, " in answer.content.decode()
    found = (*look.findings.must_see, *look.findings.others)
    assert not any("choose the load" in one for one in found)
    loads = {ln["name"]: ln["load_kg"] for _, ln in lines_of(snapshot_of(drew.blocks.get()))}
    assert loads["Dumbbell floor press"] == 0


def test_a_running_block_is_told(ana, cleo, template, start):
    published_block(cleo, start - timedelta(days=7), "beginner-full-body")

    look = signed_in(ana).get(url_of(template), sent(start, cleo)).context["page"].looks[0]

    assert any("this starts after it" in note for note in look.notes)


def test_a_block_is_copied_to_its_own_client_week_by_week_with_its_loads(ana, cleo, start):
    set_equipment(
        client=cleo,
        items=[
            {"kind": "dumbbells", "pieces": [10, 12, 14]},
            {"kind": "bands", "pieces": [8]},
        ],
    )
    cleo.minutes = 75
    cleo.save()
    block = published_block(cleo, start, "dumbbells-short")
    row = Prescription.objects.filter(
        pair__planned_session__week__block=block, exercise__key="floor-press"
    ).order_by("pair__planned_session__on")[1]
    row.load_kg, row.targets = 12, [6, 6, 6, 6, 7]
    row.save()
    later = start + timedelta(weeks=8)

    signed_in(ana).post(reverse("blocks:copy-block", args=[block.pk]), sent(later, cleo))

    copied = cleo.blocks.latest("number")
    before, after = snapshot_of(block), snapshot_of(copied)
    plain = [
        (line["name"], line["targets"], line["load_kg"], line["tempo"], line["rir"])
        for _, line in lines_of(before)
    ]
    assert copied.starts_on == later
    assert plain == [
        (line["name"], line["targets"], line["load_kg"], line["tempo"], line["rir"])
        for _, line in lines_of(after)
    ]
    assert [
        date.fromisoformat(s["on"]) + timedelta(weeks=8)
        for w in before["weeks"]
        for s in w["sessions"]
    ] == [date.fromisoformat(s["on"]) for w in after["weeks"] for s in w["sessions"]]
    assert copied.changes_from_template == []


def test_a_block_copied_to_another_client_fits_that_one_and_leaves_loads_open(
    ana, cleo, drew, start
):
    set_equipment(client=cleo, items=[{"kind": "dumbbells", "pieces": [10, 12]}])
    block = published_block(cleo, start, "dumbbells-short")
    Prescription.objects.filter(pair__planned_session__week__block=block).update(load_kg=12)
    add_joint_limit(client=drew, stress="grip", action="avoid", since=start - timedelta(days=30))

    signed_in(ana).post(reverse("blocks:copy-block", args=[block.pk]), sent(start, drew))

    copied = drew.blocks.get()
    used = {line["exercise"] for _, line in lines_of(snapshot_of(copied))}
    rows = Exercise.objects.filter(pk__in=used)
    assert {kind for row in rows for kind in row.equipment} <= {"rings"}
    assert not any("grip" in row.joint_stresses for row in rows)
    assert {line["load_kg"] for _, line in lines_of(snapshot_of(copied))} == {0}
    assert any("needs dumbbells" in one["sentence"] for one in copied.changes_from_template)
