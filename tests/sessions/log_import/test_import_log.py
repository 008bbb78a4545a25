"""A log in a CSV file comes into a practice whole, or not at all with every fault named."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.models import BodyWeight, Client
from coaching.library.models import Exercise
from sessions.models import LoggedSession, LoggedSet
from sessions.week_reading import read_weeks
from tests.sessions.log_import.log_text import GOOD, HEADER, row, written


def test_a_whole_log_comes_in(bring, cleo):
    said = bring(GOOD)

    first = LoggedSet.objects.get(logged_session__client__name="Mara Lindqvist", number=2)
    assert (first.exercise.key, first.amount, str(first.load_kg)) == ("pull-up", 6, "0.00")
    assert (first.target, first.rir, first.pain, first.note) == (7, 1, 3, "left elbow")
    assert first.target_load_kg is None
    assert said.splitlines()[0] == (
        "4 rows: 2 clients (1 new), 2 exercises (1 new), 2 sessions (2 new), "
        "4 sets (0 were there already)."
    )


def test_postgresql_counts_what_came_in_before_anybody_reads_it(bring):
    with CaptureQueriesContext(connection) as asked:
        bring(GOOD)

    counted = [one["sql"] for one in asked if one["sql"].startswith("ANALYZE")]
    assert len(counted) == (connection.vendor == "postgresql")
    assert all(LoggedSet._meta.db_table in one for one in counted)


def test_rows_of_a_client_and_a_day_are_one_session(bring):
    bring(GOOD)

    session = LoggedSession.objects.get(client__name="Mara Lindqvist")
    assert (session.on, session.kind) == (date(2026, 2, 2), "build")
    assert (session.rpe, session.body_weight_kg) == (Decimal("7.5"), Decimal("64.2"))
    assert [one.amount for one in session.sets.all()] == [7, 6, 12]
    assert session.finished_at == max(one.done_at for one in session.sets.all())


def test_a_planned_deload_marks_the_session(bring, cleo):
    bring(GOOD)

    assert LoggedSession.objects.get(client=cleo).kind == "deload"


def test_a_client_is_found_whatever_the_capitals(bring, cleo):
    bring(row(client="CLEO  brandt"))

    assert LoggedSession.objects.get().client == cleo
    assert Client.objects.count() == 1


def test_another_coachs_client_of_that_name_is_left_alone(bring, ana, drew):
    bring(row(client="Drew Salas"), coach="ana@practice.example")

    assert LoggedSession.objects.get().client.coach == ana
    assert not drew.logged_sessions.exists()


def test_an_exercise_is_found_by_its_key_too(bring):
    bring(row(exercise="PULL-UP") + row(exercise="pull-up", set="2").splitlines()[1])

    assert set(LoggedSet.objects.values_list("exercise__key", flat=True)) == {"pull-up"}


def test_a_new_exercise_with_a_load_in_every_set_counts_the_load_alone(bring, ana):
    said = bring(row(exercise="Sled drag", load_kg="40", pattern="Legs"))

    made = Exercise.objects.get(name="Sled drag")
    assert (made.coach, made.pattern, made.load_kind) == (ana, "legs", "external")
    assert (float(made.body_share), made.multi_joint, made.level) == (0, True, "advanced")
    assert "Sled drag: legs; the load alone counts" in said


def test_a_new_exercise_done_without_a_load_moves_a_share_of_the_body(bring, ana):
    text = row(exercise="Cliffhanger pull-up", pattern="pull")
    bring(
        text + row(exercise="Cliffhanger pull-up", pattern="", set="2", load_kg="5").splitlines()[1]
    )

    made = Exercise.objects.get(coach=ana)
    # The pull-ups of the library hang all of the body on the hands.
    assert (made.load_kind, float(made.body_share), made.chain) == ("added", 1, "closed")


def test_a_new_isolation_exercise_is_of_a_single_joint(bring, ana):
    bring(row(exercise="Spider curl", load_kg="8", pattern="pull", role="isolation"))

    made = Exercise.objects.get(coach=ana)
    assert (made.multi_joint, made.plane) == (False, "none")


def test_a_new_exercise_asks_of_the_joints_all_that_its_pattern_may_ask(bring, ana):
    bring(row(exercise="Sled drag", load_kg="40", pattern="legs"))

    asked = set(Exercise.objects.get(coach=ana).joint_stresses)
    shared = Exercise.objects.filter(coach=None, pattern="legs")
    assert asked == {word for one in shared for word in one.joint_stresses} != set()


def test_nobody_screened_a_new_client_and_the_summary_says_so(bring, cleo):
    said = bring(GOOD)

    assert "New clients: Mara Lindqvist." in said
    assert "Nobody has screened them" in said


def test_the_review_reads_what_was_imported(bring, cleo):
    bring(GOOD)

    [reading] = read_weeks([cleo], date(2026, 2, 2), date(2026, 2, 9))
    assert [len(session.sets) for session in reading.sessions] == [1]


def test_a_body_weight_is_kept_for_later_sessions_without_one(bring):
    later = "Mara Lindqvist,2026-02-09,Pull-up,1,8,0,,,,,,,,,\n"

    bring(GOOD + later)

    assert BodyWeight.objects.get().kg == Decimal("64.2")
    assert LoggedSession.objects.get(on="2026-02-09").body_weight_kg == Decimal("64.2")


def test_a_second_import_doubles_nothing(bring, cleo):
    bring(GOOD)
    before = written()

    said = bring(GOOD)

    assert written() == before
    assert said.splitlines()[0].endswith("2 sessions (0 new), 0 sets (4 were there already).")


def test_a_set_taken_back_does_not_come_again(bring):
    bring(row())
    LoggedSet.objects.update(removed_at="2026-03-01T12:00Z")

    bring(row())

    assert LoggedSet.objects.count() == 1


def test_rows_that_were_added_to_a_file_join_their_session(bring):
    bring(row())

    bring(row() + row(set="2", reps="5").splitlines()[1])

    session = LoggedSession.objects.get()
    assert [one.amount for one in session.sets.order_by("number")] == [7, 5]


@pytest.mark.parametrize(
    "content",
    [
        GOOD.encode("utf-8-sig"),
        GOOD.replace(",", ";").replace("2.5", "2,5").replace("7.5", "7,5").replace("64.2", "64,2"),
        GOOD.replace("\n", "\r\n"),
        GOOD.replace(HEADER, HEADER.upper()),
        GOOD.replace("\nCleo", "\n\n,,,\nCleo"),
        GOOD.replace("2.5", '"2,50"').replace(",5,", ",5.0,"),
    ],
    ids=["mark", "semicolons", "Windows", "capitals", "empty lines", "quoted"],
)
def test_a_log_is_read_however_a_spreadsheet_writes_it(bring, cleo, content):
    bring(content)

    assert LoggedSet.objects.count() == 4
    assert LoggedSet.objects.get(logged_session__client=cleo).load_kg == Decimal("2.5")


def test_a_note_may_hold_separators_and_line_breaks(bring):
    bring(f'{HEADER},note\nMara,2026-02-02,Pull-up,1,7,0,"slow, then\nfaster; ""fine"""\n')

    assert LoggedSet.objects.get().note == 'slow, then\nfaster; "fine"'


def test_the_queries_do_not_grow_with_the_rows(bring, django_assert_max_num_queries):
    days = [date(2025, 1, 1) + timedelta(days=n) for n in range(200)]
    rows = [f"Mara,{day},Pull-up,{n},7,0" for day in days for n in (1, 2)]

    with django_assert_max_num_queries(30):
        bring("\n".join([HEADER, *rows]))

    assert LoggedSet.objects.count() == 400
