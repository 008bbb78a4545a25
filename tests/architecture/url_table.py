"""Who may open each URL. A new URL is named here or the matrix test fails.

``allowed`` are the visitors who get an answer; everybody else signed in meets a 404,
and whoever is not signed in is sent to sign in. ``page`` marks what is also looked at
in a browser, in both themes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

from django.utils import timezone

from clients.models import Client, JointLimit, User
from clients.services import add_joint_limit, make_sign_in_link
from coaching.blocks.models import (
    Block,
    BlockTemplate,
    BlockVersion,
    JointLimitOverride,
    KeptEdit,
    Prescription,
)
from coaching.blocks.services import create_block_from_template
from coaching.library.models import Exercise, MovementGoal
from sessions.models import Decision, PrivateNote, WeekReview, Word
from sessions.services import record_entry
from sessions.word_services import keep_private_note, write_to_client
from sessions.word_templates import templates_of
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory, CoachFactory
from tests.factories.library import own_exercise

COACHES = frozenset({"stranger coach", "own coach"})
CLIENTS = frozenset({"stranger client", "own client"})
EVERYONE = COACHES | CLIENTS
OWN_COACH = frozenset({"own coach"})
OWN_CLIENT = frozenset({"own client"})
PAGE = frozenset({200})
MOVES_ON = frozenset({302})
# An empty post is refused for its fields, which only happens after the access check.
REFUSED = frozenset({400, 422})


# A decision as the review keeps it.
HELD = {
    "exercise": "Push-up",
    "part": "primary",
    "step": "hold",
    "before": [7, 7, 7],
    "before_load": 0.0,
    "targets": [7, 7, 7],
    "load": 0.0,
    "sentence": "Repeat it.",
    "rule": "A target missed once is repeated.",
    "source": "common-practice",
}


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
    kept: KeptEdit
    limit: JointLimit
    override: JointLimitOverride
    token: str
    exercise: Exercise
    own_exercise: Exercise
    decision: Decision
    goal: MovementGoal
    word: Word
    private_note: PrivateNote


def build_world() -> World:
    """Everything that a URL may name."""
    ana = CoachFactory.create(name="Ana Ferro", email="ana@practice.example")
    ben = CoachFactory.create(name="Ben Osei", email="ben@practice.example")
    cleo = ClientFactory.create(coach=ana, name="Cleo Brandt")
    drew = ClientFactory.create(coach=ben, name="Drew Salas")
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
    exercise = Exercise.objects.get(key="push-up")
    _log_one_set(cleo, exercise)
    review = WeekReview.objects.create(client=cleo, week_starts_on=today)
    return World(
        ana=ana,
        ben=ben,
        cleo=cleo,
        drew=drew,
        block=block,
        draft=draft,
        prescription=coming[0],
        version=block.versions.get(),
        kept=KeptEdit.objects.create(
            block=block, by=ana, revision=1, act={}, what="Rest", plan={"weeks": []}, meanwhile=[]
        ),
        limit=add_joint_limit(client=cleo, stress="grip", action="watch", since=date(2026, 1, 1)),
        override=JointLimitOverride.objects.create(
            client=cleo, exercise=exercise, limits=[], stresses=["grip"], why="Cleared.", by=ana
        ),
        token=make_sign_in_link(user=ana),
        exercise=exercise,
        own_exercise=own_exercise(ana),
        decision=Decision.objects.create(
            review=review, kind="hold", exercise=exercise, proposal=HELD
        ),
        goal=MovementGoal.objects.create(client=cleo, exercise=exercise, reps=12),
        word=write_to_client(client=cleo, text="Bring your belt.", by=ana),
        private_note=keep_private_note(client=cleo, text="Ask about sleep.", by=ana),
    )


def _log_one_set(client: Client, exercise: Exercise) -> None:
    entry = {
        "kind": "set",
        "uid": str(uuid4()),
        "revision": 1,
        "session": str(uuid4()),
        "done_at": timezone.now().isoformat(),
        "exercise": exercise.pk,
        "number": 1,
        "amount": 8,
    }
    record_entry(client=client, entry=entry)


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
    data: Callable[[World], dict[str, Any]] = nothing


def page(allowed: frozenset[str], kwargs: Callable[[World], dict[str, Any]] = nothing) -> Row:
    """A page that is also looked at in a browser."""
    return Row(allowed, kwargs, page=True)


def act(
    allowed: frozenset[str],
    kwargs: Callable[[World], dict[str, Any]] = nothing,
    fine: frozenset[int] = MOVES_ON,
) -> Row:
    """A form post, with nothing in it unless the row says more."""
    return Row(allowed, kwargs, fine, posts=True)


def limit_id(world: World) -> dict[str, Any]:
    """A URL about Cleo's joint limit."""
    return {"limit_id": world.limit.pk}


