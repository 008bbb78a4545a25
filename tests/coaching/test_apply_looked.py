"""A coach sees what a draft will hold before it is made: its day, and whether it fits at all."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import conditional_escape

from clients.services import add_joint_limit, set_equipment
from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import MOST_SHOWN, ClientMeans, LineChange, change_data
from coaching.blocks.models import BlockTemplate
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
)
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, Muscle, Part, Pattern, WeekKind
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.templates import block_to_keep, kept_template
from tests.rules.examples import make_exercise

pytestmark = pytest.mark.django_db
BOX = EquipmentKind.BOX


@pytest.fixture
def emil(ana):
    return ClientFactory.create(coach=ana, name="Emil Haas", level="absolute beginner", minutes=90)


def url_of(template):
    return reverse("blocks:apply-template", args=[template.pk])


def test_a_day_changed_since_the_look_is_looked_at_before_a_draft_is_made(ana, cleo, emil):
    template = kept_template(ana, cleo)
    day = emil.local_date(timezone.now()) + timedelta(days=10)
    browser, url = signed_in(ana), url_of(template)
    looked = browser.get(url, {"clients": [emil.pk]}).context["page"].looks[0].starts_on_text
    field, other = f"starts_on_{emil.pk}", day.isoformat()
    data = {"shown": [emil.pk], "clients": [emil.pk], field: other}

    refused = browser.post(url, data | {f"looked_{emil.pk}": looked})

    page = refused.content.decode()
    assert refused.status_code == 422
    assert not emil.blocks.exists()
    assert "the day of Emil Haas was changed" in " ".join(page.split())
    assert f'name="looked_{emil.pk}"' in page
    # What came back shows the new day: pressed again, the draft is made.
    browser.post(url, data | {f"looked_{emil.pk}": other})
    assert emil.blocks.get().starts_on == day


def test_a_copy_for_a_client_of_another_level_says_so_and_that_little_is_left(ana, cleo, emil):
    set_equipment(client=cleo, items=[{"kind": "dumbbells", "pieces": [10, 12]}])
    start = cleo.local_date(timezone.now())
    block = published_block(cleo, start, "dumbbells-short")
    url = reverse("blocks:copy-block", args=[block.pk])

    answer = signed_in(ana).get(url, {"clients": [emil.pk]})

    look, better = answer.context["page"].looks[0], reverse("blocks:new-block", args=[emil.pk])
    assert f'<a href="{better}">Templates that fit Emil Haas</a>' in answer.content.decode()
    assert f"Made for {cleo.level}, Emil Haas is absolute beginner" in look.notes
    assert (
        "Most of it is left out or swapped; a template for absolute beginner fits better"
        in look.notes
    )


def test_a_copy_for_the_same_client_says_neither(ana, cleo):
    block = block_to_keep(cleo)
    url = reverse("blocks:copy-block", args=[block.pk])

    answer = signed_in(ana).get(url, {"clients": [cleo.pk]})

    look = answer.context["page"].looks[0]
    page = answer.content.decode()
    assert "Templates that fit" not in page
    assert f"<h1>Copy {block.name} to clients</h1>" in page
    assert not [note for note in look.notes if "Made for" in note or "Most of it" in note]


def test_the_last_day_of_the_block_before_is_told_as_the_block_tells_it(ana, cleo):
    browser = signed_in(ana)
    template = kept_template(ana, cleo)
    block = cleo.blocks.get()
    looked = browser.get(url_of(template), {"clients": [cleo.pk]}).context["page"].looks[0]

    last = block.weeks.latest("number").starts_on + timedelta(days=6)
    assert looked.starts_on == last + timedelta(days=1)
    assert any(f"ends on {last:%a} {last.day} {last:%b}" in note for note in looked.notes)


@pytest.mark.parametrize(("count", "is_open"), [(MOST_SHOWN, True), (MOST_SHOWN + 1, False)])
def test_a_long_list_of_changes_is_folded_in_the_draft(ana, emil, cleo, count, is_open):
    browser = signed_in(ana)
    browser.post(url_of(kept_template(ana, cleo)), {"clients": [emil.pk]})
    block = emil.blocks.get()
    block.changes_from_template = [
        change_data(LineChange("Upper", "A", f"Row {n}", f"Curl {n}", "needs bands"))
        for n in range(count)
    ]
    block.save()

    page = " ".join(browser.get(reverse("blocks:block", args=[block.pk])).content.decode().split())

    assert ('<details class="evidence" open>' in page) is is_open
    assert f"{count} changes to fit Emil Haas" in page


def seen_at_once(page):
    """The words of a page outside of what is to be unfolded."""
    return " ".join(re.sub(r"<details.*?</details>", " ", page, flags=re.DOTALL).split())


def test_a_long_look_folds_what_is_alike_and_never_joints_or_level(ana, emil):
    set_equipment(client=emil, items=[{"kind": "box or step", "pieces": []}])
    since = emil.local_date(timezone.now())
    add_joint_limit(client=emil, stress="shoulder overhead", action="avoid", since=since)
    template = BlockTemplate.objects.get(key="upper-lower")

    answer = signed_in(ana).get(url_of(template), {"clients": [emil.pk]})

    look = answer.context["page"].looks[0]
    page, told = seen_at_once(answer.content.decode()), look.changes
    assert told.count > MOST_SHOWN
    assert {one for one in told.work if "which is avoided" in one or "above this" in one}
    for one in told.work:
        matters = any(w in one for w in ("which is avoided", "above this", "begin", "never", "Not"))
        assert (one in told.must_see) == matters, one
    assert all(conditional_escape(one) in page for one in told.must_see)
    folded = [one for group in told.groups for one in group.words]
    assert sorted([*folded, *told.must_see]) == sorted(told.work)
    assert folded
    assert not [one for one in folded if conditional_escape(one) in page]
    # How many of each kind stands before all of them.
    assert f"changes to fit Emil Haas: {told.numbers}" in re.sub("<[^>]*>", "", page)
    assert sum(map(int, re.findall(r"\d+", told.numbers))) == told.count


def test_joints_that_are_watched_are_told_before_what_is_folded(ana, emil):
    since = emil.local_date(timezone.now())
    add_joint_limit(client=emil, stress="wrist bent back under load", action="watch", since=since)
    template = BlockTemplate.objects.get(key="first-block-floor")

    answer = signed_in(ana).get(url_of(template), {"clients": [emil.pk]})

    found = answer.context["page"].looks[0].findings
    assert any("which this client watches" in one for one in found.must_see)
    assert all(one in seen_at_once(answer.content.decode()) for one in found.must_see)


def test_a_muscle_that_nothing_trains_any_more_is_named():
    calf = make_exercise("calf raise", Pattern.LEGS, muscles={Muscle.CALVES: 1.0}, equipment=[BOX])
    squat = make_exercise("squat", Pattern.LEGS, muscles={Muscle.QUADRICEPS: 1.0})
    library = {one.key: one for one in (calf, squat)}
    lines = [TemplateLine(key, (10,) * 3, 0, "3-0-1-0", 60, 2) for key in library]
    pair = TemplatePair("A", Part.SUPPLEMENTARY, tuple(lines))
    plan = TemplatePlan((WeekKind.BUILD,), (TemplateSession("Lower", 0, (pair,)),))

    kept = adapted(plan, library, ClientMeans((), equipment=[EquipmentItem(BOX)])).told
    gone = adapted(plan, library, ClientMeans(())).told

    assert kept.work == ()
    assert gone.must_see == (
        "Calf raise is left out, in Lower: "
        "needs box or step, and nothing in the library fits instead.",
        "Nothing is left that trains calves: the plan as it is written does.",
    )


def test_breath_is_cautioned_at_the_look_where_the_health_screen_names_blood_pressure(ana, cleo):
    cleo.screening_answers = {"blood pressure": True}
    cleo.save(update_fields=["screening_answers"])
    template = BlockTemplate.objects.get(key="beginner-full-body")

    answer = signed_in(ana).get(url_of(template), {"clients": [cleo.pk]})

    assert answer.context["page"].looks[0].breath
    assert "No breath-holding on" in seen_at_once(answer.content.decode())
