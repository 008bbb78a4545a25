"""Who may open each URL. A new URL is named here or the matrix test fails.

``allowed`` are the visitors who get an answer; everybody else signed in meets a 404,
and whoever is not signed in is sent to sign in. ``page`` marks what is also looked at
in a browser, in both themes.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from clients.models import Client, JointLimit, User
from clients.services import add_joint_limit, make_sign_in_link
from coaching.blocks.models import Block, BlockVersion, Prescription
from coaching.blocks.services import create_block_from_template
from coaching.blocks.models import BlockTemplate
from coaching.library.models import Exercise
from tests.factories.blocks import published_block

COACHES = frozenset({"stranger coach", "own coach"})
CLIENTS = frozenset({"stranger client", "own client"})
EVERYONE = COACHES | CLIENTS
OWN_COACH = frozenset({"own coach"})
PAGE = frozenset({200})
MOVES_ON = frozenset({302})
# An empty post is refused for its fields, which only happens after the access check.
REFUSED = frozenset({400, 422})


@dataclass(frozen=True)
class World:
    """Two coaches, a client of each, and one of everything that belongs to Ana's Cleo."""

    ana: User
    ben: User
    cleo: Client
    drew: Client
    block: Block
    draft: Block
    prescription: Prescription
    version: BlockVersion
    limit: JointLimit
    token: str
    exercise: Exercise


def build_world(ana: User, ben: User, cleo: Client, drew: Client) -> World:
    """Everything that a URL may name."""
    today = cleo.local_date(timezone.now())
    block = published_block(cleo, today - timedelta(days=today.weekday()))
    draft = create_block_from_template(
        client=cleo,
        template=BlockTemplate.objects.order_by("key")[0],
        starts_on=today + timedelta(days=42),
        by=ana,
    )
    coming = Prescription.objects.filter(
        pair__planned_session__week__block=block, pair__planned_session__on__gt=today
    )
    return World(
        ana=ana,
        ben=ben,
        cleo=cleo,
        drew=drew,
        block=block,
        draft=draft,
        prescription=coming[0],
        version=block.versions.get(),
        limit=add_joint_limit(client=cleo, stress="grip", action="watch", since=date(2026, 1, 1)),
        token=make_sign_in_link(user=ana),
        exercise=Exercise.objects.get(key="push-up"),
    )


def nothing(_world: World) -> dict[str, Any]:
    """A URL without arguments."""
    return {}


def client_id(world: World) -> dict[str, Any]:
    """A URL about Cleo."""
    return {"client_id": world.cleo.pk}


@dataclass(frozen=True)
class Row:
    """What one URL answers, and to whom."""

    allowed: frozenset[str]
    kwargs: Callable[[World], dict[str, Any]] = nothing
    fine: frozenset[int] = PAGE
    posts: bool = False
    is_open: bool = False
    page: bool = False
    request: dict[str, Any] = field(default_factory=dict)


def page(allowed: frozenset[str], kwargs: Callable[[World], dict[str, Any]] = nothing) -> Row:
    """A page that is also looked at in a browser."""
    return Row(allowed, kwargs, page=True)


def act(
    allowed: frozenset[str],
    kwargs: Callable[[World], dict[str, Any]] = nothing,
    fine: frozenset[int] = MOVES_ON,
    **data: Any,
) -> Row:
    """A form post."""
    return Row(allowed, kwargs, fine, posts=True, request={"data": data})
