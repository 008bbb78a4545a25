"""What was corrected, taken back, swapped and skipped: told where it says something, to whom it concerns."""

from datetime import timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from clients.services import add_joint_limit
from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import Exercise
from sessions.log_change_words import told_changes
from sessions.models import Correction, LoggedSession
from sessions.queries_log_changes import log_changes
from sessions.services import record_entry
from tests.factories.blocks import published_block
from tests.factories.phone import session_entry, set_entry


@pytest.fixture
def now():
    return timezone.now().replace(microsecond=0)


@pytest.fixture
def planned(cleo, now) -> PlannedSession:
    """A session of today in which something is added to the body's own weight."""
    today = cleo.local_date(now)
    block = published_block(cleo, today - timedelta(days=today.weekday()), "upper-lower")
    row = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    PlannedSession.objects.filter(week__block=block, on=today).exclude(pk=row.pk).delete()
    row.on = today
    row.save()
    return row


@pytest.fixture
def line(planned) -> Prescription:
    return Prescription.objects.filter(
        pair__planned_session=planned, exercise__load_kind="added"
    ).select_related("exercise")[0]


@pytest.fixture
def entry(planned, line, now):
    """The first statement of a set: six with five kilograms added."""
    fields = {"exercise": line.exercise_id, "prescription": str(line.uid), "amount": 6, "load": 5}
    return set_entry(planned, now, edit=str(uuid4()), **fields)


def say(client, entry, by=None, **fields):
    """Send an entry, or a newer statement of it."""
    record_entry(client=client, entry={**entry, "edit": str(uuid4()), **fields}, by=by)


def line_entry(planned, line, now, **fields):
    return {
        "kind": "line",
        "uid": str(uuid4()),
        "revision": 1,
        "session": str(planned.uid),
        "planned_session": str(planned.uid),
        "session_name": planned.name,
        "done_at": now.isoformat(),
        "prescription": str(line.uid),
        "removed": False,
        **fields,
    }


def told(client, *, for_coach: bool = False) -> list[str]:
    rows = list(LoggedSession.objects.filter(client=client))
    return [
        str(one) for one in told_changes(client, log_changes(client, rows, with_limits=for_coach))
    ]


def received(at) -> None:
    """Let all corrections have arrived at that moment."""
    Correction.objects.update(at=at)


def clock(client, at) -> str:
    """A moment as the client's clock shows it: Thu 14:20."""
    return f"{at.astimezone(ZoneInfo(client.time_zone)):%a %H:%M}"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"amount": 8}, "8 reps · +5 kg (was 6, corrected {when})"),
        ({"load": 7.5}, "6 reps · +7.5 kg (was +5 kg, corrected {when})"),
        ({"amount": 8, "load": 0}, "8 reps (was 6 at +5 kg, corrected {when})"),
        ({"removed": True}, "taken back {when}"),
    ],
    ids=["reps", "load", "both", "taken back"],
)
def test_another_amount_or_load_and_a_set_taken_back_are_told(
    cleo, entry, line, now, change, words
):
    say(cleo, entry)
    say(cleo, entry, revision=2, **change)
    received(now)

    about = f"{line.exercise.name}, set 1"
    assert told(cleo) == [f"{about}: {words.format(when=clock(cleo, now))}"]


def test_what_belongs_to_logging_a_set_is_not_told(cleo, entry):
    say(cleo, entry)
    say(cleo, entry, revision=2, rir=2)
    say(cleo, entry, revision=3, rir=2, note="Slow.", pain=1)

    assert told(cleo) == []


def test_what_was_changed_and_changed_back_is_not_told(cleo, entry):
    say(cleo, entry)
    say(cleo, entry, revision=2, amount=60)
    say(cleo, entry, revision=3, amount=6)

    assert told(cleo) == []


def test_half_a_day_later_everything_that_changed_is_told(cleo, entry, now, line):
    say(cleo, entry, rir=1)
    say(cleo, entry, revision=2, rir=3, pain=2, note="Elbow.", warm_up=True)
    received(now + timedelta(hours=13))

    when = clock(cleo, now + timedelta(hours=13))
    assert told(cleo) == [
        f"{line.exercise.name}, set 1: 6 reps · +5 kg (reserve from 1 to 3, pain from none to 2, "
        f"no warm-up set before, note changed, corrected {when})"
    ]


def test_a_late_reserve_is_not_blamed_for_what_was_said_with_the_set(cleo, entry, now):
    """The reserve came within minutes and only the reps were corrected on the next day."""
    say(cleo, entry)
    say(cleo, entry, revision=2, rir=2)
    say(cleo, entry, revision=3, rir=2, amount=7)
    last = Correction.objects.get(revision=2)
    Correction.objects.filter(pk=last.pk).update(at=now + timedelta(hours=20))

    assert told(cleo)[0].endswith(f"(was 6, corrected {clock(cleo, now + timedelta(hours=20))})")


