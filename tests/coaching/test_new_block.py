"""A new block: templates that fit come first, and say what they change."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit, set_equipment
from coaching.blocks.models import BlockTemplate
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def url(cleo) -> str:
    return reverse("blocks:new-block", args=[cleo.pk])


def local_today(cleo):
    return cleo.local_date(timezone.now())


def post(ana, url, cleo, template, starts_on=None):
    data = {"template": template.pk, "starts_on": starts_on or local_today(cleo).isoformat()}
    return signed_in(ana).post(url, data)


def test_a_client_with_rings_sees_the_rings_template_first(ana, cleo, url):
    set_equipment(client=cleo, items=[{"kind": "rings", "pieces": []}])

    page = signed_in(ana).get(url).context["page"]

    assert page.cards[0].name == "Rings at home"
    assert not page.cards[0].changes
    assert page.sessions[0].rows


def test_a_draft_is_made_and_opened(ana, cleo, url):
    template = BlockTemplate.objects.get(key="first-block-floor")

    answer = post(ana, url, cleo, template)

    block = cleo.blocks.get()
    assert answer.headers["Location"] == reverse("blocks:block", args=[block.pk])
    assert block.published_at is None


def test_what_equipment_lacks_is_swapped_with_its_reason(ana, cleo, url):
    template = BlockTemplate.objects.get(key="upper-lower")

    post(ana, url, cleo, template)

    block = cleo.blocks.get()
    used = {ln["exercise"] for _, ln in lines_of(snapshot_of(block))}
    needs = {kind for row in Exercise.objects.filter(pk__in=used) for kind in row.equipment}
    assert needs == set()
    assert any("needs" in change["why"] for change in block.changes_from_template)


def test_what_joints_must_avoid_is_never_in_the_block(ana, cleo, url):
    stress = "wrist bent back under load"
    add_joint_limit(client=cleo, stress=stress, action="avoid", since=local_today(cleo))
    template = BlockTemplate.objects.get(key="first-block-floor")

    post(ana, url, cleo, template)

    used = {ln["exercise"] for _, ln in lines_of(snapshot_of(cleo.blocks.get()))}
    rows = Exercise.objects.filter(pk__in=used)
    assert all(stress not in row.joint_stresses for row in rows)


def test_a_block_cannot_start_in_the_past(ana, cleo, url):
    template = BlockTemplate.objects.get(key="first-block-floor")
    past = (local_today(cleo) - timedelta(days=1)).isoformat()

    answer = post(ana, url, cleo, template, past)

    assert answer.status_code == 422
    assert "earliest" in answer.content.decode()
    assert not cleo.blocks.exists()


@pytest.mark.parametrize("day", ["9999-12-31", "2999-01-04"])
def test_a_block_starts_within_a_year(ana, cleo, url, day):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")

    for asked in (post(ana, url, cleo, template, day), signed_in(ana).get(url, {"starts_on": day})):
        assert asked.status_code in {200, 422}
    assert "or earlier" in post(ana, url, cleo, template, day).content.decode()
    assert not cleo.blocks.exists()


def test_a_template_that_is_no_number_is_refused_in_words(ana, cleo, url):
    answer = signed_in(ana).post(url, {"template": "²", "starts_on": ""})

    assert answer.status_code == 422


def test_a_block_starts_after_the_running_one_and_an_earlier_day_is_told(ana, cleo, url):
    today = local_today(cleo)
    running = published_block(cleo, today, "beginner-full-body")
    ends = running.starts_on + timedelta(weeks=running.weeks.count())
    browser = signed_in(ana)

    page = browser.get(url).context["page"]
    early = browser.get(url, {"template": page.chosen.pk, "starts_on": today.isoformat()})

    assert page.starts_on == ends
    assert page.taken == ""
    assert "Block 1, " in early.context["page"].taken
    assert "plans sessions until" in early.content.decode()


def test_a_template_can_be_looked_at_without_a_day(ana, cleo, url):
    template = BlockTemplate.objects.get(key="first-block-floor")

    answer = signed_in(ana).get(url, {"template": template.pk})

    assert answer.context["page"].chosen.pk == template.pk
    assert "required." not in answer.content.decode()


def test_another_coach_cannot_make_a_block_for_the_client(ben, url):
    assert signed_in(ben).get(url).status_code == 404


def test_who_is_not_screened_gets_a_caution(ana, cleo, url):
    assert "No health screen yet" in signed_in(ana).get(url).content.decode()

    cleo.screened_on = local_today(cleo)
    cleo.save()

    assert "No health screen yet" not in signed_in(ana).get(url).content.decode()


def test_choosing_a_template_answers_with_its_first_week(ana, cleo, url):
    template = BlockTemplate.objects.get(key="first-block-floor")
    data = {"template": template.pk, "starts_on": local_today(cleo).isoformat()}

    answer = signed_in(ana).get(url, data, HTTP_HX_REQUEST="true")

    assert "<html" not in answer.content.decode()
    assert answer.context["page"].chosen.name == template.name
    assert answer.context["page"].sessions[0].on == local_today(cleo)


def test_the_page_takes_a_fixed_number_of_queries(ana, cleo, url, django_assert_num_queries):
    set_equipment(client=cleo, items=[{"kind": "rings", "pieces": []}])
    browser = signed_in(ana)

    # Two for who is signed in, one for the client, the rest as the page's docstring says for one without a block.
    with django_assert_num_queries(2 + 1 + 14):
        browser.get(url)


def test_a_template_of_which_little_is_left_says_so_and_what_fits_does_not(ana):
    client = ClientFactory.create(coach=ana, level="absolute beginner", minutes=45)
    url = reverse("blocks:new-block", args=[client.pk])

    cards = signed_in(ana).get(url).context["page"].cards

    notes = {card.name: " ".join(card.notes) for card in cards}
    assert "most of it is left out or swapped" in notes["Upper-body hypertrophy with weights"]
    assert "most of it" not in notes["First block on the floor"]


def test_the_look_tells_joints_and_muscles_before_the_block_is_made(ana):
    client = ClientFactory.create(coach=ana, level="absolute beginner", minutes=45)
    since = client.local_date(timezone.now())
    add_joint_limit(client=client, stress="wrist bent back under load", action="watch", since=since)
    template = BlockTemplate.objects.get(key="first-block-floor")
    url = reverse("blocks:new-block", args=[client.pk])

    answer = signed_in(ana).get(url, {"template": template.pk})

    found = answer.context["page"].findings
    assert all("which this client watches" in one for one in found.must_see)
    assert found.must_see
    assert found.must_see[0] in answer.content.decode()
