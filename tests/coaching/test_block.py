"""The block's page: the whole plan in one place, every change in its place, and what it answers."""

import json
from datetime import timedelta

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from clients.services import add_joint_limit
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.models import Block, BlockTemplate, JointLimitOverride, Prescription
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of, snapshot_of
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today + timedelta(days=1), "beginner-full-body")


@pytest.fixture
def line(block) -> Prescription:
    return Prescription.objects.filter(
        pair__planned_session__week__block=block, pair__planned_session__week__number=1
    ).order_by("pair__planned_session__on", "pair__position", "position")[0]


def open_page(coach, block, query="?week=1"):
    return signed_in(coach).get(reverse("blocks:block", args=[block.pk]) + query)


def act(coach, block, to="edit-block", *, shown="1", revision=None, headers=None, **fields):
    """Post an act as the page does."""
    today = block.client.local_date(timezone.now())
    known = draft_of(block, today).revision if revision is None else revision
    url = reverse(f"blocks:{to}", args=[block.pk])
    sent = {"revision": known, "shown": shown, **fields}
    return signed_in(coach).post(url, sent, headers=PART if headers is None else headers)


def change(coach, block, line, **fields):
    more = {"act": "change-line", "line": line.uid, "reach": "onward", **fields}
    return act(coach, block, **more)


def plan_of(block):
    return draft_of(block, block.client.local_date(timezone.now())).snapshot


def lines(block):
    return [one for _, one in lines_of(plan_of(block))]


# What is shown


def test_the_page_shows_a_week_around_the_spine_and_what_it_does(ana, block):
    page = open_page(ana, block).context["page"]

    first = page.sessions[0].rows[0]
    assert first.left.side == "push"
    assert first.right.side == "pull"
    balance = page.effects.week.balance
    assert balance.push_sets == balance.pull_sets
    assert page.effects.week.chart.rows


def test_each_exercise_has_a_cell_for_every_week_that_leads_to_its_own_line(ana, block):
    page = open_page(ana, block).context["page"]

    strip = page.sessions[0].rows[0].left.strip
    weeks = [week["starts_on"] for week in snapshot_of(block)["weeks"]]
    by_uid = {
        one["uid"]: week["starts_on"]
        for week in snapshot_of(block)["weeks"]
        for session in week["sessions"]
        for pair in session["pairs"]
        for one in pair["lines"]
    }
    assert [by_uid[cell.uid] for cell in strip] == weeks
    assert [cell.is_light for cell in strip] == [False] * (len(weeks) - 1) + [True]


def test_what_rises_is_marked_by_a_word_and_not_by_colour_alone(ana, block, line):
    change(ana, block, line, targets="9-9-9-9-9", reach="week")

    page = open_page(ana, block).context["page"]

    strip = page.sessions[0].rows[0].left.strip
    # A figure does not break over two lines.
    assert strip[0].targets == "5\N{NO-BREAK SPACE}×\N{NO-BREAK SPACE}9"
    assert strip[1].mark == "falls"
    text = open_page(ana, block).text
    assert 'aria-hidden="true">↓</i><span class="visually-hidden">less, </span>' in text


def test_the_sets_and_reps_of_each_week_stand_above_it(ana, block):
    tabs = open_page(ana, block).context["page"].tabs

    weeks = snapshot_of(block)["weeks"]
    counted = [
        sum(
            len(one["targets"])
            for session in week["sessions"]
            for pair in session["pairs"]
            if pair["part"] != "warm-up"
            for one in pair["lines"]
        )
        for week in weeks
    ]
    assert [tab.sets for tab in tabs] == counted


# Editing


def test_an_edit_answers_with_what_changed_only(ana, block, line):
    answer = change(ana, block, line, targets="9-9-9-9-9")

    text = answer.text
    session = line.pair.planned_session
    others = {str(one.uid) for one in session.week.planned_sessions.all()} - {str(session.uid)}
    assert answer.status_code == 200
    assert f'id="session-{session.uid}"' in text
    assert not any(f'id="session-{uid}"' in text for uid in others)
    assert 'id="block-strip"' in text
    told = json.loads(answer.headers["HX-Trigger-After-Settle"])["block:edited"]
    assert told["focus"] == str(line.uid)
    assert "5 × 9" in told["says"]


