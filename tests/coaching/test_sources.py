"""The page of sources shows every number and every citation."""

import pytest
from django.urls import reverse

from coaching.rules.numbers import all_numbers
from coaching.rules.sources import SOURCES
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db


def test_every_number_and_every_source_is_shown(ana):
    text = signed_in(ana).get(reverse("library:sources")).content.decode()

    assert [key for key in SOURCES if f'id="source-{key}"' not in text] == []
    anchors = [f"number-{name.lower().replace('_', '-')}" for name in all_numbers()]
    assert [anchor for anchor in anchors if f'id="{anchor}"' not in text] == []


def test_a_client_may_read_it_too(cleo):
    assert signed_in(cleo.user).get(reverse("library:sources")).status_code == 200
