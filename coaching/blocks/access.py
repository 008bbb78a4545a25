"""Who may see which block: each function returns the object or raises 404."""

from django.http import Http404

from clients.access import coach_or_404
from clients.kept_query import KeptQuery, next_in
from clients.models import Client, User
from coaching.blocks.models import (
    Block,
    BlockTemplate,
    BlockVersion,
    JointLimitOverride,
    KeptEdit,
    Prescription,
)
from coaching.library.models import Exercise


def block_of_coach(user: User, block_id: int) -> Block:
    """A block of one of the coach's clients."""
    coach = coach_or_404(user)
    found = _BLOCK.rows(block_id, coach.pk)
    if not found:
        raise Http404("You have no such block.")
    row = iter(found[0])
    block, client, account = next_in(row, Block), next_in(row, Client), next_in(row, User)
    block.client, client.coach = client, coach
    if client.user_id is not None:
        client.user = account
    return block


_BLOCK = KeptQuery(
    lambda block, coach: (
        Block.objects.filter(pk=block, client__coach=coach)
        .select_related("client__user")
        .order_by()
    )
)


def version_of_coach(user: User, version_id: int) -> BlockVersion:
    """A version of a block of one of the coach's clients."""
    found = (
        BlockVersion.objects.filter(pk=version_id, block__client__coach=coach_or_404(user))
        .select_related("block", "block__client")
        .first()
    )
    if found is None:
        raise Http404("You have no such version.")
    return found


def kept_edit_of_coach(user: User, kept_id: int) -> KeptEdit:
    """An edit kept of a block of one of the coach's clients."""
    found = (
        KeptEdit.objects.filter(pk=kept_id, block__client__coach=coach_or_404(user))
        .select_related("block", "block__client")
        .first()
    )
    if found is None:
        raise Http404("You have no such kept edit.")
    return found


def template_for_coach(user: User, template_id: int) -> BlockTemplate:
    """A shared template or one of the coach's own that is offered."""
    offered = BlockTemplate.objects.offered_to(coach_or_404(user))
    found = offered.filter(pk=template_id).first()
    if found is None:
        raise Http404("You have no such template.")
    return found


def own_template(user: User, template_id: int) -> BlockTemplate:
    """One of the coach's own templates, removed or not."""
    own = BlockTemplate.objects.filter(coach=coach_or_404(user), pk=template_id).first()
    if own is None:
        raise Http404("You have no such template.")
    return own


def planned_exercise(block: Block, exercise_id: int) -> Exercise:
    """An exercise that stands in a block."""
    planned = Prescription.objects.filter(
        exercise=exercise_id, pair__planned_session__week__block=block
    )
    found = planned.select_related("exercise").first()
    if found is None:
        raise Http404("There is no such exercise in this block.")
    return found.exercise


def override_of_coach(user: User, override_id: int) -> JointLimitOverride:
    """An override of a joint limit of one of the coach's clients."""
    found = (
        JointLimitOverride.objects.filter(pk=override_id, client__coach=coach_or_404(user))
        .select_related("client", "exercise")
        .first()
    )
    if found is None:
        raise Http404("You have no such override.")
    return found
