"""A coach sees what a draft will hold before it is made: its day, and whether it fits at all."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import set_equipment
from coaching.blocks.adaptation_values import MOST_SHOWN, LineChange, change_data
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.templates import block_to_keep, kept_template

pytestmark = pytest.mark.django_db


@pytest.fixture
def emil(ana):
    return ClientFactory.create(coach=ana, name="Emil Haas", level="absolute beginner", minutes=90)


def url_of(template):
    return reverse("blocks:apply-template", args=[template.pk])


def test_a_day_changed_since_the_look_is_looked_at_before_a_draft_is_made(ana, cleo, emil):
    template = kept_template(ana, cleo)
    day = emil.local_date(timezone.now()) + timedelta(days=10)
    browser, url = signed_in(ana), url_of(template)
    looked = browser.get(url, {"clients": [emil.pk]}).context["page"].looks[0].starts_on_text
    field, other = f"starts_on_{emil.pk}", day.isoformat()
    data = {"shown": [emil.pk], "clients": [emil.pk], field: other}

    refused = browser.post(url, data | {f"looked_{emil.pk}": looked})

    page = refused.content.decode()
    assert refused.status_code == 422
    assert not emil.blocks.exists()
    assert "the day of Emil Haas was changed" in " ".join(page.split())
    assert f'name="looked_{emil.pk}"' in page
    # What came back shows the new day: pressed again, the draft is made.
    browser.post(url, data | {f"looked_{emil.pk}": other})
    assert emil.blocks.get().starts_on == day


def test_a_copy_for_a_client_of_another_level_says_so_and_that_little_is_left(ana, cleo, emil):
    set_equipment(client=cleo, items=[{"kind": "dumbbells", "pieces": [10, 12]}])
    start = cleo.local_date(timezone.now())
    block = published_block(cleo, start, "dumbbells-short")
    url = reverse("blocks:copy-block", args=[block.pk])

    look = signed_in(ana).get(url, {"clients": [emil.pk]}).context["page"].looks[0]

    assert f"Made for {cleo.level}, Emil Haas is absolute beginner" in look.notes
    assert (
        "Most of it is left out or swapped; a template for absolute beginner fits better"
        in look.notes
    )


def test_a_copy_for_the_same_client_says_neither(ana, cleo):
    block = block_to_keep(cleo)
    url = reverse("blocks:copy-block", args=[block.pk])

    look = signed_in(ana).get(url, {"clients": [cleo.pk]}).context["page"].looks[0]

    assert not [note for note in look.notes if "Made for" in note or "Most of it" in note]


def test_the_last_day_of_the_block_before_is_told_as_the_block_tells_it(ana, cleo):
    browser = signed_in(ana)
    template = kept_template(ana, cleo)
    block = cleo.blocks.get()
    looked = browser.get(url_of(template), {"clients": [cleo.pk]}).context["page"].looks[0]

    last = block.weeks.latest("number").starts_on + timedelta(days=6)
    assert looked.starts_on == last + timedelta(days=1)
    assert any(f"ends on {last:%a} {last.day} {last:%b}" in note for note in looked.notes)


@pytest.mark.parametrize(("count", "is_open"), [(MOST_SHOWN, True), (MOST_SHOWN + 1, False)])
def test_a_long_list_of_changes_is_folded_in_the_draft(ana, emil, cleo, count, is_open):
    browser = signed_in(ana)
    browser.post(url_of(kept_template(ana, cleo)), {"clients": [emil.pk]})
    block = emil.blocks.get()
    block.changes_from_template = [
        change_data(LineChange("Upper", "A", f"Row {n}", f"Curl {n}", "needs bands"))
        for n in range(count)
    ]
    block.save()

    page = " ".join(browser.get(reverse("blocks:block", args=[block.pk])).content.decode().split())

    assert ('<details class="evidence" open>' in page) is is_open
    assert f"{count} changes to fit Emil Haas" in page
