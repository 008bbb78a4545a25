"""The page of sources shows every number and every citation."""

import pytest
from django.urls import reverse

from coaching.library.pages_sources import value_in_words
from coaching.rules.all_numbers import all_numbers, all_tables
from coaching.rules.register import Number, NumberKind, NumberTable
from coaching.rules.sources import SOURCES, Certainty
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def shown(page):
    """Every number and table of a page."""
    numbers = [row.number for group in page.groups for row in group.rows]
    return [*numbers, *(row.table for group in page.groups for row in group.tables)]


def sources_of(entry):
    return [entry.source] if isinstance(entry, Number) else [entry.source_of(r) for r in entry.rows]


def every_entry() -> list[Number | NumberTable]:
    return [*all_numbers().values(), *all_tables().values()]


def test_every_number_and_every_source_is_shown(ana):
    text = signed_in(ana).get(reverse("library:sources")).content.decode()

    assert [key for key in SOURCES if f'id="source-{key}"' not in text] == []
    anchors = [
        f"number-{name.lower().replace('_', '-')}" for name in (*all_numbers(), *all_tables())
    ]
    assert [anchor for anchor in anchors if f'id="{anchor}"' not in text] == []


def test_a_client_may_read_it_too(cleo):
    assert signed_in(cleo.user).get(reverse("library:sources")).status_code == 200


def test_every_number_stands_with_value_unit_meaning_and_kind(ana):
    page = signed_in(ana).get(reverse("library:sources")).context["page"]
    rows = [row for group in page.groups for row in group.rows]

    assert {id(row.number) for row in rows} == {id(one) for one in all_numbers().values()}
    assert len(rows) == len(all_numbers())
    assert all(row.value and row.number.meaning and row.certainty for row in rows)


def test_every_table_stands_with_its_rows_its_unit_and_where_each_row_comes_from(ana):
    page = signed_in(ana).get(reverse("library:sources")).context["page"]
    tables = [row for group in page.groups for row in group.tables]

    assert {id(row.table) for row in tables} == {id(one) for one in all_tables().values()}
    for row in tables:
        assert [line.title for line in row.lines] == list(row.table.rows)
        assert {len(line.values) for line in row.lines} == {len(row.table.columns)}
        assert all(line.certainty and line.source_label for line in row.lines)


def test_a_table_is_read_out_with_its_heads(ana):
    text = signed_in(ana).get(reverse("library:sources")).content.decode()

    table = text[text.index('id="number-one-rm-decays"') :].partition("</ul>")[0]
    assert '<table class="table is-compact" aria-labelledby="number-one-rm-decays-name">' in table
    assert '<th scope="row">Wathan</th>' in table
    assert table.count('scope="col"') == 4
    assert 'href="#source-wathan-1994"' in table
    assert "written from memory" in table


@pytest.mark.parametrize("kind", NumberKind)
def test_a_kind_shows_its_numbers_alone(ana, kind):
    word = kind.name.lower().replace("_", "-")
    page = signed_in(ana).get(reverse("library:sources"), {"kind": word}).context["page"]

    entries = every_entry()
    assert {one.kind for one in shown(page)} == {kind}
    assert len(shown(page)) == page.count == sum(one.kind is kind for one in entries)
    assert [one.word for one in page.kinds if one.is_chosen] == [word]


@pytest.mark.parametrize("certainty", Certainty)
def test_a_certainty_shows_what_rests_on_it_alone(ana, certainty):
    word = certainty.name.lower().replace("_", "-")
    page = signed_in(ana).get(reverse("library:sources"), {"certainty": word}).context["page"]

    entries = every_entry()
    as_sure = [e for e in entries if certainty in {s.certainty for s in sources_of(e)}]
    assert {id(one) for one in shown(page)} == {id(one) for one in as_sure}
    assert [one.count for one in page.certainties if one.is_chosen] == [len(as_sure)]


def test_each_filter_keeps_the_other(ana):
    asked = {"kind": "evidence", "certainty": "memory"}
    page = signed_in(ana).get(reverse("library:sources"), asked).context["page"]

    assert {one.kind for one in shown(page)} == {NumberKind.EVIDENCE}
    assert "?kind=house-choice&certainty=memory" in [one.query for one in page.kinds]
    assert "?kind=evidence" in [one.query for one in page.certainties]


def test_what_nothing_rests_on_is_said_in_words(ana):
    asked = {"kind": "house-choice", "certainty": "verified"}

    text = signed_in(ana).get(reverse("library:sources"), asked).content.decode()

    assert "There is no such number." in text


def test_a_kind_that_does_not_exist_shows_all(ana):
    page = signed_in(ana).get(reverse("library:sources"), {"kind": "rumour"}).context["page"]

    assert len(shown(page)) == len(all_numbers()) + len(all_tables())


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
        (Number(0.45359237, "kg", "m", NumberKind.HOUSE_CHOICE, "house"), "0.45359237"),
    ],
)
def test_values_are_said_in_the_way_they_are_read(number, said):
    assert value_in_words(number)[0] == said


def test_whoever_is_not_signed_in_is_asked_to(client):
    assert "/sign-in/" in client.get(reverse("library:sources")).headers["Location"]
