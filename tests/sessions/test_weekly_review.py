"""The command weekly_review prints one week as the review reads it, and nothing from after it."""

import json
from datetime import UTC, date, datetime, time, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from clients.services import add_joint_limit, end_joint_limit, record_body_weight
from coaching.blocks.limit_services import override_limit
from coaching.blocks.models import Block, PlannedSession, Prescription
from coaching.rules.findings import FindingKind
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import week_start
from sessions.review_report import KINDS
from sessions.review_words import KIND_WORDS
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db

TEMPLATE = "beginner-full-body"
WRIST = "wrist bent back under load"


@pytest.fixture
def review(monkeypatch, today):
    """Run the command on a day, usually the Wednesday of all tests, and return what it prints."""

    def run(*words: str, on=today) -> str:
        monkeypatch.setattr("sessions.management.commands.weekly_review.local_today", lambda: on)
        out = StringIO()
        call_command("weekly_review", *words, stdout=out)
        return out.getvalue()

    return run


@pytest.fixture
def reports(review):
    """The same as values."""

    def run(*words: str, **day) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = json.loads(review("--json", *words, **day))
        return found

    return run


@pytest.fixture
def trained(cleo, last_week):
    """Two weeks to plan, the second of them last week."""
    published_block(cleo, last_week - timedelta(weeks=1), TEMPLATE)
    record_body_weight(client=cleo, on=last_week - timedelta(weeks=2), kg=70)
    log_week(cleo, last_week - timedelta(weeks=1))
    log_week(cleo, last_week)
    return cleo


@pytest.fixture
def fallen(cleo, last_week):
    """Eight weeks to plan and one that fell, which was last week."""
    for weeks in (8, 3):
        published_block(cleo, last_week - timedelta(weeks=weeks), TEMPLATE)
    for weeks in range(8, 0, -1):
        log_week(cleo, last_week - timedelta(weeks=weeks))
    log_week(cleo, last_week, drop=3, rpe=9.5)
    return cleo


def test_the_json_names_week_client_and_signals(reports, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)
    first = log_week(cleo, last_week)[0]
    hurt = first.sets.order_by("done_at")[0]
    LoggedSet.objects.filter(pk=hurt.pk).update(pain=7, pain_where="left wrist")

    (report,) = reports("--week", iso(last_week))

    assert set(report) == {"week", "client", "signals"}
    assert (report["week"], report["client"]) == ("2026-W10", "Cleo Brandt")
    pain = report["signals"][0]
    assert set(pain) == {"kind", "exercise", "since", "probability", "sentence", "evidence"}
    assert (pain["kind"], pain["exercise"]) == ("pain", hurt.exercise.name)
    assert (pain["since"], pain["probability"]) == (first.on.isoformat(), None)
    assert pain["evidence"] == [{"label": f"Pain on {first.on:%-d %b}", "value": "7 of 10"}]
    assert {one["kind"] for one in report["signals"][1:]} <= {"holding", "progressing"}


def iso(day) -> str:
    return f"{day:%G-W%V}"


def test_every_kind_of_finding_has_a_plain_word():
    assert set(KINDS) == set(FindingKind)
    assert all(word.replace("_", "").isalpha() and word.islower() for word in KINDS.values())
    assert len(set(KINDS.values())) == len(KINDS)


def test_the_readme_names_every_kind_of_finding():
    readme = (Path(settings.BASE_DIR) / "README.md").read_text(encoding="utf-8")

    assert [word for word in KINDS.values() if f"`{word}`" not in readme] == []


def test_it_finds_what_the_review_finds(reports, fallen, last_week, today):
    (report,) = reports("--week", iso(last_week))
    reading = read_weeks([fallen], last_week, today)[0]

    assert sorted((s["kind"], s["sentence"], s["probability"] or 0) for s in report["signals"]) == (
        sorted((KINDS[f.kind], f.sentence, f.probability or 0) for f in reading.findings)
    )
    first = report["signals"][0]
    assert (first["kind"], first["exercise"]) == ("overreaching", None)
    assert 0.2 <= first["probability"] <= 1
    assert last_week - timedelta(days=7) <= date.fromisoformat(first["since"]) <= last_week