def block_id(world: World) -> dict[str, Any]:
    """A URL about Cleo's published block."""
    return {"block_id": world.block.pk}


def draft_id(world: World) -> dict[str, Any]:
    """A URL about Cleo's draft."""
    return {"block_id": world.draft.pk}


def line_uid(world: World) -> dict[str, Any]:
    """A URL about one of the exercises that are to come in Cleo's block."""
    return {"block_id": world.block.pk, "uid": str(world.prescription.uid)}


def planned_uid(world: World) -> dict[str, Any]:
    """A URL about one of the sessions that are to come in Cleo's block."""
    return {"block_id": world.block.pk, "uid": str(world.prescription.pair.planned_session.uid)}


def week_of_block(world: World) -> dict[str, Any]:
    """A URL about the first week of Cleo's block."""
    return {"block_id": world.block.pk, "starts_on": world.block.starts_on.isoformat()}


def block_and_exercise(world: World) -> dict[str, Any]:
    """A URL about an exercise that is planned for Cleo."""
    return {"block_id": world.block.pk, "exercise_id": world.prescription.exercise_id}


def override_id(world: World) -> dict[str, Any]:
    """A URL about an override of Cleo's joint limit."""
    return {"override_id": world.override.pk}


def own_template_id(world: World) -> dict[str, Any]:
    """A URL about a template of Ana's own."""
    shared = BlockTemplate.objects.filter(coach=None).order_by("key")[0]
    own, _ = BlockTemplate.objects.get_or_create(
        coach=world.ana,
        key="own",
        defaults={
            "name": "My own",
            "level": shared.level,
            "description": "Kept from a block.",
            "minutes": shared.minutes,
            "plan": shared.plan,
        },
    )
    return {"template_id": own.pk}


def version_id(world: World) -> dict[str, Any]:
    """A URL about a version of Cleo's block."""
    return {"version_id": world.version.pk}


def kept_id(world: World) -> dict[str, Any]:
    """A URL about an edit kept of Cleo's block."""
    return {"kept_id": world.kept.pk}


def token(world: World) -> dict[str, Any]:
    """A URL with a token."""
    return {"token": world.token}


def exercise_key(_world: World) -> dict[str, Any]:
    """A URL about a shared exercise."""
    return {"key": "push-up"}


def goal_id(world: World) -> dict[str, Any]:
    """A URL about Cleo's movement goal."""
    return {"goal_id": world.goal.pk}


def word_uid(world: World) -> dict[str, Any]:
    """A URL about a word of Ana's to Cleo."""
    return {"uid": world.word.uid}


def template_uid(world: World) -> dict[str, Any]:
    """A URL about the first of Ana's templates."""
    return {"uid": templates_of(world.ana)[0].uid}


def note_id(world: World) -> dict[str, Any]:
    """A URL about a private note of Ana's on Cleo."""
    return {"note_id": world.private_note.pk}


def own_exercise_key(world: World) -> dict[str, Any]:
    """A URL about an exercise of Ana's own."""
    return {"key": world.own_exercise.key}


def exercise_id(world: World) -> dict[str, Any]:
    """A client's own URL about an exercise."""
    return {"exercise_id": world.exercise.pk}


def client_and_exercise(world: World) -> dict[str, Any]:
    """A coach's URL about an exercise of Cleo's."""
    return {"client_id": world.cleo.pk, "exercise_id": world.exercise.pk}


OPEN_PAGE = Row(EVERYONE, fine=frozenset({200, 302}), is_open=True)

# First run answers only while there is nobody; here there are people.
CLOSED = Row(frozenset(), fine=frozenset({302, 404}), is_open=True)

