"""The command replay_reviews prints each week of a span as the review would have read it then."""

import json
from datetime import date, timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from clients.services import record_body_weight
from coaching.blocks.models import PlannedSession
from coaching.rules.findings import Finding, FindingKind
from sessions import replay_findings
from sessions.models import LoggedSession
from sessions.queries import week_start
from sessions.replay_reading import read_past_weeks
from sessions.week_reading import WEEKS_FOLLOWED, WeekReading, followed_from, read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db

TEMPLATE = "beginner-full-body"


@pytest.fixture
def replay(monkeypatch, today):
    """Run the command on the Wednesday of all tests and return what it prints."""
    for name in ("replay_reviews", "weekly_review"):
        monkeypatch.setattr(f"sessions.management.commands.{name}.local_today", lambda: today)

    def run(*words: str, command="replay_reviews") -> str:
        out = StringIO()
        call_command(command, *words, stdout=out)
        return out.getvalue()

    return run


@pytest.fixture
def three_weeks(cleo, drew, last_week):
    """Cleo trained for three weeks up to last week, Drew in the last of them only."""
    for client, weeks in ((cleo, 2), (drew, 0)):
        published_block(client, last_week - timedelta(weeks=weeks), TEMPLATE)
    for weeks in (2, 1, 0):
        log_week(cleo, last_week - timedelta(weeks=weeks))
    log_week(drew, last_week)
    return (last_week - timedelta(weeks=2), last_week + timedelta(days=6))


def span(days) -> tuple[str, ...]:
    return ("--from", days[0].isoformat(), "--to", days[1].isoformat())


def iso(day) -> str:
    return f"{day:%G-W%V}"


def test_it_prints_week_by_week_what_weekly_review_prints(replay, three_weeks, last_week):
    found = json.loads(replay(*span(three_weeks), "--json"))

    weeks = [iso(last_week - timedelta(weeks=n)) for n in (2, 1, 0)]
    assert list(dict.fromkeys(one["week"] for one in found)) == weeks
    for week in weeks:
        alone = json.loads(replay("--week", week, "--json", command="weekly_review"))
        assert [one for one in found if one["week"] == week] == alone


def test_the_text_has_a_head_for_each_week_and_the_clients_that_had_one(replay, three_weeks):
    text = replay(*span(three_weeks))

    heads = [line for line in text.splitlines() if line.startswith("Week ")]
    assert [line.partition(",")[0] for line in heads] == [
        "Week 2026-W08",
        "Week 2026-W09",
        "Week 2026-W10",
    ]
    assert text.count("Cleo Brandt") == 3
    assert text.count("Drew Salas") == 1


def test_a_day_stands_for_its_week_and_the_running_one_is_read_too(replay, cleo, today):
    published_block(cleo, week_start(today), TEMPLATE)
    log_session(cleo, PlannedSession.objects.get(on=week_start(today)))

    found = json.loads(replay(*span((today, today + timedelta(days=4))), "--json"))

    assert [one["week"] for one in found] == [iso(today)]


def test_one_client_alone_is_read_as_among_all(replay, three_weeks):
    everyone = json.loads(replay(*span(three_weeks), "--json"))
    alone = json.loads(replay(*span(three_weeks), "--json", "--client", "Cleo Brandt"))

    assert alone == [one for one in everyone if one["client"] == "Cleo Brandt"]


def test_a_later_session_changes_no_week_before_it(replay, cleo, three_weeks, today):
    before = replay(*span(three_weeks), "--json")

    log_session(cleo, PlannedSession.objects.filter(on=week_start(today))[0], drop=9, note="numb")
    record_body_weight(client=cleo, on=today, kg=120)

    assert replay(*span(three_weeks), "--json") == before