def test_an_edit_is_seen_by_the_coach_and_not_by_the_client_before_it_is_published(
    ana, block, line
):
    before = snapshot_of(block)

    change(ana, block, line, targets="9-9-9-9-9")

    assert [9] * 5 in [one["targets"] for one in lines(block)]
    assert snapshot_of(block) == before
    page = open_page(ana, block).context["page"]
    assert page.unpublished == 1
    act(ana, block, "publish-block", headers={}, why="Stronger than thought.")
    assert [9] * 5 in [one["targets"] for _, one in lines_of(snapshot_of(block))]
    assert block.versions.order_by("-number")[0].why == "Stronger than thought."


@pytest.mark.parametrize(("ever", "said"), [(True, "sees it"), (False, "will see it once")])
def test_who_never_signed_in_is_not_said_to_see_the_plan(ana, block, line, ever, said):
    user = block.client.user
    user.last_login = timezone.now() if ever else None
    user.save()
    change(ana, block, line, targets="9-9-9-9-9")

    published = act(ana, block, "publish-block", headers={})

    answer = open_page(ana, block)
    assert [said in str(one) for one in get_messages(published.wsgi_request)] == [True]
    assert ("will see this plan once signed in" in answer.content.decode()) is not ever


def test_the_same_edit_works_as_a_plain_form(ana, block, line):
    answer = change(ana, block, line, targets="5 × 4", headers={})

    assert answer.status_code == 302
    assert answer.headers["Location"].endswith("?week=1#block-strip")
    assert [4] * 5 in [one["targets"] for one in lines(block)]


def test_this_week_only_leaves_the_other_weeks(ana, block, line):
    change(ana, block, line, targets="11-3", reach="week")

    changed = [s["on"] for s, one in lines_of(plan_of(block)) if one["targets"] == [11, 3]]
    assert changed == [line.pair.planned_session.on.isoformat()]


@pytest.mark.parametrize(
    ("field", "typed", "word"),
    [("targets", "many", "many"), ("tempo", "slow", "Tempo"), ("rest_s", "-5", "Rest")],
)
@pytest.mark.parametrize("headers", [PART, {}])
def test_a_bad_value_is_named_in_its_place_and_nothing_changes(
    ana, block, line, field, typed, word, headers
):
    before = plan_of(block)

    answer = change(ana, block, line, panel="line", headers=headers, **{field: typed})

    assert answer.status_code == 422
    assert word in answer.text
    assert typed in answer.text
    assert f'name="{field}"' in answer.text
    assert plan_of(block) == before


def test_an_act_by_one_key_that_cannot_be_done_is_told_in_words(ana, block, line):
    answer = change(ana, block, line, targets="99-0")

    assert answer.status_code == 422
    assert 'class="message is-error"' in answer.text


def test_an_act_that_nobody_knows_is_refused(ana, block):
    assert act(ana, block, act="conjure").status_code == 422


@pytest.mark.parametrize("revision", ["", "-1", "x", "99999999999"])
def test_an_act_on_no_revision_is_refused(ana, block, line, revision):
    before = plan_of(block)

    answer = change(ana, block, line, targets="3-3", revision=revision)

    assert answer.status_code == 422
    assert plan_of(block) == before


def test_an_edit_of_another_window_is_never_overwritten(ana, block, line):
    old = draft_of(block, block.client.local_date(timezone.now())).revision
    change(ana, block, line, targets="9-9-9-9-9")

    answer = change(ana, block, line, targets="11-3", revision=old)

    assert answer.status_code == 422
    assert [9] * 5 in [one["targets"] for one in lines(block)]
    assert [11, 3] not in [one["targets"] for one in lines(block)]
    kept = answer.context["page"].draft.kept
    assert ["11-3" in one.what for one in kept] == [True]
    assert answer.headers["HX-Retarget"] == "#block-workspace"


def test_undo_and_redo_go_back_and_forth(ana, block, line):
    before = plan_of(block)
    change(ana, block, line, targets="2-2")
    after = plan_of(block)

    act(ana, block, "undo-edit")
    assert plan_of(block) == before
    act(ana, block, "redo-edit")
    assert plan_of(block) == after