TABLE: dict[str, Row] = {
    # clients: coming in and going out
    "clients:home": OPEN_PAGE,
    "clients:first-run": CLOSED,
    "clients:first-run-by-token": Row(frozenset(), token, fine=frozenset({302, 404}), is_open=True),
    "clients:sign-in": Row(EVERYONE, fine=frozenset({200, 302}), is_open=True, page=True),
    "clients:sign-out": act(EVERYONE),
    "clients:link": Row(EVERYONE, token, is_open=True, page=True),
    # clients: the coach's account
    "clients:account": page(COACHES),
    "clients:save-account": act(COACHES, fine=REFUSED),
    "clients:change-password": act(COACHES, fine=REFUSED),
    # clients: how the tool reads for a coach
    "clients:settings": page(COACHES),
    "clients:save-settings": act(COACHES, fine=REFUSED),
    # Intake of clients
    "clients:add-client": page(COACHES),
    "clients:intake": page(OWN_COACH, client_id),
    "clients:save-person": act(OWN_COACH, client_id, REFUSED),
    "clients:save-screening": act(OWN_COACH, client_id, REFUSED),
    "clients:save-equipment": act(OWN_COACH, client_id, MOVES_ON),
    "clients:add-joint-limit": act(OWN_COACH, client_id, REFUSED),
    "clients:end-limit": act(OWN_COACH, limit_id),
    "clients:reopen-limit": act(OWN_COACH, limit_id),
    "clients:save-address": act(OWN_COACH, client_id, REFUSED),
    "clients:make-link": act(OWN_COACH, client_id, frozenset({200, 302})),
    "clients:archive-client": act(OWN_COACH, client_id),
    "clients:restore-client": act(OWN_COACH, client_id),
    # library
    "library:exercises": page(COACHES),
    "library:exercise": page(COACHES, exercise_key),
    "library:add-exercise": page(COACHES),
    "library:copy-exercise": page(COACHES, exercise_key),
    "library:edit-exercise": page(OWN_COACH, own_exercise_key),
    "library:retire-exercise": act(OWN_COACH, own_exercise_key),
    "library:bring-back-exercise": act(OWN_COACH, own_exercise_key),
    "library:ladders": page(COACHES),
    "library:ladder": page(COACHES, exercise_key),
    "library:sources": page(EVERYONE),
    "library:guide": page(EVERYONE),
    # blocks
    "blocks:roster": page(COACHES),
    "blocks:blocks": page(COACHES),
    "blocks:templates": page(COACHES),
    "blocks:change-template": page(OWN_COACH, own_template_id),
    "blocks:remove-template": act(OWN_COACH, own_template_id),
    "blocks:bring-back-template": act(OWN_COACH, own_template_id),
    "blocks:apply-template": page(OWN_COACH, own_template_id),
    "blocks:save-as-template": page(OWN_COACH, block_id),
    "blocks:copy-block": page(OWN_COACH, block_id),
    "blocks:block": page(OWN_COACH, block_id),
    "blocks:publish-block": act(OWN_COACH, draft_id),
    "blocks:discard-draft": act(OWN_COACH, draft_id),
    "blocks:edit-block": act(OWN_COACH, block_id, REFUSED),
    # Asked about a plan that has moved on meanwhile it has nothing to say.
    "blocks:block-findings": Row(OWN_COACH, block_id, frozenset({204})),
    "blocks:block-pains": Row(OWN_COACH, block_id),
    "blocks:undo-edit": act(OWN_COACH, block_id, REFUSED),
    "blocks:redo-edit": act(OWN_COACH, block_id, REFUSED),
    "blocks:discard-changes": act(OWN_COACH, block_id, REFUSED),
    "blocks:edit-line": page(OWN_COACH, line_uid),
    "blocks:swap-line": page(OWN_COACH, line_uid),
    "blocks:override-line": act(OWN_COACH, line_uid, REFUSED),
    "blocks:edit-session": page(OWN_COACH, planned_uid),
    "blocks:add-line": page(OWN_COACH, planned_uid),
    "blocks:edit-week": page(OWN_COACH, week_of_block),
    "blocks:add-session": page(OWN_COACH, week_of_block),
    "blocks:versions": page(OWN_COACH, block_id),
    "blocks:go-back": act(OWN_COACH, version_id),
    "blocks:put-on-top": act(OWN_COACH, kept_id),
    "blocks:use-instead": act(OWN_COACH, kept_id),
    "blocks:let-go": act(OWN_COACH, kept_id),
    "blocks:new-block": page(OWN_COACH, client_id),
    "blocks:equipment-needed": page(OWN_COACH, client_id),
    "blocks:replace-exercise": act(OWN_COACH, block_and_exercise),
    "blocks:keep-exercise": act(OWN_COACH, block_and_exercise, REFUSED),
    "blocks:withdraw-override": act(OWN_COACH, override_id),
    # sessions: the phone
    "sessions:today": page(CLIENTS),
    "sessions:unplanned": page(CLIENTS),
    "sessions:today-exercises": Row(CLIENTS),
    "sessions:today-worker": Row(EVERYONE, is_open=True),
    "sessions:today-manifest": Row(EVERYONE, is_open=True),
    "sessions:today-offline": Row(EVERYONE, is_open=True, page=True),
    "sessions:my-log": page(CLIENTS),
    "sessions:my-log-exercise": page(OWN_CLIENT, exercise_id),
    "sessions:sync": act(CLIENTS, fine=REFUSED),
    "sessions:today-for": page(OWN_COACH, client_id),
    "sessions:unplanned-for": page(OWN_COACH, client_id),
    "sessions:today-exercises-for": Row(OWN_COACH, client_id),
    "sessions:log-of": page(OWN_COACH, client_id),
    "sessions:log-of-exercise": page(OWN_COACH, client_and_exercise),
    "sessions:sync-for": act(OWN_COACH, client_id, REFUSED),
    # sessions: a block beside its log
    "sessions:block-done": page(OWN_COACH, block_id),
    # sessions: what coach and client say
    "sessions:words": page(CLIENTS),
    "sessions:words-seen": act(CLIENTS, fine=REFUSED),
    "sessions:words-with": page(OWN_COACH, client_id),
    "sessions:words-read": act(OWN_COACH, client_id, REFUSED),
    "sessions:send-word": act(OWN_COACH, client_id, REFUSED),
    "sessions:add-private-note": act(OWN_COACH, client_id, REFUSED),
    "sessions:word-templates": page(COACHES),
    "sessions:add-word-template": act(COACHES, fine=REFUSED),
    "sessions:change-word-template": act(OWN_COACH, template_uid, REFUSED),
    "sessions:remove-word-template": act(OWN_COACH, template_uid),
    "sessions:move-word-template": act(OWN_COACH, template_uid),
    "sessions:take-back-word": act(OWN_COACH, word_uid),
    "sessions:take-back-private-note": act(OWN_COACH, note_id),
    # sessions: the block after the last one
    "sessions:next-block": page(OWN_COACH, client_id),
    # sessions: the floor
    "sessions:floor": page(COACHES),
    # sessions: the review
    "sessions:review": page(COACHES),
    "sessions:next-targets": page(COACHES),
    "sessions:accept-routine": act(COACHES),
    "sessions:undo-decisions": Row(
        OWN_COACH, fine=MOVES_ON, posts=True, data=lambda world: {"decision": world.decision.pk}
    ),
    "sessions:review-client": page(OWN_COACH, client_id),
    "sessions:accept-targets": act(OWN_COACH, client_id),
    "sessions:ask-client": act(OWN_COACH, client_id),
    "sessions:hold-week": act(OWN_COACH, client_id),
    "sessions:leave-week": act(OWN_COACH, client_id),
    "sessions:close-week": act(OWN_COACH, client_id),
    "sessions:reopen-week": act(OWN_COACH, client_id),
    "sessions:replace-planned": act(OWN_COACH, block_and_exercise),
    "sessions:keep-planned": act(OWN_COACH, block_and_exercise, REFUSED),
    "sessions:client": page(OWN_COACH, client_id),
    "sessions:ability": page(OWN_COACH, client_id),
    "sessions:decisions": page(OWN_COACH, client_id),
    # sessions: movement goals
    "sessions:set-goal": act(OWN_COACH, client_id, REFUSED),
    "sessions:put-back-goal": act(OWN_COACH, client_id, REFUSED),
    "sessions:change-goal": act(OWN_COACH, goal_id, REFUSED),
    "sessions:drop-goal": act(OWN_COACH, goal_id),
    "sessions:goal-reached": act(OWN_COACH, goal_id),
    "sessions:reopen-goal": act(OWN_COACH, goal_id),
    # sessions: the light week
    "sessions:deload": page(OWN_COACH, client_id),
    "sessions:apply-deload": act(OWN_COACH, client_id, REFUSED | MOVES_ON),
    "sessions:undo-deload": act(OWN_COACH, client_id),
}

OPEN = frozenset(name for name, row in TABLE.items() if row.is_open)