def test_the_first_weighing_is_known_from_its_week_on(cleo, last_week, today):
    published_block(cleo, last_week - timedelta(weeks=1), TEMPLATE)
    for monday in (last_week - timedelta(weeks=1), last_week):
        log_week(cleo, monday)
    record_body_weight(client=cleo, on=last_week, kg=95)
    LoggedSession.objects.update(body_weight_kg=None)
    mondays = [last_week - timedelta(weeks=1), last_week]

    before, after = read_past_weeks([cleo], mondays, today)

    assert before.readings[0].body_weight is None
    assert after.readings[0].body_weight == 95
    assert after.readings[0].findings == read_weeks([cleo], last_week, today)[0].findings


def of_the_log(reading: WeekReading) -> list[Finding]:
    """Without what a block that was published only later takes away."""
    return [one for one in reading.findings if one.kind is not FindingKind.BLOCK_ENDS]


def test_a_long_span_finds_what_the_review_finds_in_every_week(cleo, last_week, today):
    first = last_week - timedelta(weeks=WEEKS_FOLLOWED + 3)
    # Blocks of five weeks, the last of them a deload: last week is a fourth one.
    for weeks in range(-4, WEEKS_FOLLOWED + 4, 5):
        published_block(cleo, first + timedelta(weeks=weeks), TEMPLATE)
    mondays = [first + timedelta(weeks=n) for n in range(WEEKS_FOLLOWED + 4)]
    for monday in mondays:
        log_week(cleo, monday, **({"drop": 2, "rpe": 9} if monday >= mondays[-2] else {}))

    found = read_past_weeks([cleo], mondays, today)[3:]

    assert len({followed_from(monday) for monday in mondays}) > 1
    for week in found:
        then = read_weeks([cleo], week.starts_on, today)[0]
        assert of_the_log(week.readings[0]) == of_the_log(then)
    assert any(f.probability is not None for f in found[-1].readings[0].findings)


def test_several_processes_find_what_one_finds(cleo, drew, three_weeks, today, monkeypatch):
    mondays = [three_weeks[0] + timedelta(weeks=n) for n in range(3)]
    alone = read_past_weeks([cleo, drew], mondays, today)
    monkeypatch.setattr(replay_findings, "WORTH_PROCESSES", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)

    shared = read_past_weeks([cleo, drew], mondays, today)

    assert [[r.findings for r in week.readings] for week in shared] == (
        [[r.findings for r in week.readings] for week in alone]
    )


@pytest.mark.parametrize(("clients", "weeks"), [(1, 1), (4, 9)])
def test_any_roster_and_any_span_cost_the_same_queries(
    ana, clients, weeks, last_week, today, django_assert_num_queries
):
    roster = [ClientFactory.create(coach=ana) for _ in range(clients)]
    for client in roster:
        published_block(client, last_week, TEMPLATE)
        log_session(client, PlannedSession.objects.filter(week__block__client=client)[0])
    mondays = [last_week - timedelta(weeks=n) for n in range(weeks)]

    with django_assert_num_queries(9):
        found = read_past_weeks(roster, mondays, today)

    assert [len(week.readings) for week in found] == [clients] * weeks


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Name the first and the last day"),
        (("--from", "2026-02-02"), "Name the first and the last day"),
        (("--from", "2.2.2026", "--to", "2026-02-08"), "“2.2.2026” after --from is not a day"),
        (("--from", "2026-02-02", "--to", "2026-02-30"), "“2026-02-30” after --to is not a day"),
        (("--from", "0001-01-01", "--to", "2026-02-08"), "The year 1 is too early"),
        (span((date(2026, 2, 9), date(2026, 2, 8))), "The span ends before it begins"),
        (span((date(2026, 2, 9), date(2026, 3, 16))), "The week of --to 2026-03-16 has not begun"),
        ((*span((date(2026, 2, 9),) * 2), "--client", "Nobody"), "No client is called “Nobody”"),
    ],
)
def test_bad_input_ends_with_one_sentence(replay, words, said):
    with pytest.raises(CommandError) as refusal:
        replay(*words)

    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert refusal.value.returncode == 1
