"""A log that cannot come in is refused whole, with every fault named."""

from datetime import date, timedelta

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db.migrations.executor import MigrationExecutor

from coaching.library.models import Exercise
from sessions.models import LoggedSession
from tests.factories.clients import ClientFactory
from tests.sessions.log_import.log_text import GOOD, HEADER, row


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
