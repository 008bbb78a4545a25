"""The address that a phone is given."""

import pytest
from django.test import RequestFactory

from clients.link_address import opens_here_only, phone_address, qr_code

LAN = ["localhost", "127.0.0.1", "[::1]", "192.168.7.20", "desk.local"]


@pytest.mark.parametrize(
    ("host", "hosts", "origins", "address"),
    [
        ("127.0.0.1:8000", LAN[:3], [], "http://127.0.0.1:8000/link/x/"),
        ("127.0.0.1:8000", LAN, [], "http://192.168.7.20:8000/link/x/"),
        ("desk.local:8000", LAN, [], "http://desk.local:8000/link/x/"),
        ("127.0.0.1:8000", LAN, ["https://gym.example"], "https://gym.example/link/x/"),
    ],
)
def test_a_phone_is_given_an_address_it_can_reach(settings, host, hosts, origins, address):
    settings.ALLOWED_HOSTS, settings.CSRF_TRUSTED_ORIGINS = hosts, origins

    assert phone_address(RequestFactory().get("/", headers={"Host": host}), "/link/x/") == address


def test_an_address_of_this_machine_only_is_known_as_such():
    assert opens_here_only("http://127.0.0.1:8000/link/x/")
    assert opens_here_only("http://[::1]:8000/link/x/")
    assert not opens_here_only("http://192.168.7.20:8000/link/x/")


def test_the_code_is_drawn_without_inline_style():
    drawing = qr_code("http://192.168.7.20:8000/link/x/")

    assert drawing.startswith("<svg ")
    assert "style" not in drawing
