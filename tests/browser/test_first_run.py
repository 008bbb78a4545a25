"""From an empty practice to the first logged session, without a manual."""

import re
from urllib.parse import urlsplit

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from clients.models import Client, User
from coaching.blocks.models import Prescription
from coaching.rules.plan import JointStress
from sessions.models import LoggedSet
from tests.browser.conftest import DESK, PHONE

PASSWORD = "a long walk by the quay"


@pytest.fixture
def desk(open_page) -> Page:
    page: Page = open_page(None, "/", viewport=DESK)
    return page


def make_account(page: Page) -> None:
    page.get_by_label("Name").fill("Ana Ferro")
    page.get_by_label("E-mail").fill("ana@practice.example")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_label("Password once more").fill(PASSWORD)
    page.get_by_role("button", name="Make the account").click()


def add_client(page: Page) -> None:
    page.get_by_label("Name").fill("Cleo Brandt")
    page.get_by_label("E-mail").fill("cleo@home.example")
    page.get_by_label("Body weight today").fill("64.5")
    page.get_by_role("button", name="Add to the roster").click()
    expect(page).to_have_url(re.compile(r"/clients/\d+/intake/"))


def screen(page: Page) -> None:
    section = page.get_by_role("region", name="Health screen")
    for question in section.get_by_role("group").all():
        question.get_by_text("no", exact=True).click()
    section.get_by_role("button", name="Save the health screen").click()
    expect(section.get_by_text("Last asked")).to_be_visible()


def equip(page: Page) -> None:
    section = page.get_by_role("region", name="Equipment")
    for thing in ("Pull-up bar", "Rings", "Box or step", "Dumbbells"):
        section.get_by_role("checkbox", name=thing).check()
    section.get_by_label("Weights [kg]").first.fill("2 to 20 by 2")
    section.get_by_role("button", name="Save the equipment").click()
    expect(section.get_by_text("2–20 by 2 kg")).to_be_visible()


def limit_a_joint(page: Page) -> None:
    section = page.get_by_role("region", name="Joint limits")
    section.get_by_text("Add a joint limit").click()
    section.get_by_label("Loading").select_option(JointStress.SHOULDER_OVERHEAD.value)
    section.get_by_text("avoid", exact=False).first.click()
    section.get_by_role("button", name="Add the joint limit").click()
    expect(section.get_by_role("button", name="End shoulder overhead")).to_be_visible()


def make_block(page: Page) -> None:
    page.get_by_role("link", name="Plan a block").click()
    today = Client.objects.get().local_date(timezone.now())
    page.get_by_label("Starts on").fill(today.isoformat())
    page.get_by_role("button", name="Make the block").click()
    expect(page.get_by_role("button", name="Publish")).to_be_visible()
    page.get_by_role("button", name="Publish").click()
    dialog = page.get_by_role("dialog", name="Publish this block?")
    dialog.get_by_role("button", name="Publish").click()
    expect(page.get_by_text("Published.")).to_be_visible()


def joints_loaded() -> set[str]:
    """Exercises of the block that load what the client avoids."""
    rows = Prescription.objects.values_list("exercise__key", "exercise__joint_stresses")
    return {key for key, stresses in rows if JointStress.SHOULDER_OVERHEAD.value in stresses}


def sign_in_link(page: Page) -> str:
    """The path of the link; its host is the practice's name in the network."""
    page.get_by_role("link", name="Make the sign-in link").click()
    page.get_by_role("button", name="Make a sign-in link").click()
    field = page.get_by_label("Sign-in link", exact=True)
    expect(field).to_be_visible()
    return urlsplit(field.input_value()).path


def test_a_practice_opens_and_a_first_session_is_logged(desk, open_page):
    make_account(desk)
    assert User.objects.get().is_coach
    add_client(desk)
    screen(desk)
    equip(desk)
    limit_a_joint(desk)
    make_block(desk)
    assert joints_loaded() == set()
    link = sign_in_link(desk)

    phone = open_page(None, link, viewport=PHONE, has_touch=True, is_mobile=True)
    phone.get_by_role("button", name=re.compile("Cleo")).tap()
    expect(phone.locator("today-session[data-ready]")).to_be_visible()
    phone.locator(".entry-save").tap()
    expect(phone.locator("saved-count")).to_contain_text("1 saved here, 1 with your coach")

    assert LoggedSet.objects.count() == 1
    desk.get_by_role("link", name="Review", exact=True).click()
    desk.get_by_role("link", name=re.compile("Cleo Brandt")).first.click()
    logged = LoggedSet.objects.get().exercise.name
    expect(desk.locator("#panel").get_by_text(logged).first).to_be_visible()
