"""Parts of pages that are rendered once for each content."""

from dataclasses import dataclass
from types import SimpleNamespace

import pytest
from django.template import engines
from django.template.loader import render_to_string
from django.test.utils import override_script_prefix
from django.urls import reverse

from clients.templatetags import kept_parts

SIDE = "_shared/_spine_volume_side.html"
PAGE = "{% load kept_parts %}{% kept_part name side=side place='left' way='push' chart_id='c' %}"


@dataclass(frozen=True)
class Side:
    label: str
    value_text: str = "14"
    bar: float = 64.5
    low_x: float | None = None
    high_x: float | None = None
    outside: bool = False
    usual: str = ""
    changed: str = ""


@pytest.fixture
def renderings(monkeypatch):
    made = []

    def counted(*args):
        made.append(args)
        return render_to_string(*args)

    monkeypatch.setattr("clients.templatetags.kept_parts.render_to_string", counted)
    kept_parts._kept.cache_clear()
    return made


def page(side):
    return engines["django"].from_string(PAGE).render({"name": SIDE, "side": side})


def test_the_same_values_are_rendered_once(renderings):
    first, second = page(Side("chest")), page(Side("chest"))

    assert first == second
    assert "chest" in first
    assert len(renderings) == 1


def test_other_values_are_another_part(renderings):
    assert "+1" in page(Side("chest", changed="+1"))
    assert "+1" not in page(Side("chest"))
    assert len(renderings) == 2


def test_what_a_value_says_is_escaped(renderings):
    assert "&lt;b&gt;" in page(Side("<b>"))


def test_values_that_cannot_be_compared_are_rendered_each_time(renderings):
    loose = SimpleNamespace(**vars(Side("chest")))

    assert page(loose) == page(loose)
    assert len(renderings) == 2


def test_while_templates_are_written_nothing_is_kept(renderings, settings):
    settings.DEBUG = True

    page(Side("chest"))
    page(Side("chest"))

    assert len(renderings) == 2


def test_an_address_is_that_of_its_arguments_and_of_where_the_program_answers():
    page = engines["django"].from_string("{% load kept_parts %}{% kept_url name number %}")

    def address(number):
        return page.render({"name": "clients:intake", "number": number})

    assert [address(1), address(2), address(1)] == [
        reverse("clients:intake", args=[one]) for one in (1, 2, 1)
    ]
    with override_script_prefix("/practice/"):
        assert address(1).startswith("/practice/")
