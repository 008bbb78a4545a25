"""Warning words in a log: what is said of them, and how soon somebody licensed is to look."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.care import CAUTION, SAME_DAY
from coaching.rules.findings import FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.red_flags import RED_FLAGS, find_red_flags, flags_in
from tests.rules.examples import MONDAY

TODAY = MONDAY + timedelta(days=1)


def noted(note):
    session = LoggedSession(on=MONDAY, sets=(), body_weight=80.0, note=note)
    return find_red_flags([session], today=TODAY)


@pytest.mark.parametrize("note", ["Dark urine the day after.", "Both arms swollen since Tuesday"])
def test_dark_urine_and_swelling_call_for_care_the_same_day(note):
    # General clinical consensus, from memory: possible muscle breakdown is looked at at once.
    [found] = noted(note)

    assert found.kind is FindingKind.RED_FLAG
    assert CAUTION in found.sentence
    assert SAME_DAY in found.sentence
    assert "same day" in SAME_DAY


def test_other_warning_words_refer_without_naming_dark_urine():
    [found] = noted("Sharp pain in the knee")

    assert CAUTION in found.sentence
    assert SAME_DAY not in found.sentence


def test_a_quiet_note_says_nothing():
    assert noted("Felt strong today.") == []


# Ways in which people write on a phone; which words call for a practitioner is general clinical
# consensus, from memory (the source "red-flags").
WRITTEN = {
    "chest pain or pressure": ("chest felt really tight", "Pressure in my chest after set 3"),
    "fainting or dizziness": ("nearly passed out", "bit light headed", "DIZZY"),
    "unusual breathlessness": ("couldnt catch my breath", "cant breath properly"),
    "palpitations": ("heart was racing", "Heart skipped a beat"),
    "sudden headache, or trouble seeing or speaking": ("worst headache ever", "blurry vision"),
    "bladder or bowel control": ("wet myself on the last jump", "cant hold my pee"),
    "numbness or tingling": ("fingers went numb", "pins n needles", "tingly left hand"),
    "loss of feeling or strength": (
        "can’t feel my fingers",
        "suddenly weak",
        "no feeling in my foot",
    ),
    "night or rest pain with fever or weight loss": (
        "back pain at night and some fever",
        "pain wakes me up, lost 4 kg weight",
    ),
    "a joint that locks, gives way or is deformed": ("knee gave out", "elbow locks", "dislocated?"),
    "a hot or swollen joint": ("elbow is hot and puffy", "swollen knee"),
    "swelling of a calf or an arm": ("left calf swollen", "swelling in my forearm"),
    "dark urine": ("dark pee this morning", "my urine is dark"),
    "a pop or a fall with pain": ("heard a pop, shoulder hurts", "fell off the bar, wrist pain"),
    "sharp pain": ("sharp pain in the elbow", "stabbing under the kneecap"),
}


@pytest.mark.parametrize(
    ("name", "note"), [(name, note) for name, notes in WRITTEN.items() for note in notes]
)
def test_each_group_is_found_as_it_is_written_on_a_phone(name, note):
    assert name in names_in(note)


@pytest.mark.parametrize(
    "note",
    [
        "pain in the middle of my chest",
        "pain in the centre of my chest",
        "pain in the left side of my chest",
        "tightness in my upper chest",
        "hurts behind the breastbone",
        "My chest started hurting on set 3",
        "Chest started to tighten",
        "chest began to feel tight",
        "chest suddenly felt heavy",
        "chest has been hurting since Monday",
        "it hurt my chest to breathe",
        "hurts a bit to breathe in",
        "tight chest muscles after dips",
    ],
)
def test_a_chest_is_found_wherever_in_it_and_however_it_began(note):
    assert names_in(note) == ["chest pain or pressure"]


def names_in(note):
    return [one.name for one in flags_in(note)]


def test_every_group_has_an_example():
    assert {one.name for one in RED_FLAGS} - {"swelling"} == set(WRITTEN)


@pytest.mark.parametrize(
    "note",
    [
        "no numbness",
        "No chest pain, no tingling.",
        "didn't faint",
        "knee didn’t lock this session",
        "no pain, swelling or numbness",
        "chest pain: none",
        "wasnt dizzy",
        "never had any chest pain",
        "not swollen",
        "pain: no",
        "chest pain: no\nnumbness: no",
        "chest pain: 0/10, dizziness: none at all.",
        "chest pain? no - all good",
        "No chest pain, felt so strong",
        "no chest pain and felt as strong as ever",
        "no dizziness, more weeks like this please",
        "no chest pain so much better",
        "no numbness this week",
        "no dizziness so far",
        "without palpitations or shortness of breath",
    ],
)
def test_what_a_note_denies_is_no_warning(note):
    assert names_in(note) == []


@pytest.mark.parametrize(
    ("note", "name"),
    [
        ("couldn't finish because of chest pain", "chest pain or pressure"),
        ("no chest pain until set 4", "chest pain or pressure"),
        ("no, chest pain is back", "chest pain or pressure"),
        ("no energy, chest pain", "chest pain or pressure"),
        ("no idea why my hand is numb", "numbness or tingling"),
        ("not only numb but weak", "numbness or tingling"),
        ("no pain and numb fingers", "numbness or tingling"),
        ("no chest pain, but my hand is numb", "numbness or tingling"),
        ("no numbness anymore", "numbness or tingling"),
        ("Never had chest pain like this, stopped after set 2", "chest pain or pressure"),
        ("never had chest pain and dizziness like this", "chest pain or pressure"),
        ("no chest pain, dizziness or numbness as bad as Monday", "chest pain or pressure"),
        ("never had chest pain, not like this", "chest pain or pressure"),
        ("didn't have chest pain as bad as Monday", "chest pain or pressure"),
        ("never felt dizziness this bad", "fainting or dizziness"),
        ("never been dizzy or numb like this", "fainting or dizziness"),
        ("Never passed out like that", "fainting or dizziness"),
        ("have never been breathless this badly", "unusual breathlessness"),
        ("never had palpitations that strong", "palpitations"),
        ("I’ve never had numbness like this in my hand", "numbness or tingling"),
        ("never had numbness worse than today", "numbness or tingling"),
        ("no tingling as long as I keep the wrist straight", "numbness or tingling"),
        ("knee never gave way like that", "a joint that locks, gives way or is deformed"),
        ("never had swelling of this kind", "swelling"),
        ("never had sharp pain so bad", "sharp pain"),
        ("chest pain: no clue why", "chest pain or pressure"),
        ("chest pain: no change since Monday", "chest pain or pressure"),
        ("chest pain: 0.5", "chest pain or pressure"),
        ("Dizziness: no idea why, had to sit down", "fainting or dizziness"),
        ("palpitations? no idea why", "palpitations"),
        ("numbness: no better", "numbness or tingling"),
        ("swelling = no less", "swelling"),
        ("sharp pain: no idea from what", "sharp pain"),
    ],
)
def test_a_no_beside_the_words_does_not_hide_them(note, name):
    assert name in names_in(note)


@pytest.mark.parametrize(
    "note",
    [
        "locked out every rep",
        "sore chest from Monday",
        "chest day",
        "chest press felt strong",
        "Started with chest, began to feel good",
        "chest started to grow",
        "elbow pain on chest day",
        "pain in my elbow on the chest press",
        "a number of good sets, numbers went up",
        "out of breath after the finisher, heart pounding",
        "fell short on the last set, elbow pain 2",
        "warm knees after the warm-up",
        "popped in for a short session, sore legs",
        "pain at night, better now",
        "lost weight, feeling good",
    ],
)
def test_the_words_of_ordinary_training_are_no_warning(note):
    assert names_in(note) == []


DENIED = st.sampled_from(
    ["chest pain", "numbness", "tingling", "swelling", "palpitations", "dizziness", "locking"]
)
WARNING = st.sampled_from([note for notes in WRITTEN.values() for note in notes])
QUIET = st.sampled_from(["felt strong", "easy", "last set was hard", "slept badly"])


@given(DENIED, QUIET, st.sampled_from(["no", "No", "without", "no real", "did not feel any"]))
def test_a_denied_word_is_never_a_warning(word, other, no):
    assert names_in(f"{other}. {no} {word}.") == []


@given(WARNING, QUIET, DENIED, st.sampled_from([". ", "! ", "\n", "; "]))
def test_a_warning_stays_one_whatever_stands_around_it(note, quiet, denied, stop):
    alone = set(names_in(note))

    assert set(names_in(f"{quiet}{stop}{note}{stop}no {denied}")) >= alone
    assert set(names_in(note.upper())) == alone


@given(st.text())
def test_any_text_can_be_read(note):
    assert set(names_in(note)) <= {one.name for one in RED_FLAGS}


def test_a_finding_quotes_the_note_and_says_how_soon():
    [found] = noted("Bit of chest pain on the last set")

    assert found.evidence[0].value == "“Bit of chest pain on the last set”"
    assert "local emergency number" in found.sentence
    assert "doctor" in found.sentence
    assert "diagnos" not in found.sentence
