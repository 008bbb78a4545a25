"""What a coach posts of exercises of their own."""

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import Prescription
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.library import typed

ADD = "library:add-exercise"


def post(user, name, *args, data=None, **headers):
    return signed_in(user).post(reverse(name, args=args), data or {}, **headers)


def to_mend(answer) -> dict[str, str]:
    form = answer.context["page"].form
    return {name: " ".join(errors) for name, errors in form.errors.items()}


def refused(user, **changes) -> dict[str, str]:
    """What has to be mended in an exercise with these changes; nothing may be written."""
    before = Exercise.objects.count()
    answer = post(user, ADD, data=typed(**changes))
    assert answer.status_code == 422
    assert Exercise.objects.count() == before
    return to_mend(answer)


def prescribe(coach, client, row: Exercise) -> None:
    """Put an own exercise into the place of another in a block that is still to come."""
    monday = timezone.localdate() + timedelta(days=7 - timezone.localdate().weekday())
    block = published_block(client, monday)
    lines = Prescription.objects.filter(pair__planned_session__week__block=block)
    first = lines.order_by("pair__planned_session__on", "pk")[0]
    Prescription.objects.filter(exercise=first.exercise_id).update(exercise=row)
