"""Characters that no page shows, in whatever is posted about a block: words, never a fault.

PostgreSQL keeps no NUL in a text (its manual, “Character Types”), SQLite does.
"""

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from clients.models import JointLimit
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import (
    Block,
    BlockEdit,
    BlockTemplate,
    BlockVersion,
    JointLimitOverride,
    KeptEdit,
)
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db
UNSHOWABLE = ("\0", "\x07")


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today, "beginner-full-body")


@pytest.fixture
def line(block):
    return next(line["uid"] for _, line in lines_of(snapshot_of(block)))


def post(coach, name, pk, /, **fields):
    return signed_in(coach).post(reverse(f"blocks:{name}", args=[pk]), fields)


def said(answer):
    return " ".join(str(one) for one in get_messages(answer.wsgi_request))


@pytest.mark.parametrize("one", UNSHOWABLE)
@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("line", "Exercise: it holds a character that cannot be shown"),
        ("targets", "is not targets; write them like"),
        ("tempo", "Tempo"),
        ("reach", "choose one"),
        ("not\0known", "This change holds a character that cannot be shown"),
        ("unknown", "This change holds a character that cannot be shown"),
    ],
)
def test_an_act_that_holds_one_is_refused_and_not_kept(ana, block, line, today, field, words, one):
    whole = {"act": "change-line", "line": line, "targets": "4-4"}
    sent = {**whole, field: f"{whole.get(field, '')}{one}"}

    # In a window that is up to date, and in one that is older.
    for revision in (draft_of(block, today).revision, 0):
        answer = post(ana, "edit-block", block.pk, revision=revision, shown="1", **sent)

        assert answer.status_code == 422
        assert words in answer.text
    assert not BlockEdit.objects.exists()
    assert not KeptEdit.objects.exists()


@pytest.mark.parametrize("one", UNSHOWABLE)
def test_a_session_is_not_renamed_to_one(ana, block, today, one):
    session = snapshot_of(block)["weeks"][0]["sessions"][0]["uid"]
    sent = {"act": "rename-session", "session": session, "name": f"Legs{one}", "panel": "session"}

    answer = post(ana, "edit-block", block.pk, revision=1, shown="1", **sent)

    assert answer.status_code == 422
    assert "cannot be shown" in answer.text


@pytest.mark.parametrize("one", UNSHOWABLE)
def test_why_of_a_publishing_holds_none(ana, block, line, today, one):
    act = {"act": "change-line", "line": line, "targets": "4-4"}
    post(ana, "edit-block", block.pk, revision=1, shown="1", **act)
    revision = draft_of(block, today).revision

    answer = post(ana, "publish-block", block.pk, revision=revision, why=f"Knee{one}")

    assert "Why holds a character that cannot be shown" in said(answer)
    assert BlockVersion.objects.filter(block=block).count() == 1


def test_a_family_of_emoji_and_a_word_from_right_to_left_are_fine(ana, block, line, today):
    act = {"act": "change-line", "line": line, "targets": "4-4"}
    post(ana, "edit-block", block.pk, revision=1, shown="1", **act)
    why = "\N{MAN}\N{ZERO WIDTH JOINER}\N{GIRL} \N{RIGHT-TO-LEFT MARK}\tfine"

    post(ana, "publish-block", block.pk, revision=draft_of(block, today).revision, why=why)

    assert BlockVersion.objects.get(block=block, number=2).why == why


def test_the_reason_of_an_override_holds_no_nul(ana, block, cleo, line, today):
    JointLimit.objects.create(
        client=cleo, stress="wrist bent back under load", action="avoid", since=today
    )
    url = reverse("blocks:override-line", args=[block.pk, line])

    answer = signed_in(ana).post(url, {"revision": "1", "name": "Dip\0", "why": "Knee\0"})

    assert answer.status_code == 422
    assert answer.text.count("Null characters are not allowed") == 2
    assert not JointLimitOverride.objects.exists()


def test_the_name_and_description_of_a_template_hold_no_nul(ana, block):
    sent = {"name": "Legs\0", "level": "beginner", "week": "1", "description": "For\0all"}

    answer = post(ana, "save-as-template", block.pk, **sent)

    assert answer.status_code == 422
    assert answer.text.count("Null characters are not allowed") == 2
    assert not BlockTemplate.objects.filter(coach=ana).exists()
