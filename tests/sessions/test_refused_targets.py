"""What stands on the page when an accept is refused, and when the page was an old one."""

from html.parser import HTMLParser

import pytest
from django.urls import reverse

from coaching.blocks.services import change_targets
from coaching.blocks.target_changes import TargetChange
from sessions.models import Decision
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}


class Form(HTMLParser):
    """The fields of the form of next targets, as a browser would send them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.inside, self.select = False, ""
        self.sent: dict[str, list[str]] = {}
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        if tag == "form":
            self.inside = said.get("id") == "targets-form"
        if not self.inside:
            return
        name, value = said.get("name", ""), said.get("value", "")
        if tag == "input" and (said.get("type") not in {"checkbox", "radio"} or "checked" in said):
            self.sent.setdefault(name, []).append(value)
        if tag == "select":
            self.select = name
        if tag == "option" and (self.select not in self.sent or "selected" in said):
            self.sent[self.select] = [value]


@pytest.fixture
def block(cleo, last_week):
    found = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return found


@pytest.fixture
def coach(ana, block):
    return signed_in(ana)


@pytest.fixture
def shown(coach, cleo, last_week):
    """The page as it was opened: the panel, and what its form would send with nothing ticked."""
    url = reverse("sessions:review-client", args=[cleo.pk])
    answer = coach.get(url, {"week": last_week.isoformat()}, headers=PART)
    return answer.context["panel"], Form(answer.text).sent | {"take": []}


@pytest.fixture
def accept(coach, cleo):
    url = reverse("sessions:accept-targets", args=[cleo.pk])
    return lambda data, headers=PART: coach.post(url, data, headers=headers)


def chosen(row, act, option):
    """What the page sends of a row once the act has put its numbers in."""
    return {
        f"act-{row.key}": act,
        f"shown-{row.key}": act,
        f"targets-{row.key}": option.targets,
        f"load-{row.key}": option.load,
        f"rung-{row.key}": option.rung,
    }


def messages_of(answer):
    return " ".join(str(m) for m in answer.context["messages"])


def test_a_swap_stands_as_it_was_chosen_and_can_be_sent_again(shown, accept):
    panel, page = shown
    row = next(r for r in panel.rows if len(r.swaps) > 1)
    other, to = next(r for r in panel.rows if r != row), row.swaps[1]
    own = chosen(row, "swap", to.option) | {f"swap-{row.key}": [str(to.pk)]}
    wrong = {f"targets-{other.key}": ["eight"]}

    refused = accept(page | own | wrong | {"take": [row.key, other.key]})

    assert refused.status_code == 422
    again = Form(refused.text).sent
    assert again[f"swap-{row.key}"] == [str(to.pk)]
    assert (again[f"act-{row.key}"], again[f"targets-{row.key}"]) == (["swap"], [to.option.targets])
    accept(again | {"take": [row.key]})
    assert Decision.objects.get().proposal["to"] == to.name


def test_the_rung_is_that_of_the_chosen_act_and_can_be_sent_again(shown, accept):
    panel, page = shown
    row, one = next((r, a) for r in panel.rows for a in r.acts if a.rung != r.rung)
    wrong = {f"targets-{row.key}": ["eight"]}

    refused = accept(page | chosen(row, one.act, one) | wrong | {"take": [row.key]})

    assert refused.status_code == 422
    again = Form(refused.text).sent
    assert again[f"rung-{row.key}"] == [one.rung]
    accept(again | {f"targets-{row.key}": [one.targets]})
    assert Decision.objects.get().kind == one.act


def test_without_scripts_the_numbers_of_a_refused_act_are_those_of_the_act(shown, accept):
    panel, page = shown
    row = next(r for r in panel.rows if r.act != "step back" and _back(r))
    other = next(r for r in panel.rows if r != row)
    picked = {f"act-{row.key}": ["step back"], f"targets-{other.key}": ["eight"]}

    refused = accept(page | picked | {"take": [row.key, other.key]}, headers={})

    assert Form(refused.text).sent[f"targets-{row.key}"] == [_back(row).targets]


def _back(row):
    return next((one for one in row.acts if one.act == "step back"), None)


def test_the_session_to_start_from_stands_as_it_was_chosen(shown, accept):
    panel, page = shown
    row, later = panel.rows[0], panel.days[1][0].isoformat()
    wrong = {f"targets-{row.key}": ["eight"], "since": [later]}

    refused = accept(page | wrong | {"take": [row.key]})

    assert Form(refused.text).sent["since"] == [later]


def test_a_day_that_is_gone_leaves_the_choices_as_they_were(shown, accept, last_week):
    panel, page = shown
    row = panel.rows[0]
    typed = {f"targets-{row.key}": ["4-4-3"], "since": [last_week.isoformat()]}

    refused = accept(page | typed | {"take": [row.key]})

    assert refused.status_code == 422
    assert Form(refused.text).sent[f"targets-{row.key}"] == ["4-4-3"]
    assert "begun or gone" in messages_of(refused)


def test_numbers_of_a_plan_that_changed_meanwhile_are_not_accepted(
    shown, accept, ana, block, today, last_week
):
    panel, page = shown
    row = next(r for r in panel.rows if not r.rung)
    leave = next(one for one in row.acts if one.act == "leave")
    exercise, part = row.key.split("-", 1)
    more = tuple(int(n) + 1 for n in leave.targets.split("-"))
    change = TargetChange(int(exercise), part, more, float(leave.load))
    change_targets(block=block, changes=[change], today=today, by=ana, what="One more")

    refused = accept(page | chosen(row, "leave", leave) | {"take": [row.key]})

    assert refused.status_code == 422
    assert Decision.objects.count() == 0
    [at] = [r for r in refused.context["panel"].rows if r.key == row.key]
    assert "changed since you opened this" in at.error
    again = Form(refused.text).sent
    assert again[f"targets-{row.key}"] == ["-".join(str(n) for n in more)]
    accept(again)
    assert Decision.objects.get().kind == "leave"


def test_what_is_no_longer_to_come_is_not_passed_over_in_silence(shown, accept):
    panel, page = shown

    refused = accept(page | {"take": [panel.rows[0].key, "1000000-main"]})

    assert refused.status_code == 422
    assert "no longer to come" in messages_of(refused)
    assert Decision.objects.count() == 0


def test_what_another_window_decided_is_not_decided_again(shown, accept):
    panel, page = shown
    row = panel.rows[0]
    hold = next(one for one in row.acts if one.act == "hold")
    sent = page | chosen(row, "hold", hold) | {"take": [row.key]}
    accept(sent)

    refused = accept(sent)

    assert refused.status_code == 422
    assert "decided by now" in messages_of(refused)
    assert Decision.objects.count() == 1
