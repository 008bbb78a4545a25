"""A draft goes on from the client's own rung of a ladder: common practice, no source."""

from datetime import date

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
)
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, Level, Part, WeekKind
from coaching.rules.standing import Standing

CATALOGUE = read_shared_catalogue()
LIBRARY = {one.exercise.key: one.exercise for one in CATALOGUE}
LEVELS = {one.exercise.key: list(Level).index(one.level) for one in CATALOGUE}
TEMPOS = {one.exercise.key: "3-0-1-0" for one in CATALOGUE}
DAY = date(2026, 11, 25)
BEGINNER = list(Level).index(Level.BEGINNER)


def plan(*keys, part=Part.PRIMARY):
    pairs = tuple(
        TemplatePair(letter, part, (TemplateLine(key, (5,) * 5, 0.0, "3-0-1-0", 120, 2),))
        for letter, key in zip("ABCD", keys, strict=False)
    )
    return TemplatePlan((WeekKind.BUILD,), (TemplateSession("Upper", 0, pairs),))


def fit(made, done, *, level=BEGINNER, gone=(), hurt=(), old=None):
    standing = {
        key: (Standing(DAY, amounts, 0.0, hurt=key in hurt),) for key, amounts in done.items()
    } | (old or {})
    return adapted(
        made,
        LIBRARY,
        ClientMeans(
            [LIBRARY[key] for key, at in LEVELS.items() if at <= level],
            equipment=[EquipmentItem(one) for one in EquipmentKind if one not in gone],
            levels=LEVELS,
            level=level,
            tempos=TEMPOS,
            standing=standing,
            logged=frozenset(standing),
            planned=frozenset(standing),
        ),
    )


def keys(found):
    return [
        (line.exercise_key, line.targets)
        for session in found.plan.sessions
        for pair in session.pairs
        for line in pair.lines
    ]


def test_who_does_lowering_pull_ups_gets_no_five_by_five_of_pull_ups():
    found = fit(plan("pull-up"), {"eccentric-pull-up": (7,) * 5})

    assert keys(found) == [("eccentric-pull-up", (7,) * 5)]
    (said,) = [one for one in found.told.must_see if "instead of Pull-up" in one]
    assert "the client does Lowering pull-up, 5 × 7 on 25 Nov" in said


def test_a_dip_waits_until_what_comes_first_is_there():
    """A parallel-bar dip asks for eight push-ups first; six of them were done."""
    found = fit(plan("dip"), {"push-up": (6, 6, 5, 5, 4), "incline-push-up": (7,) * 5})

    ((key, _),) = keys(found)
    assert key != "dip"
    assert "8 of Push-up come first, and 6 were done last" in found.changes[0].sentence


def test_the_next_rung_stays_once_the_own_one_is_at_the_top_of_its_range():
    own, following = "eccentric-pull-up", LIBRARY["eccentric-pull-up"].rung + 1
    after = next(
        one.key
        for one in LIBRARY.values()
        if one.ladder == LIBRARY[own].ladder and one.rung == following
    )

    assert keys(fit(plan(after), {own: (7,) * 5}))[0][0] == own
    done = {own: (12,) * 5, "dead-hang": (60,), "inverted-row": (12,)}
    assert keys(fit(plan(after), done))[0][0] == after


def test_what_was_done_before_stays():
    assert keys(fit(plan("pull-up"), {"eccentric-pull-up": (7,), "pull-up": (5,) * 5})) == [
        ("pull-up", (5,) * 5)
    ]


def test_a_missing_dip_bar_leads_to_the_ring_dip_that_is_trained():
    level = list(Level).index(Level.ADVANCED)
    done = {"ring-dip": (7,) * 5, "ring-push-up": (10,) * 3}

    found = fit(plan("dip"), done, level=level, gone={EquipmentKind.DIP_BARS})

    assert keys(found) == [("ring-dip", (7,) * 5)]


def test_the_main_work_goes_on_from_the_harder_rung_that_is_done():
    level = list(Level).index(Level.ADVANCED)
    harder = "chest-to-bar-pull-up"

    assert keys(fit(plan("pull-up"), {harder: (7,) * 5}, level=level))[0][0] == harder
    beside = plan("pull-up", part=Part.SUPPLEMENTARY)
    assert keys(fit(beside, {harder: (7,) * 5}, level=level))[0][0] == "pull-up"


def test_a_rung_that_hurt_is_not_where_it_goes_on():
    found = fit(plan("pull-up"), {"eccentric-pull-up": (7,) * 5}, hurt={"eccentric-pull-up"})

    assert keys(found)[0][0] not in {"pull-up", "eccentric-pull-up"}


def test_the_same_work_done_with_rings_is_no_rung_below():
    """Ring pull-ups of late say more than a lowering pull-up of two months ago."""
    level = list(Level).index(Level.INTERMEDIATE)
    done = {"ring-pull-up": (7,) * 5}

    assert keys(fit(plan("pull-up"), done, level=level))[0][0] == "pull-up"
    old = {"eccentric-pull-up": (Standing(DAY, (7,) * 5, 0.0, weeks_ago=9),)}
    assert (
        keys(fit(plan("pull-up"), {**done, "dip": (5,)}, level=level, old=old))[0][0] == "pull-up"
    )


def test_what_is_above_the_level_goes_no_further_than_the_own_rung():
    found = fit(plan("archer-push-up"), {"push-up": (6, 6, 5, 5, 4)})

    assert keys(found)[0][0] == "push-up"


def test_of_a_weight_that_is_lifted_no_rung_is_too_far():
    """The load of a one-leg deadlift is chosen; it is no pull-up that cannot be done."""
    level = list(Level).index(Level.INTERMEDIATE)
    beside = plan("single-leg-romanian-deadlift", part=Part.SUPPLEMENTARY)

    found = fit(beside, {"romanian-deadlift": (6, 6, 6, 5, 5)}, level=level)

    assert keys(found)[0][0] == "single-leg-romanian-deadlift"