def test_an_older_week_is_read_as_the_review_reads_it(reports, trained, last_week, today):
    week = last_week - timedelta(weeks=1)

    (report,) = reports("--week", iso(week))

    reading = read_weeks([trained], week, today)[0]
    said = [one["sentence"] for one in report["signals"]]
    assert sorted(said) == sorted(f.sentence for f in reading.findings)


def log_a_later_session(client, monday):
    log_session(client, PlannedSession.objects.filter(on__gte=monday).order_by("on")[0], drop=6)


def weigh_later(client, monday):
    record_body_weight(client=client, on=monday, kg=110)


def limit_a_joint_later(client, monday):
    add_joint_limit(client=client, stress=WRIST, action="avoid", since=monday)


def publish_a_later_block(client, monday):
    published_block(client, monday + timedelta(weeks=6), TEMPLATE)
    Block.objects.filter(starts_on__gt=monday).update(published_at=timezone.now())


@pytest.mark.parametrize(
    "happens", [log_a_later_session, weigh_later, limit_a_joint_later, publish_a_later_block]
)
def test_what_came_later_changes_nothing(review, trained, last_week, happens):
    before = review("--json", "--week", iso(last_week))

    happens(trained, last_week + timedelta(days=7))

    assert review("--json", "--week", iso(last_week)) == before


def test_a_weighing_that_came_first_later_changes_nothing(review, cleo, last_week):
    cleo.stature_cm = 170
    cleo.save()
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week)
    before = review("--json", "--week", iso(last_week))

    weigh_later(cleo, last_week + timedelta(days=7))

    assert review("--json", "--week", iso(last_week)) == before


def test_a_session_made_up_for_later_was_missing_then(reports, cleo, last_week, today):
    published_block(cleo, last_week, TEMPLATE)
    planned = list(PlannedSession.objects.filter(on__lt=week_start(today)).order_by("on"))
    for row in planned[:-2]:
        log_session(cleo, row)
    missing = reports("--week", iso(last_week))

    for row in planned[-2:]:
        late = log_session(cleo, row)
        LoggedSession.objects.filter(pk=late.pk).update(on=today)

    assert "missed" in {s["kind"] for s in missing[0]["signals"]}
    assert kinds_and_words(reports("--week", iso(last_week))) == kinds_and_words(missing)


def kinds_and_words(found):
    return [(s["kind"], s["sentence"]) for one in found for s in one["signals"]]


def test_a_joint_limit_of_the_week_is_held_against_what_was_planned(
    reports, cleo, last_week, today
):
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week)
    limit = add_joint_limit(client=cleo, stress=WRIST, action="avoid", since=last_week)

    then = reports("--week", iso(last_week))

    found = [s for s in then[0]["signals"] if s["kind"] == "joint_limit"]
    planned = Prescription.objects.filter(pair__planned_session__on__gte=week_start(today))
    assert {s["exercise"] for s in found} <= set(planned.values_list("exercise__name", flat=True))
    assert found
    # Its end and an override came after that week.
    exercise = planned.filter(exercise__name=found[0]["exercise"])[0].exercise
    override_limit(
        client=cleo,
        exercise=exercise,
        name=exercise.name,
        why="Cleared by her physiotherapist",
        days=[today],
        by=cleo.coach,
    )
    end_joint_limit(limit=limit, on=today)
    assert reports("--week", iso(last_week)) == then


def test_a_block_that_was_not_published_yet_did_not_follow(reports, cleo, last_week):
    block = published_block(cleo, last_week, TEMPLATE)
    ending = block.weeks.order_by("-starts_on")[0].starts_on
    log_week(cleo, ending)
    following = published_block(cleo, ending + timedelta(days=7), TEMPLATE)
    sunday = ending + timedelta(days=6)
    said = {}
    for days in (0, 1):
        at = datetime.combine(sunday + timedelta(days=days), time(12), UTC)
        Block.objects.filter(pk=following.pk).update(published_at=at)
        (report,) = reports("--week", iso(ending), on=sunday + timedelta(days=20))
        said[days] = {s["kind"] for s in report["signals"]}

    assert "block_ends" not in said[0]
    assert "block_ends" in said[1]


