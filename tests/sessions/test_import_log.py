"""A log in a CSV file comes into a practice whole, or not at all with every fault named."""

from datetime import date, timedelta
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db.migrations.executor import MigrationExecutor

from clients.models import BodyWeight, Client
from coaching.library.models import Exercise
from sessions.models import LoggedSession, LoggedSet
from sessions.week_reading import read_weeks
from tests.factories.clients import ClientFactory

HEADER = "client,date,exercise,set,reps,load_kg"
FULL = f"{HEADER},target_reps,rir,session_rpe,body_weight_kg,pattern,role,planned_deload,pain,note"
GOOD = f"""{FULL}
Mara Lindqvist,2026-02-02,Pull-up,1,7,0,7,2,7.5,64.2,,primary,,,
Mara Lindqvist,2026-02-02,Pull-up,2,6,0,7,1,,,,primary,,3,left elbow
Mara Lindqvist,2026-02-02,Sled drag,1,12,40,,,,,legs,supplementary,no,,
Cleo Brandt,2026-02-03,pull-up,1,5,2.5,,,6,,,,yes,,
"""


@pytest.fixture
def bring(tmp_path, ana):
    """Import a text as a file and return what is printed."""

    def run(content: str | bytes, **options) -> str:
        path = tmp_path / "log.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        out = StringIO()
        call_command("import_log", str(path), stdout=out, **options)
        return out.getvalue()

    return run


@pytest.fixture
def refused(bring):
    """Import a text that has to be refused whole, and return the words."""

    def run(content: str | bytes, **options) -> str:
        before = written()
        with pytest.raises(CommandError) as refusal:
            bring(content, **options)
        assert refusal.value.returncode == 1
        assert written() == before
        count, *faults = str(refusal.value).splitlines()
        if not faults:
            return count
        assert count == f"Nothing was imported; to mend: {len(faults)}."
        return "\n".join(faults)

    return run


def written() -> list[int]:
    tables = (Client, Exercise, LoggedSession, LoggedSet, BodyWeight)
    return [table.objects.count() for table in tables]


def row(**changes) -> str:
    """A file of one good row, with changes."""
    cells = {
        "client": "Mara Lindqvist",
        "date": "2026-02-02",
        "exercise": "Pull-up",
        "set": "1",
        "reps": "7",
        "load_kg": "0",
        **changes,
    }
    return f"{','.join(cells)}\n{','.join(cells.values())}\n"


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


def test_a_second_import_that_says_something_else_is_refused(bring, refused):
    bring(row())

    said = refused(row(reps="9"))

    assert said.startswith("line 2, reps: The practice holds 7 for set 1 of “Pull-up” by Mara")
    assert "here stands 9" in said


@pytest.mark.parametrize(
    ("column", "first", "then"),
    [
        ("session_rpe", "7", "8"),
        ("body_weight_kg", "64", "66"),
        ("planned_deload", "yes", "no"),
        ("pain", "2", "3"),
        ("target_reps", "8", "9"),
        ("note", "easy", "hard"),
        ("rir", "", "2"),
    ],
)
def test_what_a_session_or_set_holds_otherwise_is_named(bring, refused, column, first, then):
    bring(row(**{column: first}))

    said = refused(row(**{column: then}))

    assert said.startswith(f"line 2, {column}: The practice holds {first or 'nothing'} for ")


@pytest.mark.parametrize(
    ("column", "text", "words"),
    [
        ("client", "", "It is empty. Write the client's name."),
        ("client", "M" * 121, "It has 121 characters. Shorten it to 120."),
        ("client", "Mara\x00", "It holds a sign that cannot be shown. Write it again without."),
        ("date", "02.02.2026", "“02.02.2026” is no date. Write year-month-day, such as "),
        ("date", "2026-02-30", "“2026-02-30” is no date."),
        ("date", "0202-02-02", "0202-02-02 is before 1970. Check the year."),
        ("date", "", "It is empty. Write the day as year-month-day."),
        ("exercise", "", "It is empty. Write the exercise's name."),
        ("exercise", "Pulup", "“Pulup” is not in the library."),
        ("set", "0", "0 is below 1. Write a whole number from 1 to 50."),
        ("reps", "seven", "“seven” is no number. Write a whole number from 0 to 999."),
        ("reps", "1000", "1000 is above 999."),
        ("reps", "7.5", "7.5 is no whole number."),
        ("reps", "", "It is empty. Write how many were done; 0 for none."),
        ("load_kg", "-5", "-5 is below 0. Write a number from 0 to 1000 kg."),
        ("load_kg", "nan", "“nan” is no number."),
        ("load_kg", "", "It is empty. Write the load; 0 where nothing was added."),
        ("target_reps", "-1", "-1 is below 0."),
        ("rir", "11", "11 is above 10."),
        ("session_rpe", "10.5", "10.5 is above 10."),
        ("body_weight_kg", "640", "640 is above 300. Write a number from 25 to 300 kg."),
        ("pain", "12", "12 is above 10."),
        ("pattern", "back", "“back” is not known here. Write push, pull, legs, core or prehab."),
        ("role", "main", "Write primary, supplementary, isolation or prehab."),
        ("planned_deload", "maybe", "Write 1, yes, true, 0, no or false."),
        ("note", "n" * 501, "It has 501 characters. Shorten it to 500."),
    ],
)
def test_a_bad_cell_is_named_with_its_line_its_column_and_the_remedy(refused, column, text, words):
    said = refused(row(**{column: text}))

    place = "pattern" if text == "Pulup" else column
    assert said.startswith(f"line 2, {place}: ")
    assert words in said
    assert "\n" not in said