def test_another_exercise_is_told_by_name(cleo, entry, line, now):
    other = Exercise.objects.get(key="push-up")
    say(cleo, entry)
    say(cleo, entry, revision=2, exercise=other.pk, load=0)
    received(now)

    assert told(cleo) == [
        f"Push-up, set 1: 6 reps (was {line.exercise.name} with 5 kg, corrected {clock(cleo, now)})"
    ]


def test_who_corrected_is_named_only_when_it_was_somebody_else(ana, cleo, entry, now):
    say(cleo, entry, by=cleo.user)
    say(cleo, entry, by=cleo.user, revision=2, amount=7)
    [own] = told(cleo)
    say(cleo, entry, by=ana, revision=3, amount=8)
    [by_coach] = told(cleo)

    assert "Ana" not in own
    assert "Cleo" not in own
    assert by_coach.endswith("by Ana Ferro)")


def test_what_another_phone_said_and_sent_too_late_is_told(cleo, entry, now):
    say(cleo, entry)
    say(cleo, entry, revision=2, amount=6)
    say(cleo, entry, revision=1, amount=9)

    assert Correction.objects.filter(was_late=True).count() == 1
    [words] = told(cleo)
    assert "(another phone said 9, received " in words


def test_a_swap_and_a_skip_are_told_with_their_reason(cleo, planned, line, now):
    lines = list(Prescription.objects.filter(pair__planned_session=planned).order_by("pk"))
    other = Exercise.objects.get(key="push-up")
    swap = {"change": "swap", "exercise": other.pk, "reason": "shoulder"}
    say(cleo, line_entry(planned, lines[0], now, **swap))
    say(cleo, line_entry(planned, lines[1], now, change="skip", exercise="", reason="no bench"))

    assert told(cleo) == [
        f"Swapped {lines[0].exercise.name} for Push-up: shoulder",
        f"Skipped {lines[1].exercise.name}: no bench",
    ]


def test_a_swap_said_otherwise_and_a_skip_taken_back_are_told(cleo, planned, now):
    lines = list(Prescription.objects.filter(pair__planned_session=planned).order_by("pk"))
    other = Exercise.objects.get(key="push-up")
    first = line_entry(planned, lines[0], now, change="skip", exercise="", reason="no bench")
    second = line_entry(planned, lines[1], now, change="skip", exercise="", reason="tired")
    say(cleo, first)
    say(cleo, first, revision=2, change="swap", exercise=other.pk)
    say(cleo, second)
    say(cleo, second, revision=2, removed=True)
    received(now)

    assert told(cleo) == [
        f"Swapped {lines[0].exercise.name} for Push-up: no bench "
        f"(was skipped, corrected {clock(cleo, now)})",
        f"Skipped {lines[1].exercise.name}: tired; taken back {clock(cleo, now)}",
    ]


def test_the_coach_is_told_that_a_swap_loads_what_the_client_avoids(cleo, planned, line, now):
    other = Exercise.objects.get(key="push-up")
    stress = other.joint_stresses[0]
    add_joint_limit(
        client=cleo, stress=stress, action="avoid", since=cleo.local_date(now) - timedelta(days=9)
    )
    swap = {"change": "swap", "exercise": other.pk, "reason": "no bars"}
    say(cleo, line_entry(planned, line, now, **swap))

    [to_client], [to_coach] = told(cleo), told(cleo, for_coach=True)

    assert to_client == f"Swapped {line.exercise.name} for Push-up: no bars"
    assert to_coach.startswith(f"{to_client}. Cleo avoids this: ")


def test_effort_that_was_rated_anew_and_a_word_changed_later_are_told(cleo, planned, now):
    about = session_entry(planned, now, finished_at=now.isoformat())
    say(cleo, about, rpe=6, note="Fine.")
    say(cleo, about, rpe=8, note="Not fine.", revision=2)
    received(now + timedelta(hours=13))

    when = clock(cleo, now + timedelta(hours=13))
    assert told(cleo) == [
        f"Effort 8 of 10 (was 6, corrected {when})",
        f"Word to the coach changed {when}",
    ]


def test_rating_a_session_and_then_ending_it_is_no_correction(cleo, planned, now):
    about = session_entry(planned, now)
    say(cleo, about, rpe=6)
    say(cleo, about, rpe=6, note="Done.", finished_at=now.isoformat(), revision=2)

    assert told(cleo) == []


def test_reading_costs_the_same_however_much_was_changed(
    cleo, planned, entry, now, django_assert_max_num_queries
):
    for number in range(1, 9):
        one = {**entry, "uid": str(uuid4()), "number": number}
        say(cleo, one)
        say(cleo, one, revision=2, amount=9)
    for line in Prescription.objects.filter(pair__planned_session=planned):
        skip = {"change": "skip", "exercise": "", "reason": "no time"}
        say(cleo, line_entry(planned, line, now, **skip))
    rows = list(LoggedSession.objects.filter(client=cleo))

    with django_assert_max_num_queries(4):
        found = told_changes(cleo, log_changes(cleo, rows, with_limits=True))

    assert len(found) > 8