def test_the_week_is_usually_that_of_yesterday(reports, trained, last_week, today):
    monday = week_start(today)

    assert {one["week"] for one in reports(on=monday)} == {iso(last_week)}
    assert {one["week"] for one in reports(on=monday + timedelta(days=1))} <= {iso(monday)}


def test_the_running_week_is_read_up_to_today(reports, trained, today):
    log_session(trained, PlannedSession.objects.get(on=week_start(today)))

    (report,) = reports()

    reading = read_weeks([trained], week_start(today), today)[0]
    said = [one["sentence"] for one in report["signals"]]
    assert report["week"] == iso(today)
    assert sorted(said) == sorted(f.sentence for f in reading.findings)


def test_every_coachs_clients_come_by_urgency_or_one_by_name(reports, ana, cleo, drew, last_week):
    for client in (cleo, drew):
        published_block(client, last_week, TEMPLATE)
        log_week(client, last_week)
    LoggedSet.objects.filter(logged_session__client=drew).update(pain=8)
    week = ("--week", iso(last_week))

    assert [one["client"] for one in reports(*week)] == ["Drew Salas", "Cleo Brandt"]
    assert [r["client"] for r in reports(*week, "--client", "cleo  brandt")] == ["Cleo Brandt"]


def test_the_text_has_a_line_for_each_finding_that_needs_the_coach(review, fallen, last_week):
    text = review("--week", iso(last_week))
    found = read_weeks([fallen], last_week, last_week + timedelta(days=7))[0].urgent

    lines = text.splitlines()
    assert lines[:3] == ["Week 2026-W10, 2 Mar to 8 Mar 2026", "", "Cleo Brandt"]
    assert [line.strip() for line in lines[3 : 3 + len(found)]] == [
        f"{KIND_WORDS[f.kind]}: {f.sentence}" for f in found
    ]
    assert len(found) > 1
    assert lines[-1].startswith(("  Progressing: ", "  Holding: "))


def test_a_week_in_which_nobody_trained_says_so(review, cleo, last_week):
    assert review("--week", iso(last_week)).splitlines()[-1] == "Nobody trained or was due."


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--week", "last"), "“last” is not a week"),
        (("--week", "2026-11-23"), "“2026-11-23” is not a week"),
        (("--week", "2026-W54"), "“2026-W54” is not a week"),
        (("--week", "2025-W53"), "“2025-W53” is not a week"),
        (("--week", "0001-W01"), "The year 1 is too early"),
        (("--week", "2026-W12"), "The week 2026-W12 has not begun"),
        (("--client", "Nobody"), "No client is called “Nobody”"),
        (("--client", ""), "No client is called “”"),
        (("--client", "cleo"), "did you mean Cleo Brandt?"),
    ],
)
def test_bad_input_ends_with_one_sentence(review, cleo, words, said):
    with pytest.raises(CommandError) as refusal:
        review(*words)

    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert refusal.value.returncode == 1


def test_a_name_that_two_clients_bear_is_refused(review, ana, ben):
    for coach in (ana, ben):
        ClientFactory.create(coach=coach, name="Mara Lind")

    with pytest.raises(CommandError, match=r"2 clients are called “mara lind”, with .*ana@"):
        review("--client", "mara lind")


def test_a_practice_of_an_earlier_version_is_told_to_start_once(review, monkeypatch):
    undone = [("client_sessions", "0001_initial")]
    monkeypatch.setattr(MigrationExecutor, "migration_plan", lambda *_: undone)

    with pytest.raises(CommandError, match=r"run “python3 manage.py start” once"):
        review()
