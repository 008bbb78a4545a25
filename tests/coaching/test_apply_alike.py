"""What the drafts of several clients change alike is told once; what must be seen with each."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit, set_equipment
from coaching.blocks.models import BlockTemplate
from tests.conftest import signed_in
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def three(ana, cleo):
    """Two who have nothing and one who has rings; one of the two spares the wrists."""
    drew = ClientFactory.create(
        coach=ana, name="Drew Salas", level=cleo.level, minutes=cleo.minutes
    )
    emil = ClientFactory.create(coach=ana, name="Emil Haas", level=cleo.level, minutes=cleo.minutes)
    set_equipment(client=emil, items=[{"kind": "rings", "pieces": []}])
    today = cleo.local_date(timezone.now())
    add_joint_limit(client=drew, stress="grip", action="avoid", since=today)
    return cleo, drew, emil


def shown(ana, clients):
    template = BlockTemplate.objects.get(coach=None, key="upper-lower")
    start = clients[0].local_date(timezone.now()) + timedelta(days=7)
    sent = {"starts_on": start.isoformat(), "clients": [one.pk for one in clients]}
    return signed_in(ana).get(reverse("blocks:apply-template", args=[template.pk]), sent)


def test_what_is_alike_is_told_once_with_the_names_and_not_again(ana, three):
    answer = shown(ana, three)
    page = answer.context["page"]

    for group in page.alike:
        assert len(group.names) > 1
        for look in page.looks:
            if look.client.name in group.names:
                assert set(group.words) <= set(look.changes.work)
                assert set(group.words).isdisjoint(look.own.work)
    assert page.alike
    assert f"For {', '.join(page.alike[0].names)}" in answer.content.decode()
    all_of_it = [(look.client.name, words) for look in page.looks for words in look.changes.work]
    told = [(look.client.name, words) for look in page.looks for words in look.own.work]
    told += [(name, words) for one in page.alike for name in one.names for words in one.words]
    assert sorted(told) == sorted(all_of_it)


def test_what_must_be_seen_stays_with_each_client(ana, three):
    page = shown(ana, three).context["page"]
    drew = next(look for look in page.looks if look.client.name == "Drew Salas")

    assert any("grip" in one for one in drew.changes.must_see)
    for look in page.looks:
        assert look.own.must_see == look.changes.must_see


def test_one_client_has_nothing_alike(ana, cleo):
    answer = shown(ana, [cleo])

    assert answer.context["page"].alike == ()
    assert "Alike for several" not in answer.content.decode()
