"""The guide: for coaches the whole of it, for clients their part and the cautions."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse

from coaching.library.pages_guide import SECTIONS
from coaching.rules.numbers import DELOAD_SHARE, PAIN_LIMIT
from coaching.rules.sources import SOURCES
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("word", ["chest pain", "dark urine", "gives way", "emergency", "guardian"])
def test_the_cautions_stand_in_the_guide_for_clients_too(cleo, word):
    text = signed_in(cleo.user).get(reverse("library:guide")).content.decode()

    assert word in text


def test_a_coach_reads_how_monday_works_and_a_client_does_not(ana, cleo):
    url = reverse("library:guide")

    assert 'id="monday"' in signed_in(ana).get(url).content.decode()
    assert 'id="monday"' not in signed_in(cleo.user).get(url).content.decode()


@pytest.mark.parametrize("section", [one.anchor for one in SECTIONS])
def test_every_section_of_the_guide_is_in_its_contents(ana, section):
    text = signed_in(ana).get(reverse("library:guide")).content.decode()

    assert f'<a href="#{section}">' in text
    assert f'id="{section}"' in text


def test_a_client_reads_only_what_is_for_clients(cleo):
    text = signed_in(cleo.user).get(reverse("library:guide")).content.decode()

    shown = {one.anchor for one in SECTIONS if f'id="{one.anchor}"' in text}
    assert shown == {"care", "notes", "phone", "words"}
    assert str(settings.DATA_DIR) not in text


def test_every_source_that_the_guide_names_exists(ana):
    text = signed_in(ana).get(reverse("library:guide")).content.decode()

    named = set(re.findall(r"#source-([a-z0-9-]+)", text))
    assert named
    assert named <= set(SOURCES)


def test_every_key_of_the_coachs_pages_stands_in_the_guide(ana):
    text = signed_in(ana).get(reverse("library:guide")).content.decode()
    templates = (Path(settings.BASE_DIR) / "templates").rglob("*.html")
    used = {k for t in templates for k in re.findall(r'data-key="(.)"', t.read_text())}

    assert used
    assert {key for key in used if f"<kbd>{key.upper()}</kbd>" not in text} == set()


def test_the_guide_speaks_of_the_numbers_that_the_rules_use(ana):
    text = signed_in(ana).get(reverse("library:guide")).content.decode()

    assert f"above {PAIN_LIMIT.value:g} of 10" in text
    assert f"{DELOAD_SHARE.value:.0%}".replace("%", " %") in text
