"""The versions of a block: listed, compared, gone back to; and what two windows leave to decide."""

from datetime import timedelta

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.editing.compare import differences, in_words
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.pages_conflict import conflict_of
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor, changed_elsewhere, kept_edit

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today + timedelta(days=1), "beginner-full-body")


@pytest.fixture
def editor(block, today, ana):
    return Editor(block, today, ana)


def open_page(user, block, **choice):
    return signed_in(user).get(reverse("blocks:versions", args=[block.pk]), choice)


def test_the_page_lists_every_version_and_what_is_unpublished(ana, block, editor):
    editor.change(targets="4-4")
    editor.publish(why="Shoulder is better")
    editor.look()
    editor.change(targets="5-5")

    answer = open_page(ana, block)

    html = answer.content.decode()
    names = [plan.name for plan in answer.context["page"].plans]
    assert answer.templates[0].name == "blocks/versions/page.html"
    assert names == ["Working copy", "Version 2", "Version 1"]
    assert "Shoulder is better" in html
    assert "Ana Ferro" in html
    assert editor.draft.undo in html


def test_what_is_unpublished_is_compared_with_what_the_client_sees(ana, block, editor):
    editor.change(targets="4-4", reach="week")

    page = open_page(ana, block).context["page"]

    assert (page.before.name, page.after.name) == ("Version 1", "Working copy")
    (week,) = page.differing
    (session,) = week.sessions
    changed = [line for line in session.lines if line.what]
    assert [line.what for line in changed] == ["changed"]
    assert "2 × 4" in changed[0].after.detail
    assert "5 × 6" in changed[0].before.detail
    assert len(week.alike) == 2


def test_any_two_versions_can_be_compared(ana, block, editor):
    for reps in (4, 5):
        editor.look()
        editor.change(targets=f"{reps}-{reps}", reach="week")
        editor.publish()

    page = open_page(ana, block, a="v3", b="v1").context["page"]

    (line,) = [line for line in page.differing[0].sessions[0].lines if line.what]
    assert "2 × 5" in line.before.detail
    assert "5 × 6" in line.after.detail
    assert not open_page(ana, block, a="v2", b="v2").context["page"].differing


def test_a_moved_exercise_is_gone_here_and_new_there(ana, block, editor):
    week = editor.draft.snapshot["weeks"][0]
    uid = week["sessions"][0]["pairs"][0]["lines"][0]["uid"]
    editor.act(act="move-line", line=uid, session=week["sessions"][1]["uid"])

    page = open_page(ana, block).context["page"]

    here, there = page.differing[0].sessions
    assert "gone" in [line.what for line in here.lines]
    assert [line.what for line in there.lines if line.what] == ["new"]
    # What stood beside it is alone now: its letter says so, and nothing else of it changed.
    assert {line.what for line in here.lines} <= {"gone", "place", ""}


def test_a_new_draft_has_nothing_to_compare_yet(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)

    assert "Nothing to compare yet" in open_page(ana, draft).content.decode()


def test_going_back_puts_the_plan_into_the_working_copy_only(ana, block, editor):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    editor.publish()
    editor.look()
    published = snapshot_of(block)
    first = block.versions.get(number=1)

    answer = signed_in(ana).post(
        reverse("blocks:go-back", args=[first.pk]), {"revision": editor.draft.revision}
    )

    assert answer.headers["Location"].startswith(reverse("blocks:block", args=[block.pk]))
    assert editor.look().snapshot == start
    assert editor.draft.undo.startswith("Back to version 1")
    assert snapshot_of(block) == published


@pytest.mark.parametrize("revision", ["", "x", "999", "²"])
def test_going_back_from_a_page_that_is_out_of_date_changes_nothing(ana, block, editor, revision):
    editor.change(targets="4-4")
    url = reverse("blocks:go-back", args=[block.versions.get().pk])

    answer = signed_in(ana).post(url, {"revision": revision}, follow=True)

    assert [str(one.level_tag) for one in answer.context["messages"]] == ["error"]
    assert editor.draft.revision == editor.look().revision


@pytest.fixture
def kept(editor, ben):
    return kept_edit(editor, ben)


def conflict_html(block, draft):
    page = {"conflict": conflict_of(block, draft), "block": block, "week": {"number": 2}}
    return render_to_string("blocks/block/_conflict.html", {"page": page})


def test_a_conflict_shows_both_changes_and_the_ways_out(block, editor, kept):
    html = conflict_html(block, editor.draft)

    assert kept.what in html
    assert editor.draft.undo in html
    assert html.index("Ben Osei") < html.index("Ana Ferro")
    for name in ("put-on-top", "use-instead", "let-go"):
        assert reverse(f"blocks:{name}", args=[kept.pk]) in html


def test_there_is_no_conflict_where_nothing_waits(block, editor):
    assert conflict_of(block, editor.draft) is None
    assert not conflict_html(block, editor.draft).strip()


def test_a_clash_with_what_was_published_meanwhile_is_told(ana, block, editor, today):
    editor.change(targets="4-4")
    changed_elsewhere(block, today, ana, place=0, targets=[9, 9])

    html = conflict_html(block, editor.look())

    assert editor.draft.clashes[0] in html
    assert "keeps yours" in html


@pytest.mark.parametrize(
    ("name", "decision"),
    [("put-on-top", "on top"), ("use-instead", "instead"), ("let-go", "let go")],
)
def test_each_way_out_is_one_press(ana, block, editor, kept, name, decision):
    data = {"revision": editor.draft.revision, "shown": "2"}

    answer = signed_in(ana).post(reverse(f"blocks:{name}", args=[kept.pk]), data, follow=True)

    kept.refresh_from_db()
    assert kept.decision == decision
    assert answer.context["page"].week.number == 2
    assert [str(one.level_tag) for one in answer.context["messages"]] == ["success"]
    assert not editor.look().kept


def test_what_is_kept_can_be_compared_with_what_is_there(ana, block, kept):
    page = open_page(ana, block, a="now", b=f"kept-{kept.pk}").context["page"]

    assert page.after.what == kept.what
    lines = [line for line in page.differing[0].sessions[0].lines if line.what]
    assert [line.what for line in lines] == ["changed", "changed"]


def test_the_page_takes_few_queries_however_many_versions(
    ana, block, editor, django_assert_max_num_queries
):
    for reps in range(3, 9):
        editor.look()
        editor.change(targets=f"{reps}-{reps}")
        editor.publish()
    browser = signed_in(ana)

    # Two for who is signed in, one for the block.
    with django_assert_max_num_queries(3 + 9):
        browser.get(reverse("blocks:versions", args=[block.pk]))


def test_the_publish_dialog_names_what_will_be_published(block, editor):
    editor.change(targets="4-4")
    page = {
        "week": {"number": 1},
        "block": block,
        "client": block.client,
        "draft": editor.draft,
        "conflict": None,
        "to_publish": in_words(differences(editor.draft.base, editor.draft.snapshot)),
    }

    html = render_to_string("blocks/block/_publish.html", {"page": page})

    assert "Incline push-up 5 × 6 → 2 × 4" in html
    assert reverse("blocks:publish-block", args=[block.pk]) in html
    assert 'name="why"' in html


def test_the_version_that_the_plan_is_like_is_not_gone_back_to(ana, block, editor):
    def offered():
        content = open_page(ana, block).content.decode()
        return [
            one.number
            for one in block.versions.order_by("number")
            if reverse("blocks:go-back", args=[one.pk]) in content
        ]

    assert offered() == []
    editor.change(targets="4-4")
    assert offered() == [1]
    editor.publish()
    assert offered() == [1]