def test_an_edit_of_a_draft_can_be_undone_too(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    starts_on = today + timedelta(days=1)
    draft = create_block_from_template(client=cleo, template=template, starts_on=starts_on, by=ana)
    before = plan_of(draft)
    first = Prescription.objects.filter(pair__planned_session__week__block=draft).order_by("pk")[0]
    change(ana, draft, first, targets="2-2")
    assert plan_of(draft) != before

    act(ana, draft, "undo-edit")

    assert plan_of(draft) == before


def test_a_change_of_the_weeks_answers_with_the_whole_workspace(ana, block):
    weeks = snapshot_of(block)["weeks"]

    answer = act(ana, block, act="remove-week", week=weeks[1]["starts_on"])

    assert answer.headers["HX-Retarget"] == "#block-workspace"
    assert len(answer.context["page"].tabs) == len(weeks) - 1


def test_a_move_within_the_session_keeps_the_focus_on_what_was_moved(ana, block, line):
    answer = act(ana, block, act="order-pair", line=line.uid, by="1", reach="week")

    told = json.loads(answer.headers["HX-Trigger-After-Settle"])["block:edited"]
    assert told["focus"] == str(line.uid)
    rows = answer.context["page"].sessions[0].rows
    assert str(line.uid) in {one.uid for one in rows[1].lines}


# What opens in its place


@pytest.mark.parametrize("headers", [PART, {}])
def test_one_exercise_opens_in_its_place_with_all_its_values(ana, block, line, headers):
    url = reverse("blocks:edit-line", args=[block.pk, line.uid])

    answer = signed_in(ana).get(url, headers=headers)

    assert ("<html" in answer.text) is not bool(headers)
    for field in ("targets", "tempo", "rest_s", "rir"):
        assert f'id="panel-{field}"' in answer.text
    assert "7-7-7" in answer.text or "-".join(map(str, line.targets)) in answer.text


@pytest.mark.parametrize("query", ["line={line}", "swap={line}", "add={session}", "change=week"])
def test_every_panel_has_an_address_of_its_own(ana, block, line, query):
    session = line.pair.planned_session.uid
    answer = open_page(ana, block, "?week=1&" + query.format(line=line.uid, session=session))

    assert answer.text.count("data-panel") == 1


def test_a_line_that_is_gone_has_no_panel(ana, block, line):
    url = reverse("blocks:edit-line", args=[block.pk, "no-such-line"])

    assert signed_in(ana).get(url, headers=PART).status_code == 404
    assert open_page(ana, block, "?line=no-such-line").status_code == 200


def acts_of(panel):
    """Every act that a panel offers, with the fields that its form sends."""
    known = {
        "line": getattr(panel, "line", ""),
        "session": getattr(panel, "session_uid", ""),
        "week": getattr(panel, "week_starts", ""),
    }
    base = {name: value for name, value in known.items() if value}
    for one in panel.acts:
        yield {**base, "act": one.act, **dict(one.fields)}
    for one in getattr(panel, "choices", ()):
        yield {**base, "act": one.act, one.field: one.options[0][0]}
    for one in getattr(panel, "forms", ()):
        named = {f.name: f.value or (f.options[0][0] if f.options else "x") for f in one.fields}
        yield {**base, "act": one.act, **named}


@pytest.mark.parametrize("query", ["line={line}", "session={session}", "change=week"])
def test_every_act_of_a_panel_sends_all_that_the_act_needs(ana, block, line, query):
    session = line.pair.planned_session.uid
    query = "?week=2&" + query.format(line=line.uid, session=session)
    offered = list(acts_of(open_page(ana, block, query).context["page"].panel))

    assert offered
    for sent in offered:
        answer = act(ana, block, **sent)
        assert answer.status_code in {200, 422}
        assert "not known here" not in answer.text, sent
        assert "nothing was sent" not in answer.text, sent
        if answer.status_code == 200:
            act(ana, block, "undo-edit")


def test_unpublished_changes_are_let_go_in_one_act_that_can_be_undone(ana, block, line):
    before = plan_of(block)
    change(ana, block, line, targets="9-9")
    changed = plan_of(block)

    act(ana, block, "discard-changes")
    assert plan_of(block) == before
    act(ana, block, "undo-edit")
    assert plan_of(block) == changed


def swaps_of(coach, block, line):
    url = reverse("blocks:swap-line", args=[block.pk, line.uid])
    return signed_in(coach).get(url, headers=PART).context["panel"].swaps


def test_an_exercise_is_swapped_for_one_that_the_client_can_do(ana, block, line):
    swap = swaps_of(ana, block, line)[0]

    act(ana, block, act="swap-line", line=line.uid, exercise=swap.pk, reach="onward")

    assert swap.name in {one["name"] for one in lines(block)}


def test_each_swap_tells_its_reason_and_what_it_would_do_to_the_week(ana, block, line):
    swaps = swaps_of(ana, block, line)

    assert all(one.reason for one in swaps)
    assert any("sets" in one.effect for one in swaps)


def test_a_swap_for_something_that_is_not_there_is_refused(ana, block, line):
    before = plan_of(block)

    answer = act(ana, block, act="swap-line", line=line.uid, exercise="999999")

    assert answer.status_code == 422
    assert plan_of(block) == before


def test_no_swap_loads_what_the_client_must_avoid(ana, cleo, block, line):
    harder = Exercise.objects.get(ladder=line.exercise.ladder, rung=line.exercise.rung + 1)
    stress = next(iter(harder.joint_stresses))
    assert harder.pk in {swap.pk for swap in swaps_of(ana, block, line)}

    on = line.pair.planned_session.on
    add_joint_limit(client=cleo, stress=stress, action="avoid", since=on)

    rows = Exercise.objects.filter(pk__in={swap.pk for swap in swaps_of(ana, block, line)})
    assert all(stress not in row.joint_stresses for row in rows)


def found_for(coach, block, session, **query):
    url = reverse("blocks:add-line", args=[block.pk, session.uid])
    return signed_in(coach).get(url, query, headers=PART).context["panel"].found


def test_exercises_to_add_are_searched_by_name_muscle_and_pattern(ana, block, line):
    session = line.pair.planned_session

    by_name = found_for(ana, block, session, q="push-up")
    by_muscle = found_for(ana, block, session, q="biceps", pattern="pull")

    assert by_name
    assert all("push-up" in one.name.lower() for one in by_name)
    assert {one.pattern for one in by_muscle} == {"pull"}


def test_what_the_client_has_nothing_for_comes_last_and_says_what_is_missing(ana, block, line):
    found = found_for(ana, block, line.pair.planned_session, q="dip")

    reasons = [one.why_not for one in found]
    assert any("needs" in reason for reason in reasons)
    assert reasons == sorted(reasons, key=bool)


def test_an_exercise_is_added_where_it_was_asked_for(ana, block, line):
    session = line.pair.planned_session
    row = next(one for one in found_for(ana, block, session, pattern="core") if not one.why_not)

    answer = act(ana, block, act="add-exercise", session=session.uid, exercise=row.pk, after="")

    assert answer.status_code == 200
    first = plan_of(block)["weeks"][0]["sessions"][0]
    assert row.pk in {one["exercise"] for pair in first["pairs"] for one in pair["lines"]}


# Joint limits by name


@pytest.fixture
def avoided(cleo, line) -> Exercise:
    """An exercise that loads what Cleo must avoid, and needs nothing."""
    on = line.pair.planned_session.on
    add_joint_limit(client=cleo, stress="shoulder overhead", action="avoid", since=on)
    rows = Exercise.objects.filter(equipment=[]).order_by("pk")
    return next(row for row in rows if "shoulder overhead" in row.joint_stresses)


def override(coach, block, line, **data):
    today = block.client.local_date(timezone.now())
    url = reverse("blocks:override-line", args=[block.pk, line.uid])
    sent = {"revision": draft_of(block, today).revision, "shown": "1", "reach": "onward", **data}
    return signed_in(coach).post(url, sent, headers=PART)


def test_a_limit_is_overridden_by_name_and_the_reason_is_kept(ana, block, line, avoided):
    override(ana, block, line, name=avoided.name.upper(), why="Cleared by the physiotherapist.")

    kept = JointLimitOverride.objects.get()
    assert avoided.pk in {one["exercise"] for one in lines(block)}
    assert (kept.by, kept.exercise, kept.why) == (ana, avoided, "Cleared by the physiotherapist.")
    assert kept.stresses == ["shoulder overhead"]


@pytest.mark.parametrize("reach", ["week", "onward"])
def test_a_limit_that_starts_later_is_overridden_where_the_act_reaches_it(
    ana, cleo, block, line, avoided, reach
):
    later = line.pair.planned_session.on + timedelta(days=7)
    cleo.joint_limits.update(since=later)
    url = reverse("blocks:swap-line", args=[block.pk, line.uid])
    panel = signed_in(ana).get(url, headers=PART).context["panel"]

    answer = override(ana, block, line, name=avoided.name, why="Cleared.", reach=reach)

    assert panel.avoids == ("shoulder overhead",)
    covered = [(one.exercise, len(one.limits)) for one in JointLimitOverride.objects.all()]
    # This week lies before the limit: there is nothing to override.
    assert covered == ([(avoided, 1)] if reach == "onward" else [])
    assert answer.status_code == (200 if reach == "onward" else 422)


def test_what_a_later_limit_forbids_is_kept_by_name(ana, cleo, block, line):
    planned = line.exercise
    later = line.pair.planned_session.on + timedelta(days=7)
    for stress in planned.joint_stresses:
        add_joint_limit(client=cleo, stress=stress, action="avoid", since=later)
    url = reverse("blocks:keep-exercise", args=[block.pk, planned.pk])

    signed_in(ana).post(url, {"name": planned.name, "why": "Cleared."})

    kept = JointLimitOverride.objects.get()
    assert (kept.exercise, len(kept.limits)) == (planned, len(planned.joint_stresses))


def test_an_override_of_an_older_window_is_kept_and_overrides_nothing(ana, block, line, avoided):
    old = draft_of(block, block.client.local_date(timezone.now())).revision
    change(ana, block, line, targets="9-9-9-9-9")

    override(ana, block, line, name=avoided.name, why="Cleared.", revision=old)

    assert not JointLimitOverride.objects.exists()
    assert avoided.pk not in {one["exercise"] for one in lines(block)}
    kept = open_page(ana, block).context["page"].draft.kept
    assert [avoided.name in one.what for one in kept] == [True]


@pytest.mark.parametrize("missing", ["name", "why"])
def test_an_override_needs_a_name_and_a_reason(ana, block, line, avoided, missing):
    before = plan_of(block)
    data = {"name": avoided.name, "why": "Cleared.", missing: ""}

    answer = override(ana, block, line, **data)

    assert answer.status_code == 422
    assert plan_of(block) == before
    assert not JointLimitOverride.objects.exists()


def test_without_an_override_what_is_avoided_is_refused(ana, block, line, avoided):
    answer = act(ana, block, act="swap-line", line=line.uid, exercise=avoided.pk)

    assert answer.status_code == 422
    assert "override the limit by name" in answer.text


def test_an_override_cannot_conjure_up_equipment(ana, block, line):
    before = plan_of(block)
    dip = Exercise.objects.get(name="Parallel-bar dip")

    answer = act(ana, block, act="swap-line", line=line.uid, exercise=dip.pk)

    assert answer.status_code == 422
    assert "dip bars" in answer.text
    assert plan_of(block) == before


# What may not be changed


def test_a_past_or_logged_session_cannot_be_changed(ana, block, line):
    session = line.pair.planned_session
    session.started_at = timezone.now()
    session.save()

    page = open_page(ana, block).context["page"]

    assert page.sessions[0].state == "logged"
    assert all(cell.is_fixed for cell in page.sessions[0].rows[0].left.strip[:1])
    answer = change(ana, block, line, targets="2-2")
    assert answer.status_code == 422
    assert "already begun" in answer.text


def test_what_is_locked_is_told_and_stays(ana, block, line):
    act(ana, block, act="lock", line=line.uid, reach="week")

    answer = change(ana, block, line, targets="2-2", reach="week")

    assert "locked; unlock it first" in answer.text
    assert open_page(ana, block).context["page"].sessions[0].rows[0].locked


def test_saving_what_is_planned_already_is_no_edit(ana, block, line):
    typed = "-".join(map(str, line.targets))

    answer = change(ana, block, line, targets=typed, panel="line")

    assert answer.status_code == 422
    assert "Nothing differs" in answer.text
    assert open_page(ana, block).context["page"].unpublished == 0


def test_a_draft_is_published_once_or_discarded(ana, cleo, today):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    other = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)

    signed_in(ana).post(reverse("blocks:publish-block", args=[draft.pk]))
    signed_in(ana).post(reverse("blocks:discard-draft", args=[draft.pk]))
    signed_in(ana).post(reverse("blocks:discard-draft", args=[other.pk]))

    assert Block.objects.get(pk=draft.pk).published_at is not None
    assert not Block.objects.filter(pk=other.pk).exists()


def test_a_coach_cannot_open_or_edit_another_coachs_block(ben, block, line):
    assert open_page(ben, block).status_code == 404
    assert change(ben, block, line, targets="2-2").status_code == 404


def test_an_edit_takes_at_most_twelve_queries_whatever_the_size_of_the_block(
    ana, cleo, block, line, today, django_assert_max_num_queries
):
    larger = published_block(cleo, today + timedelta(days=60), "upper-lower")
    row = Prescription.objects.filter(pair__planned_session__week__block=larger).order_by("pk")[0]

    for one, at in ((block, line), (larger, row)):
        change(ana, one, at, targets="9-9")
        revision = draft_of(one, today).revision
        browser = signed_in(ana)
        url = reverse("blocks:edit-block", args=[one.pk])
        sent = {"act": "change-line", "line": at.uid, "targets": "8-8", "reach": "onward"}
        # A savepoint and its release are told as queries in a test, not in use.
        with django_assert_max_num_queries(12 + 2):
            browser.post(url, {"revision": revision, "shown": "1", **sent}, headers=PART)
