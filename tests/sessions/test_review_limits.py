"""The review and joint limits: nothing to be avoided is proposed, and what is planned is mended."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clients.services import add_joint_limit, end_joint_limit
from coaching.blocks.limit_services import override_limit, withdraw_override
from coaching.blocks.models import JointLimitOverride, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from coaching.rules.findings import FindingKind
from sessions.models import Decision, LoggedSet
from sessions.roster_reading import read_roster_weeks
from sessions.week_reading import read_weeks
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}
WRIST = "wrist bent back under load"


@pytest.fixture
def block(cleo, last_week):
    made = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return made


@pytest.fixture
def push_up():
    return Exercise.objects.get(key="push-up", coach=None)


def limit(client, since, action="avoid", stress=WRIST):
    return add_joint_limit(client=client, stress=stress, action=action, since=since)


def read(client, week, today):
    return read_weeks([client], week, today)[0]


def at(name, week, *args):
    return f"{reverse(f'sessions:{name}', args=args)}?week={week.isoformat()}"


def test_nothing_is_proposed_for_or_onto_what_must_be_avoided(cleo, block, last_week, today):
    before = {p.exercise.key for p in read(cleo, last_week, today).proposals}
    limit(cleo, today)

    proposals = read(cleo, last_week, today).proposals

    assert "push-up" in before
    assert proposals
    assert not any(WRIST in p.exercise.joint_stresses for p in proposals)
    assert not any(WRIST in p.to.joint_stresses for p in proposals if p.to)


def test_a_step_up_onto_a_rung_that_loads_what_is_regressed_is_not_proposed(
    cleo, block, last_week, today
):
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    rows.filter(exercise__ladder__isnull=False).update(targets=[8, 8, 8, 8, 8])
    steps = [p.to for p in read(cleo, last_week, today).proposals if p.to]
    loaded = {stress for to in steps for stress in to.joint_stresses}

    for stress in loaded:
        limit(cleo, today, "regress", stress)

    proposals = read(cleo, last_week, today).proposals
    assert not any(set(p.to.joint_stresses) & loaded for p in proposals if p.to)


def test_a_step_back_goes_to_the_nearest_rung_that_joints_allow(cleo, block, last_week, today):
    hurt = Exercise.objects.get(key="push-up", coach=None)
    limit(cleo, today, "regress")
    LoggedSet.objects.filter(exercise=hurt).update(pain=8)

    [proposal] = [p for p in read(cleo, last_week, today).proposals if p.exercise_id == hurt.pk]

    assert proposal.to is not None
    assert proposal.to.key == "wall-push-up"


def test_what_is_planned_and_avoided_brings_the_client_before_the_coach(
    ana, cleo, block, last_week, today, push_up
):
    limit(cleo, today)

    reading = read(cleo, last_week, today)
    page = signed_in(ana).get(at("review-client", last_week, cleo.pk))

    assert reading.first.kind is FindingKind.JOINT_LIMIT
    assert any(f.exercise == "push-up" for f in reading.urgent)
    panel = page.context["panel"]
    assert push_up.pk in {one.exercise_id for one, _ in panel.avoided}
    assert "Put in Wall push-up" in page.text
    first = page.context["list"].first[0]
    assert first.signal == "Joint limit"
    assert "Replace it, or keep it by name" in page.text


@pytest.mark.parametrize("headers", [PART, {}])
def test_the_review_replaces_in_one_act_and_keeps_the_decision(
    ana, cleo, block, last_week, today, push_up, headers
):
    limit(cleo, today)
    wall = Exercise.objects.get(key="wall-push-up", coach=None)

    url = at("replace-planned", last_week, block.pk, push_up.pk)
    answer = signed_in(ana).post(
        url, {"to": wall.pk, "week": last_week.isoformat()}, headers=headers
    )

    planned = {line["exercise"] for _, line in lines_of(snapshot_of(block), since=today)}
    decision = Decision.objects.get(kind="swap")
    assert answer.status_code == (200 if headers else 302)
    assert push_up.pk not in planned
    assert (decision.exercise, decision.by) == (push_up, ana)
    assert decision.proposal["what"] == "Push-up → Wall push-up, in every session to come"
    page = signed_in(ana).get(at("review-client", last_week, cleo.pk))
    assert "Push-up → Wall push-up" in page.text


def test_taking_that_decision_back_brings_nothing_avoided_into_the_plan(
    ana, cleo, block, last_week, today, push_up
):
    limit(cleo, today)
    wall = Exercise.objects.get(key="wall-push-up", coach=None)
    browser = signed_in(ana)
    url = at("replace-planned", last_week, block.pk, push_up.pk)
    browser.post(url, {"to": wall.pk, "week": last_week.isoformat()})
    before = snapshot_of(block)

    data = {"decision": Decision.objects.get().pk, "week": last_week.isoformat()}
    answer = browser.post(reverse("sessions:undo-decisions"), data, headers=PART)

    assert f"Push-up loads {WRIST}, which Cleo Brandt avoids" in answer.text
    assert snapshot_of(block) == before
    assert Decision.objects.get().undone_at is None


def test_an_override_in_the_review_settles_it_once(ana, cleo, block, last_week, today, push_up):
    limit(cleo, today)
    url = at("keep-planned", last_week, block.pk, push_up.pk)
    data = {"name": "Push-up", "why": "Fists, cleared.", "week": last_week.isoformat()}

    answer = signed_in(ana).post(url, data, headers=PART)

    reading = read(cleo, last_week, today)
    assert answer.status_code == 200
    assert JointLimitOverride.objects.get().why == "Fists, cleared."
    assert not any(f.exercise == "push-up" for f in reading.urgent)
    assert "push-up" in {p.exercise.key for p in reading.proposals}


@pytest.mark.parametrize("headers", [PART, {}])
def test_an_override_by_another_name_is_refused_with_what_was_typed(
    ana, cleo, block, last_week, today, push_up, headers
):
    limit(cleo, today)
    url = at("keep-planned", last_week, block.pk, push_up.pk)
    data = {"name": "Pushup", "why": "Fists.", "week": last_week.isoformat()}

    answer = signed_in(ana).post(url, data, headers=headers)

    assert answer.status_code == 422
    assert "is not the full name" in answer.text
    assert 'value="Fists."' in answer.text
    assert not JointLimitOverride.objects.exists()


def test_a_kept_reading_notices_an_override_and_its_withdrawal(
    ana, cleo, block, last_week, today, push_up
):
    limit(cleo, today)

    def asked():
        (reading,) = read_roster_weeks([cleo], last_week, today)
        return any(f.exercise == "push-up" for f in reading.urgent)

    first = asked()
    kept = override_limit(
        client=cleo, exercise=push_up, name="Push-up", why="Cleared.", days=[today], by=ana
    )
    second = asked()
    withdraw_override(override=kept, by=ana)

    assert (first, second, asked()) == (True, False, True)


def test_a_limit_that_ended_asks_nothing(cleo, block, last_week, today):
    end_joint_limit(limit=limit(cleo, today - timedelta(days=20)), on=today)

    reading = read(cleo, last_week, today)

    assert reading.first is None
    assert "push-up" in {p.exercise.key for p in reading.proposals}


def test_an_older_week_asks_nothing_about_the_plan_of_today(cleo, block, last_week, today):
    limit(cleo, today)

    assert read(cleo, last_week - timedelta(days=7), today).findings == ()


def test_what_is_regressed_is_offered_without_alarm(ana, cleo, block, last_week, today):
    limit(cleo, today, "regress")

    page = signed_in(ana).get(at("review-client", last_week, cleo.pk))

    panel = page.context["panel"]
    assert panel.avoided == ()
    assert "Push-up" in {one.name for one, _ in panel.regressed}
    assert panel.reading.first is None
    assert "to regress" in page.text


def test_another_coach_meets_no_such_block(ben, block, last_week, push_up):
    for name in ("replace-planned", "keep-planned"):
        url = at(name, last_week, block.pk, push_up.pk)
        assert signed_in(ben).post(url, {"to": "1"}).status_code == 404


def test_the_client_page_lists_overrides_and_withdraws_one(ana, cleo, block, today, push_up):
    limit(cleo, today)
    kept = override_limit(
        client=cleo,
        exercise=push_up,
        name="Push-up",
        why="On fists, cleared.",
        days=[today],
        by=ana,
    )
    browser, address = signed_in(ana), reverse("sessions:client", args=[cleo.pk])

    told = browser.get(address).text
    browser.post(reverse("blocks:withdraw-override", args=[kept.pk]), {"back": address})

    assert "overridden by Ana Ferro on 11 Mar 2026: On fists, cleared." in told
    assert "On fists, cleared." not in browser.get(address).text


def locked_and_open(block, push_up, today):
    """The coming sessions that hold push-ups, the first of them locked, the next one in its pair."""
    rows = Prescription.objects.filter(
        pair__planned_session__week__block=block,
        exercise=push_up,
        pair__planned_session__on__gte=today,
    ).order_by("pair__planned_session__on")
    first, second, *others = rows.select_related("pair__planned_session__week")
    session = first.pair.planned_session
    session.locked = True
    session.save(update_fields=["locked"])
    second.pair.locked = True
    second.pair.save(update_fields=["locked"])
    return {first.pk, second.pk}, {one.pk for one in others}


@pytest.mark.parametrize("to", ["wall-push-up", "nothing"])
def test_what_is_locked_stays_and_is_told(ana, cleo, block, last_week, today, push_up, to):
    limit(cleo, today)
    locked, others = locked_and_open(block, push_up, today)
    sent = Exercise.objects.get(key=to, coach=None).pk if to != "nothing" else to
    url = at("replace-planned", last_week, block.pk, push_up.pk)
    data = {"to": sent, "week": last_week.isoformat()}

    answer = signed_in(ana).post(url, data, headers=PART)

    still = set(Prescription.objects.filter(exercise=push_up).values_list("pk", flat=True))
    assert locked <= still
    assert others
    assert not others & still
    decision = Decision.objects.get(kind="swap")
    assert len(decision.proposal["locked"]) == len(locked)
    for sentence in decision.proposal["locked"]:
        assert "is locked; unlock it first." in sentence
        assert sentence in answer.text
    # The limit forbids it there still: it is asked about, and the panel says why it stays.
    assert "Locked in 2 of them" in answer.text
    assert any(f.exercise == "push-up" for f in read(cleo, last_week, today).urgent)
    again = signed_in(ana).post(url, data, headers=PART)
    assert "is locked; unlock it first." in again.text
    assert Decision.objects.count() == 1
