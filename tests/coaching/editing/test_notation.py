"""What a coach types about one exercise: read as the page shows it, refused with the remedy."""

import pytest

from coaching.blocks.editing.notation import line_values, read_rest, read_targets, read_tempo
from coaching.blocks.errors import BlockError, FieldsError
from coaching.blocks.words import rest_text, short_targets
from coaching.rules.plan import Measure
from tests.coaching.editing.plans import EXERCISES, HANG, PUSH_UP, act, block, line, line_of

REPS, SECONDS = Measure.REPS, Measure.SECONDS


@pytest.mark.parametrize(
    ("text", "measure", "targets"),
    [
        ("8-7-7", REPS, [8, 7, 7]),
        ("3x8", REPS, [8, 8, 8]),
        (" 8, 7 ,6 ", REPS, [8, 7, 6]),
        ("8 – 7 – 7", REPS, [8, 7, 7]),
        ("3 × 8 reps", REPS, [8, 8, 8]),
        ("3 × 8 each side", REPS, [8, 8, 8]),
        ("3 × 40 s", SECONDS, [40, 40, 40]),
        ("3 x 40s each side", SECONDS, [40, 40, 40]),
        ("40-40-30 s", SECONDS, [40, 40, 30]),
        ("40 s-30 s", SECONDS, [40, 30]),
        ("2 × 40", SECONDS, [40, 40]),
    ],
)
def test_targets_are_read_as_coaches_write_them(text, measure, targets):
    assert read_targets(text, measure=measure) == targets


@pytest.mark.parametrize("text", ["8-", "8-7-", "-8", "8,", "8--7"])
def test_a_list_that_breaks_off_is_refused(text):
    with pytest.raises(BlockError, match="breaks off; write every set like 8-7-7-7-7"):
        read_targets(text, sets=5)


@pytest.mark.parametrize(
    ("text", "measure", "message"),
    [
        ("long", SECONDS, "is not targets; write them like 40-30-30 s or 3 × 40 s"),
        ("3 × 40 s", REPS, "counted in repetitions; write 5 × 7"),
        ("3 × 8 reps", SECONDS, "counted in seconds; write 3 × 40 s"),
        ("", REPS, "is not targets"),
    ],
)
def test_a_refusal_shows_how_targets_of_that_kind_are_written(text, measure, message):
    with pytest.raises(BlockError, match=message):
        read_targets(text, measure=measure)


def test_one_number_keeps_the_sets_that_each_week_has():
    plan = act(block(), "change-line", line="w3-push", targets="6-6-6").snapshot

    edited = act(plan, "change-line", line="w2-push", targets="8", reach="onward")

    assert line_of(edited.snapshot, "w2-push")["targets"] == [8] * 5
    assert line_of(edited.snapshot, "w3-push")["targets"] == [8] * 3
    assert "5 × 6 → 5 × 8" in edited.what


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("90", 90),
        ("90 s", 90),
        ("90s", 90),
        ("2 min", 120),
        ("2:00", 120),
        ("2:30", 150),
        ("2 min 30 s", 150),
        ("1.5 min", 90),
        ("0", 0),
    ],
)
def test_rest_is_read_as_coaches_write_it(text, seconds):
    assert read_rest(text) == seconds


@pytest.mark.parametrize("text", ["", "soon", "2:75", "-60", "2 h", "16 min"])
def test_what_is_no_rest_is_refused(text):
    with pytest.raises(BlockError, match=r"^Rest: "):
        read_rest(text)


def test_what_the_page_shows_is_read_back():
    for seconds in range(0, 901, 5):
        assert read_rest(rest_text(seconds)) == seconds
    for targets in ([8, 7, 7], [40] * 3, [12]):
        assert read_targets(short_targets(targets)) == targets
        assert read_targets(f"{short_targets(targets)} s", measure=SECONDS) == targets


@pytest.mark.parametrize(
    ("typed", "read"), [("30X1", "3-0-X-1"), ("4010", "4-0-1-0"), (" 31x0 ", "3-1-X-0")]
)
def test_a_tempo_is_read_without_its_dashes_too(typed, read):
    assert read_tempo(typed) == read


@pytest.mark.parametrize("typed", ["301", "30101", "X010", "3-0-1", "30-10"])
def test_other_counts_than_four_are_no_tempo(typed):
    with pytest.raises(BlockError, match="not four counts"):
        read_tempo(typed)


def test_a_count_of_a_tempo_has_a_bound():
    # 10 s: a choice of the house, registered as TEMPO_LONGEST_COUNT.
    assert read_tempo("10-0-x-2") == "10-0-X-2"
    with pytest.raises(BlockError, match="a count over 10 s"):
        read_tempo("3-11-1-0")


def test_a_longer_tempo_that_is_planned_already_may_stay():
    slow = line("slow", PUSH_UP, [3], tempo="30-0-30-0")

    assert line_values({"tempo": "30-0-30-0", "rir": "RIR 1"}, slow, EXERCISES[PUSH_UP]) == {
        "tempo": "30-0-30-0",
        "rir": 1,
    }


def test_every_wrong_field_says_what_is_wrong_with_it():
    hang = line("hang", HANG, [40] * 3)
    typed = {"targets": "8-", "tempo": "slow", "rest_s": "2 min", "rir": "11", "load_kg": "5"}

    with pytest.raises(FieldsError) as refused:
        line_values(typed, hang, EXERCISES[HANG])

    assert set(refused.value.by_field) == {"targets", "tempo", "rir", "load_kg"}
    assert "3 × 40 s" in refused.value.by_field["targets"]
    assert "takes none" in refused.value.by_field["load_kg"]
