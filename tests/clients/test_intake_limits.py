"""Joint limits: added, ended, the end taken back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.errors import IntakeError
from clients.intake_services import limit_joint, reopen_joint_limit
from clients.models import JointLimit
from clients.queries import joint_limits_of
from clients.services import add_joint_limit, end_joint_limit
from tests.clients.conftest import HTMX
from tests.conftest import signed_in

pytestmark = pytest.mark.django_db

SAID = {"stress": "shoulder overhead", "action": "avoid", "side": "left", "note": "since May"}


def test_a_limit_holds_from_today(ana, cleo):
    answer = signed_in(ana).post(reverse("clients:add-joint-limit", args=[cleo.pk]), SAID)

    [limit] = joint_limits_of(cleo, cleo.local_date(timezone.now()))
    assert answer.headers["Location"].endswith("#intake-limits")
    assert str(limit) == "shoulder overhead (left)"
    assert (limit.action, limit.note) == ("avoid", "since May")


@pytest.mark.parametrize(
    ("field", "typed"), [("stress", ""), ("stress", "shoulder"), ("action", "cure"), ("side", "up")]
)
def test_a_bad_entry_is_named_and_nothing_is_written(ana, cleo, field, typed):
    url = reverse("clients:add-joint-limit", args=[cleo.pk])

    answer = signed_in(ana).post(url, SAID | {field: typed}, headers=HTMX)

    assert answer.status_code == 422
    assert field in answer.context["page"].limits.form.errors
    assert not JointLimit.objects.exists()


def test_a_loading_that_is_limited_already_is_refused_by_name(ana, cleo):
    browser, url = signed_in(ana), reverse("clients:add-joint-limit", args=[cleo.pk])
    browser.post(url, SAID)

    answer = browser.post(url, SAID | {"side": "", "action": "watch"}, headers=HTMX)

    assert answer.status_code == 422
    assert "shoulder overhead (left)" in answer.context["page"].limits.form.errors["stress"][0]
    assert JointLimit.objects.count() == 1


def test_left_and_right_can_be_limited_apart(cleo, today):
    limit_joint(client=cleo, stress="grip", since=today, action="avoid", side="left")
    limit_joint(client=cleo, stress="grip", since=today, action="watch", side="right")

    with pytest.raises(IntakeError, match="already limited"):
        limit_joint(client=cleo, stress="grip", since=today, action="watch", side="right")
    assert len(joint_limits_of(cleo, today)) == 2


def test_a_limit_that_ended_stays_in_the_history_and_can_hold_again(ana, cleo, today):
    limit = add_joint_limit(client=cleo, stress="neck", action="watch", since=today)
    browser = signed_in(ana)

    ended = browser.post(reverse("clients:end-limit", args=[limit.pk]), headers=HTMX)
    assert ended.context["page"].limits.current == ()
    assert ended.context["page"].limits.ended == (limit,)

    again = browser.post(reverse("clients:reopen-limit", args=[limit.pk]), headers=HTMX)
    assert again.context["page"].limits.current == (limit,)


def test_an_end_is_not_taken_back_over_a_newer_limit(ana, cleo, today):
    old = add_joint_limit(client=cleo, stress="neck", action="watch", since=today)
    end_joint_limit(limit=old, on=today + timedelta(days=7))
    add_joint_limit(client=cleo, stress="neck", action="avoid", since=today + timedelta(days=8))

    with pytest.raises(IntakeError, match="limited again already"):
        reopen_joint_limit(limit=old)
    answer = signed_in(ana).post(reverse("clients:reopen-limit", args=[old.pk]), headers=HTMX)

    assert answer.status_code == 422
    assert "limited again already" in answer.text


@pytest.mark.parametrize("act", ["end-limit", "reopen-limit"])
def test_a_limit_of_anothers_client_does_not_exist(ben, cleo, today, act):
    limit = add_joint_limit(client=cleo, stress="neck", action="watch", since=today)
    url = reverse(f"clients:{act}", args=[limit.pk])

    assert signed_in(ben).post(url).status_code == 404
    assert signed_in(cleo.user).post(url).status_code == 404
    limit.refresh_from_db()
    assert limit.until is None