def test_a_day_in_the_future_is_named(refused):
    ahead = date.today() + timedelta(days=3)  # noqa: DTZ011

    assert f"{ahead} lies in the future" in refused(row(date=ahead.isoformat()))


def test_all_faults_are_named_at_once_and_in_the_order_of_the_file(refused):
    lines = [
        "Mara Lindqvist,2026-02-02,Pull-up,1,7,0",
        "Mara Lindqvist,2026-02-30,Pull-up,2,7,-1",
        "Mara Lindqvist,2026-02-02,Pull-up,3",
        "Mara Lindqvist,2026-02-02,Bicep smasher,1,7,10",
        "Mara Lindqvist,2026-02-02,pull-up,1,8,0",
    ]

    said = refused("\n".join([HEADER, *lines]))

    places = [line.split(":")[0] for line in said.splitlines()]
    assert places == [
        "line 3, date",
        "line 3, load_kg",
        "line 4, row",
        "line 5, pattern",
        "line 6, set",
    ]


def test_a_set_that_stands_there_twice_names_both_rows(refused):
    said = refused(row() + "\n" + row(client="mara lindqvist", reps="8").splitlines()[1])

    assert said.startswith("line 4, set: Set 1 of “Pull-up” for mara lindqvist on 2026-02-02")
    assert "stands in line 2 already" in said


@pytest.mark.parametrize(
    ("column", "one", "other"),
    [("session_rpe", "7", "8"), ("body_weight_kg", "64", "65"), ("planned_deload", "1", "no")],
)
def test_two_rows_of_a_session_must_say_the_same_of_it(refused, column, one, other):
    said = refused(row(**{column: one}) + row(set="2", **{column: other}).splitlines()[1])

    assert said.startswith(f"line 3, {column}: ")
    assert "in line 2, and both are of Mara Lindqvist's session on 2026-02-02" in said


def test_a_new_exercise_has_one_pattern(refused):
    text = row(exercise="Sled drag", pattern="legs")

    said = refused(text + row(exercise="Sled drag", pattern="pull", set="2").splitlines()[1])

    assert said.startswith("line 3, pattern: “Sled drag” is pull here and legs in an earlier row.")


def test_two_clients_of_one_name_are_not_guessed_between(refused, ana):
    for _ in range(2):
        ClientFactory.create(coach=ana, name="Mara Lindqvist")

    assert refused(row()).startswith("line 2, client: Two of your clients are called Mara")


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


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "The file is empty; its first line must name the columns client, date, exercise"),
        ("\n \n", "The file is empty"),
        (f"{HEADER}\n", "The file holds a header and no row"),
        ("client,date,set,reps\n", "the columns exercise, load_kg are missing"),
        (f"{HEADER},mood,tempo\n", "the columns “mood”, “tempo” are not known"),
        (f"{HEADER},\n", "the columns without a name are not known"),
        (f"{HEADER},reps\n", "the columns “reps” stand there twice"),
        (GOOD.encode("utf-16"), "is not in UTF-8; save it again as “CSV UTF-8”."),
        ("René".join(("", row())).encode("latin-1"), "is not in UTF-8"),
        (f'{HEADER}\n"Mara,2026-02-02,Pull-up,1,7,0\n', "The record that begins in line 2"),
    ],
)
def test_a_file_that_is_no_log_gets_one_sentence(refused, content, words):
    said = refused(content)

    assert words in said
    assert "\n" not in said


def test_a_file_that_is_not_there_or_a_folder_gets_one_sentence(ana, tmp_path):
    with pytest.raises(CommandError, match="check the name and the folder"):
        call_command("import_log", str(tmp_path / "none.csv"))
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("import_log", str(tmp_path))


def test_of_several_coaches_one_must_be_named(refused, bring, ben):
    assert "name one with --coach: ana@practice.example, ben@practice.example." in refused(row())
    assert "No coach has the e-mail no@one.example" in refused(row(), coach="no@one.example")

    bring(row(), coach="BEN@practice.example")

    assert LoggedSession.objects.get().client.coach == ben


def test_a_practice_without_a_coach_is_told_how_to_get_one(db, tmp_path):
    (tmp_path / "log.csv").write_text(row())

    with pytest.raises(CommandError, match="There is no coach in this practice yet"):
        call_command("import_log", str(tmp_path / "log.csv"))


def test_a_practice_without_its_library_is_told_how_to_get_it(refused, ben):
    Exercise.objects.update(coach=ben)

    assert "has no shared exercises yet" in refused(row(), coach="ana@practice.example")


def test_a_practice_of_an_earlier_version_is_told_to_start_once(refused, monkeypatch):
    undone = [("client_sessions", "0001_initial")]
    monkeypatch.setattr(MigrationExecutor, "migration_plan", lambda *_: undone)

    assert "run “python3 manage.py start” once" in refused(row())


def test_another_coachs_own_exercise_is_not_known(refused, ben, bring):
    text = row(exercise="Sled drag", load_kg="40", pattern="legs")
    bring(text, coach="ben@practice.example")

    said = refused(row(exercise="Sled drag", load_kg="40"), coach="ana@practice.example")

    assert "“Sled drag” is not in the library" in said


def test_the_queries_do_not_grow_with_the_rows(bring, django_assert_max_num_queries):
    days = [date(2025, 1, 1) + timedelta(days=n) for n in range(200)]
    rows = [f"Mara,{day},Pull-up,{n},7,0" for day in days for n in (1, 2)]

    with django_assert_max_num_queries(30):
        bring("\n".join([HEADER, *rows]))

    assert LoggedSet.objects.count() == 400
