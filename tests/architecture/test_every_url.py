"""Every URL answered for everybody who may ask: a table that must name each of them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import connection, transaction
from django.test import Client as Browser
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.architecture.url_table import OPEN, TABLE, Row, World, build_world

# Each test runs in a transaction of its own, inside the one that holds the world.
pytestmark = pytest.mark.django_db

VISITORS = ("anonymous", "stranger coach", "stranger client", "own coach", "own client")


def url_names(resolver: URLResolver | None = None, prefix: str = "") -> Iterator[str]:
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            space = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
            yield from url_names(pattern, space)
        elif isinstance(pattern, URLPattern):
            yield f"{prefix}{pattern.name}"


@dataclass(frozen=True)
class Visit:
    name: str
    row: Row
    visitor: str

    def __str__(self) -> str:
        return f"{self.name}-{self.visitor}"


def visits() -> list[Visit]:
    return [Visit(name, row, who) for name, row in TABLE.items() for who in VISITORS]


@pytest.fixture(scope="module")
def world(django_db_setup, django_db_blocker) -> Iterator[World]:
    """Made once for this file; what a visit changes is rolled back by the test around it."""
    with django_db_blocker.unblock(), transaction.atomic():
        made = build_world()
        # Else PostgreSQL, which checks rows late, would check all of these at the end of each test.
        connection.check_constraints()
        yield made
        transaction.set_rollback(True)


def browser_of(world: World, visitor: str) -> Browser:
    browser = Browser()
    who = {
        "stranger coach": world.ben,
        "stranger client": world.drew.user,
        "own coach": world.ana,
        "own client": world.cleo.user,
    }.get(visitor)
    if who is not None:
        browser.force_login(who)
    return browser


def test_the_table_names_every_url():
    assert sorted(set(url_names())) == sorted(TABLE)


@pytest.mark.parametrize("visit", visits(), ids=str)
def test_a_url_answers_each_visitor_as_the_table_says(world, visit):
    browser = browser_of(world, visit.visitor)
    url = reverse(visit.name, kwargs=visit.row.kwargs(world))
    send: Callable[..., Any] = browser.post if visit.row.posts else browser.get

    answer = send(url, visit.row.data(world))

    allowed = visit.row.allowed
    if visit.visitor == "anonymous" and not visit.row.is_open:
        assert answer.status_code in {302, 401}
        assert answer.status_code == 401 or "/sign-in/" in answer.headers["Location"]
    elif visit.row.is_open or visit.visitor in allowed:
        assert answer.status_code in visit.row.fine, answer.content[:300]
    else:
        assert answer.status_code == 404


def test_only_the_named_views_are_open_to_all():
    unguarded = {
        name for name in url_names() if not getattr(_view_of(name), "login_required", True)
    }

    assert unguarded == set(OPEN)


def _view_of(name: str) -> object:
    def find(resolver: URLResolver, prefix: str) -> object:
        for pattern in resolver.url_patterns:
            if isinstance(pattern, URLResolver):
                space = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
                found = find(pattern, space)
                if found is not None:
                    return found
            elif f"{prefix}{pattern.name}" == name:
                return pattern.callback
        return None

    return find(get_resolver(), "")
