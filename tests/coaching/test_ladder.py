"""One ladder with the loads of a client, or of two clients beside each other."""

from datetime import date

import pytest
from django.urls import reverse

from clients.models import BodyWeight, Client
from coaching.library.models import Exercise, Ladder
from tests.coaching.test_exercises import own_exercise
from tests.conftest import signed_in
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


def with_body(client: Client, sex: str, stature: int, kilograms: float) -> Client:
    client.sex, client.stature_cm = sex, stature
    client.save()
    BodyWeight.objects.create(client=client, on=date(2026, 1, 5), kg=kilograms)
    return client


def page_of(user, key, **asked):
    return signed_in(user).get(reverse("library:ladder", args=[key]), asked).context["page"]


def rung_of(page, key):
    return next(rung for rung in page.rungs if rung.key == key)


@pytest.mark.parametrize("key", ["push-up", "planche", "l-sit", "squat", "row", "rotator-cuff"])
def test_a_ladder_stands_with_its_hardest_rung_on_top(ana, key):
    page = page_of(ana, key)

    numbers = [rung.number for rung in page.rungs]
    assert numbers == list(range(len(numbers), 0, -1))
    assert len(numbers) == Exercise.objects.filter(ladder__key=key, coach=None).count()
    assert all(rung.usual for rung in page.rungs)


def test_every_ladder_opens_for_a_client_within_few_queries(
    ana, cleo, django_assert_max_num_queries
):
    with_body(cleo, "male", 178, 75)
    browser = signed_in(ana)

    for key in Ladder.objects.values_list("key", flat=True):
        with django_assert_max_num_queries(8):
            answer = browser.get(reverse("library:ladder", args=[key]), {"client": cleo.pk})
        assert answer.status_code == 200


def test_a_push_up_loads_what_was_measured_under_the_hands(ana, cleo):
    # Mier et al. 2014: men carried 67.0 % of body weight on the hands at the top of a push-up
    # and 74.6 % at the bottom. The mean over a repetition lies between them.
    with_body(cleo, "male", 178, 75)

    push_up = rung_of(page_of(ana, "push-up", client=cleo.pk), "push-up").loads[0]

    kilograms = int(push_up.figure.removesuffix(" kg"))
    assert 0.670 * 75 <= kilograms <= 0.746 * 75
    assert push_up.share.endswith(" % of body weight on the hands")
    assert (push_up.confidence, push_up.source) == ("checked", "mier-2014")


def test_a_hanging_body_weighs_all_of_itself_without_a_range(ana, cleo):
    # Statics: nothing else touches the ground.
    with_body(cleo, "female", 165, 60)

    load = rung_of(page_of(ana, "pull-up", client=cleo.pk), "pull-up").loads[0]

    assert (load.figure, load.range) == ("60 kg", "")
    assert load.note.startswith("The same load as Chin-up")


def test_two_clients_stand_beside_each_other_on_one_axis(ana, cleo):
    tall = with_body(cleo, "male", 190, 75)
    short = with_body(ClientFactory.create(coach=ana, name="Sam Short"), "male", 160, 75)

    page = page_of(ana, "push-up", client=tall.pk, beside=short.pk)

    of_tall, of_short = rung_of(page, "high-incline-push-up").loads
    # A box of 60 cm is lower for a tall body, so more of it rests on the hands.
    assert int(of_tall.figure.split()[0]) > int(of_short.figure.split()[0])
    ends = [load.bar.low + load.bar.width for rung in page.rungs for load in rung.loads if load.bar]
    assert max(ends) == pytest.approx(100, abs=0.2)
    assert min(ends) > 0


def test_a_moment_grows_with_stature_and_is_told_as_kilograms_at_arms_length(ana, cleo):
    # Same shape and mass: a moment goes with the lengths, so 190 / 160 of it.
    tall = with_body(cleo, "male", 190, 75)
    short = with_body(ClientFactory.create(coach=ana, name="Sam Short"), "male", 160, 75)

    page = page_of(ana, "front-lever", client=tall.pk, beside=short.pk)

    of_tall, of_short = rung_of(page, "full-front-lever").loads
    moments = [int(load.figure.removesuffix(" N·m")) for load in (of_tall, of_short)]
    assert moments[0] / moments[1] == pytest.approx(190 / 160, rel=0.01)
    assert of_tall.also == of_short.also
    assert "at arm’s length" in of_tall.also
    assert of_tall.where == "at the shoulders"


def test_rungs_of_different_scales_are_parted(ana, cleo):
    with_body(cleo, "male", 178, 75)

    page = page_of(ana, "planche", client=cleo.pk)

    assert [(group.title, [rung.number for rung in group.rungs]) for group in page.groups] == [
        ("N·m at the shoulders", [6, 5, 4, 3]),
        ("kg at the hands", [2]),
        ("N·m at the shoulders", [1]),
    ]


def test_groups_of_one_family_that_stand_apart_are_told_apart(ana):
    groups = page_of(ana, "push-up").groups

    spans = [group.span for group in groups]
    assert len(set(spans)) == len(groups) > len({group.title for group in groups})
    assert "rung 7" in spans


def test_levers_that_are_about_equal_say_so(ana, cleo):
    with_body(cleo, "male", 178, 75)

    page = page_of(ana, "front-lever", client=cleo.pk)

    said = [rung.key for rung in page.rungs if "about equal" in rung.note]
    assert said == ["straddle-front-lever", "one-leg-front-lever"]


