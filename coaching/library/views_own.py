"""A coach's own exercises: add, copy, edit, retire, bring back."""

from collections.abc import Callable, Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.views.decorators.http import require_http_methods, require_POST

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, go_to, page_or_part
from coaching.library.access import exercise_of_coach, own_exercise_of_coach
from coaching.library.errors import OwnExerciseError
from coaching.library.forms_own_exercise import OwnExerciseForm, blank, typed_of
from coaching.library.models import Exercise
from coaching.library.own_exercise_checks import Surroundings, Values
from coaching.library.own_exercise_queries import coming_of, surroundings_of
from coaching.library.own_exercise_services import (
    add_own_exercise,
    bring_back,
    change_own_exercise,
)
from coaching.library.pages_own_exercise import (
    OwnExercisePage,
    add_page,
    copy_page,
    edit_page,
    free_name,
    retired_message,
)
from coaching.library.services import retire

may_show_or_save = require_http_methods(["GET", "HEAD", "POST"])


@may_show_or_save
def add_exercise(request: SignedInRequest) -> HttpResponse:
    """Write a new exercise."""
    coach = coach_or_404(request.user)
    form = _form(request, blank(), surroundings_of(coach))
    row = _saved(form, lambda values: add_own_exercise(coach=coach, values=values))
    if row is None:
        return _answer(request, add_page(form))
    messages.success(request, f"{row.name} is in your library.")
    return go_to(request, "library:exercise", row.key)


@may_show_or_save
def copy_exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """Open a copy of an exercise in the form; nothing is written before it is saved."""
    coach = coach_or_404(request.user)
    source = exercise_of_coach(coach, key)
    around = surroundings_of(coach)
    typed = {**typed_of(source), "name": free_name(source.name, around)}
    form = _form(request, typed, around)
    row = _saved(
        form, lambda values: add_own_exercise(coach=coach, values=values, copied_from=source)
    )
    if row is None:
        return _answer(request, copy_page(form, source))
    messages.success(request, f"{row.name} is in your library, beside {source.name}.")
    return go_to(request, "library:exercise", row.key)


@may_show_or_save
def edit_exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """Change an own exercise."""
    row = own_exercise_of_coach(request.user, key)
    form = _form(request, typed_of(row), surroundings_of(request.user, row))
    if _saved(form, lambda values: change_own_exercise(exercise=row, values=values)) is None:
        return _answer(request, edit_page(form, row))
    messages.success(request, f"{row.name} is saved.")
    return go_to(request, "library:exercise", row.key)


@require_POST
def retire_exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """Offer an own exercise no more; plans and logs keep it."""
    row = own_exercise_of_coach(request.user, key)
    if row.retired_at is None:
        retire(exercise=row)
    messages.success(request, retired_message(row, coming_of(row)))
    return go_to(request, "library:exercise", row.key)


@require_POST
def bring_back_exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """Offer a retired own exercise again."""
    row = own_exercise_of_coach(request.user, key)
    try:
        bring_back(exercise=row)
        messages.success(request, f"{row.name} is offered again.")
    except OwnExerciseError as error:
        messages.error(request, str(error))
    return go_to(request, "library:exercise", row.key)


def _form(
    request: SignedInRequest, typed: Mapping[str, Any], around: Surroundings
) -> OwnExerciseForm:
    sent = request.POST if request.method == "POST" else None
    return OwnExerciseForm(sent, initial=dict(typed), around=around)


def _saved(form: OwnExerciseForm, save: Callable[[Values], Exercise]) -> Exercise | None:
    """The row that was written; otherwise nothing, and the form says why."""
    if not form.is_valid():
        return None
    try:
        return save(form.values())
    except OwnExerciseError as error:
        for fault in error.faults:
            form.add_error(fault.field, fault.message)
        return None


def _answer(request: SignedInRequest, page: OwnExercisePage) -> HttpResponse:
    """The form, with what has to be mended when it was sent."""
    return page_or_part(
        request,
        "library/own_exercise/page.html",
        "library/own_exercise/_form.html",
        {"page": page},
        status=422 if page.form.is_bound else 200,
    )
