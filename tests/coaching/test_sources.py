"""The page of sources shows every number and every citation."""

import pytest
from django.urls import reverse

from coaching.library.pages_sources import value_in_words
from coaching.rules.all_numbers import all_numbers
from coaching.rules.register import Number, NumberKind
from coaching.rules.sources import SOURCES, Certainty
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def test_every_number_and_every_source_is_shown(ana):
    text = signed_in(ana).get(reverse("library:sources")).content.decode()

    assert [key for key in SOURCES if f'id="source-{key}"' not in text] == []
    anchors = [f"number-{name.lower().replace('_', '-')}" for name in all_numbers()]
    assert [anchor for anchor in anchors if f'id="{anchor}"' not in text] == []


def test_a_client_may_read_it_too(cleo):
    assert signed_in(cleo.user).get(reverse("library:sources")).status_code == 200


def test_every_number_stands_with_value_unit_meaning_and_kind(ana):
    page = signed_in(ana).get(reverse("library:sources")).context["page"]
    rows = [row for group in page.groups for row in group.rows]

    assert {id(row.number) for row in rows} == {id(one) for one in all_numbers().values()}
    assert len(rows) == page.count
    assert all(row.value and row.number.meaning for row in rows)


@pytest.mark.parametrize("kind", NumberKind)
def test_a_kind_shows_its_numbers_alone(ana, kind):
    word = kind.name.lower().replace("_", "-")
    page = signed_in(ana).get(reverse("library:sources"), {"kind": word}).context["page"]

    rows = [row for group in page.groups for row in group.rows]
    assert {row.number.kind for row in rows} == {kind}
    assert len(rows) == sum(one.kind is kind for one in all_numbers().values())
    assert [one.word for one in page.kinds if one.is_chosen] == [word]


def test_a_kind_that_does_not_exist_shows_all(ana):
    page = signed_in(ana).get(reverse("library:sources"), {"kind": "rumour"}).context["page"]

    assert sum(len(group.rows) for group in page.groups) == len(all_numbers())


def test_htmx_gets_the_numbers_without_the_bibliography(ana):
    url = reverse("library:sources")

    text = signed_in(ana).get(url, {"kind": "evidence"}, HTTP_HX_REQUEST="true").content.decode()

    assert text.lstrip().startswith('<div id="numbers"')
    assert 'id="source-' not in text


def test_what_rests_on_evidence_links_to_its_citation(ana):
    text = signed_in(ana).get(reverse("library:sources")).content.decode()
    evidence = {n.source_key for n in all_numbers().values() if n.kind is NumberKind.EVIDENCE}

    assert [key for key in evidence if f'href="#source-{key}"' not in text] == []


def test_each_source_says_how_its_number_was_checked(ana):
    page = signed_in(ana).get(reverse("library:sources")).context["page"]

    memory = [row for row in page.sources if row.source.certainty is Certainty.MEMORY]
    assert memory
    assert all("from memory" in row.certainty for row in memory)


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (Number(0.4, "share of usual reps", "m", NumberKind.HOUSE_CHOICE, "house"), "40 %"),
        (Number(-7.91, "exponent", "m", NumberKind.HOUSE_CHOICE, "house"), "−7.91"),
        (Number(1, "sets", "m", NumberKind.HOUSE_CHOICE, "house"), "1"),
    ],
)
def test_values_are_said_in_the_way_they_are_read(number, said):
    assert value_in_words(number)[0] == said


def test_whoever_is_not_signed_in_is_asked_to(client):
    assert "/sign-in/" in client.get(reverse("library:sources")).headers["Location"]