def test_what_is_not_computed_shows_the_usual_share_and_says_so(ana, cleo):
    with_body(cleo, "male", 178, 75)

    ring = rung_of(page_of(ana, "push-up", client=cleo.pk), "ring-push-up").loads[0]

    assert (ring.figure, ring.reason) == ("", "about 65 % of body weight, not computed")


def test_a_ladder_without_a_computed_rung_asks_for_no_client(ana, cleo):
    with_body(cleo, "male", 178, 75)

    url = reverse("library:ladder", args=["squat"])
    answer = signed_in(ana).get(url, {"client": cleo.pk}).content.decode()

    assert "Loads of" not in answer
    assert "N·m" not in answer
    assert "the load that is lifted counts alone" in answer


@pytest.mark.parametrize(
    ("ladder", "rung", "says"),
    [
        ("squat", "goblet-squat", "about 88 % of body weight and the load that is held"),
        ("squat", "squat", "about 88 % of body weight, not computed"),
        ("hinge", "barbell-deadlift", "the load that is lifted counts alone"),
        ("rotator-cuff", "wall-external-rotation-hold", "hardly any body weight, not computed"),
    ],
)
def test_what_is_not_computed_says_what_counts(ana, ladder, rung, says):
    assert rung_of(page_of(ana, ladder), rung).usual == says


def test_why_nothing_is_computed_fits_the_rungs(ana):
    about = page_of(ana, "rotator-cuff").groups[0].about

    assert about.count("counts alone") == about.count("Hardly any body weight") == 1


def test_a_pull_up_and_a_push_up_on_the_knees_say_what_makes_them_sure(ana, cleo):
    with_body(cleo, "female", 165, 60)

    hang = rung_of(page_of(ana, "pull-up", client=cleo.pk), "pull-up").loads[0]
    knees = rung_of(page_of(ana, "push-up", client=cleo.pk), "knee-push-up").loads[0]

    assert (hang.confidence, hang.sure) == ("sound statics", "nothing else touches the ground")
    assert knees.confidence == "checked on the knees too"
    assert "about 7 points less" in knees.sure


def test_a_client_without_stature_is_told_what_is_missing(ana, cleo):
    url = reverse("library:ladder", args=["push-up"])
    answer = signed_in(ana).get(url, {"client": cleo.pk})

    load = rung_of(answer.context["page"], "push-up").loads[0]
    assert load.figure == ""
    assert load.reason.endswith("% of body weight on the hands")
    text = answer.content.decode()
    assert text.count("no stature and no body weight") == 1
    assert f"<strong>{cleo.name}</strong>" not in text


def test_a_v_sit_has_no_moment_and_says_why(ana, cleo):
    with_body(cleo, "male", 178, 75)

    load = rung_of(page_of(ana, "l-sit", client=cleo.pk), "v-sit").loads[0]

    assert load.figure == ""
    assert "angle of the legs" in load.reason


@pytest.mark.parametrize("name", ["client", "beside"])
@pytest.mark.parametrize("view", ["ladders", "ladder", "exercise"])
def test_another_coachs_client_cannot_be_chosen(ana, drew, view, name):
    args = [] if view == "ladders" else ["push-up"]

    answer = signed_in(ana).get(reverse(f"library:{view}", args=args), {name: drew.pk})

    assert answer.status_code == 404


@pytest.mark.parametrize("word", ["x", "1.5", "-1", "²", "9" * 30])
def test_a_client_that_is_no_number_is_not_found(ana, word):
    answer = signed_in(ana).get(reverse("library:ladder", args=["push-up"]), {"client": word})

    assert answer.status_code == 404


def test_the_choice_goes_on_to_the_next_page(ana, cleo):
    answer = signed_in(ana).get(reverse("library:ladder", args=["push-up"]), {"client": cleo.pk})

    exercise = reverse("library:exercise", args=["archer-push-up"])
    assert f'href="{exercise}?client={cleo.pk}"' in answer.content.decode()
    assert f'href="{reverse("library:ladders")}?client={cleo.pk}"' in answer.content.decode()


def test_htmx_gets_the_ladder_alone_under_its_own_address(ana, cleo):
    url = reverse("library:ladder", args=["push-up"])

    answer = signed_in(ana).get(url, {"client": cleo.pk, "beside": ""}, HTTP_HX_REQUEST="true")

    assert answer.content.decode().lstrip().startswith('<div class="page ladder"')
    assert answer.headers["HX-Replace-Url"] == f"{url}?client={cleo.pk}"


def test_a_coachs_own_rung_stands_on_the_ladder_for_them_alone(ana, ben):
    own = own_exercise(ana)
    own.ladder, own.rung = Ladder.objects.get(key="push-up"), 10
    own.save()

    assert page_of(ana, "push-up").rungs[0].is_own
    assert own.key not in {rung.key for rung in page_of(ben, "push-up").rungs}


def test_an_unknown_ladder_is_not_found(ana):
    assert signed_in(ana).get(reverse("library:ladder", args=["nothing"])).status_code == 404


def test_help_that_is_not_chosen_yet_is_not_taken_for_a_load(ana, cleo):
    with_body(cleo, "male", 178, 75)

    page = page_of(ana, "dip", client=cleo.pk)

    helped = rung_of(page, "band-assisted-dip").loads[0]
    assert (helped.where, helped.bar) == ("less the help", None)
    assert "Band-assisted" not in rung_of(page, "eccentric-dip").loads[0].note
