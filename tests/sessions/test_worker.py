"""What makes Today open without a network and from the home screen, before a browser reads it."""

import json
import re
import struct
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import PlannedSession
from sessions import pages_worker
from sessions.services import record_entry
from tests.architecture.test_stylesheets import TOKENS, oklch_to_linear_srgb
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.phone import set_entry

pytestmark = pytest.mark.django_db


def hex_of(token: str, place: int) -> str:
    """A colour of tokens.css as eight-bit sRGB, by the curve of IEC 61966-2-1."""
    found = re.search(rf"--{token}: (.+);", TOKENS)
    assert found
    colour = re.findall(r"oklch\(([\d.]+) ([\d.]+) ([\d.]+)\)", found.group(1))[place]
    curved = [
        1.055 * part ** (1 / 2.4) - 0.055 if part > 0.0031308 else 12.92 * part
        for part in oklch_to_linear_srgb(*map(float, colour))
    ]
    return "#" + "".join(f"{round(255 * min(1, max(0, part))):02x}" for part in curved)


def facts() -> dict[str, Any]:
    found = json.loads(pages_worker.worker_facts())
    assert isinstance(found, dict)
    return found


def test_the_worker_is_asked_for_anew_each_time_and_holds_nothing_of_anybody(client):
    answer = client.get(reverse("sessions:today-worker"))

    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert answer.headers["Cache-Control"] == "no-cache"
    assert not answer.cookies
    assert (
        len(
            (Path(settings.BASE_DIR) / "templates/sessions/today/worker.js")
            .read_text()
            .splitlines()
        )
        < 80
    )


def test_the_worker_keeps_every_file_that_today_asks_for(cleo):
    published_block(cleo, cleo.local_date(timezone.now()))
    html = signed_in(cleo.user).get(reverse("sessions:today")).content.decode()

    asked = set(re.findall(r'(?:href|src)="(/static/[^"]+\.(?:js|css|svg))"', html))

    assert asked
    assert asked <= set(facts()["files"])


def test_the_worker_leaves_what_is_handed_in_alone():
    ways = [reverse("sessions:sync"), reverse("clients:sign-out")]

    assert not any(way.startswith(facts()["home"]) for way in ways)
    assert not set(ways) & set(facts()["extras"])


def test_a_changed_file_makes_another_version(monkeypatch):
    before = facts()["version"]
    monkeypatch.setattr(pages_worker, "source", lambda name: f"another {name}")

    assert facts()["version"] != before


def test_the_app_can_be_put_on_the_home_screen(client):
    answer = client.get(reverse("sessions:today-manifest"))

    manifest = json.loads(answer.content)
    assert answer.headers["Content-Type"] == "application/manifest+json"
    assert manifest["start_url"] == reverse("sessions:today")
    assert manifest["display"] == "standalone"
    assert manifest["theme_color"] == manifest["background_color"] == hex_of("paper", 0)
    # W3C, Web Application Manifest: purposes "any" and "maskable"; PNG (ISO/IEC 15948): width and
    # height stand at byte 16.
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}
    for icon in manifest["icons"]:
        path = finders.find(icon["src"].removeprefix("/static/"))
        assert isinstance(path, str)
        width, height = struct.unpack(">II", Path(path).read_bytes()[16:24])
        assert icon["sizes"] == f"{width}x{height}"


def test_the_bars_of_a_phone_take_the_colour_of_the_paper(cleo):
    html = signed_in(cleo.user).get(reverse("sessions:my-log")).content.decode()

    told = re.findall(r'<meta name="theme-color"\s+content="(#\w+)"', html)
    assert told == [hex_of("paper", 0), hex_of("paper", 1)]
    assert reverse("sessions:today-manifest") in html


def test_a_page_tells_when_plan_or_log_changed(cleo):
    block = published_block(cleo, cleo.local_date(timezone.now()))
    browser = signed_in(cleo.user)

    def mark() -> dict[str, str]:
        return dict(browser.get(reverse("sessions:today")).context["page"].data["mark"])

    first, again = mark(), mark()
    planned = PlannedSession.objects.filter(week__block=block)[0]
    record_entry(client=cleo, entry=set_entry(planned, timezone.now()))
    logged = mark()

    assert first == again
    assert logged["plan"] == first["plan"]
    assert logged["log"] != first["log"]
