"""The guide: for coaches the whole of it, for clients their part and the cautions."""

import pytest
from django.urls import reverse

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
