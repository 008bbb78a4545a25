"""A coach's wordings: add, change, order, remove and put back."""

from uuid import UUID

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from clients.access import coach_or_404
from clients.models import User
from clients.page_or_part import SignedInRequest
from sessions.word_forms import TemplateForm
from sessions.word_models import WordTemplate
from sessions.word_templates import (
    add_template,
    change_template,
    find_template,
    move_template,
    remove_template,
    removed_templates,
    templates_of,
)

PAGE = "sessions/word_templates/page.html"


@require_safe
def word_templates(request: SignedInRequest) -> HttpResponse:
    """The coach's wordings, each with its form."""
    return _show(request, coach_or_404(request.user))


def _show(
    request: SignedInRequest, coach: User, uid: UUID | None = None, sent: Form | None = None
) -> HttpResponse:
    """The page; a form that was refused stays open as it was sent, the new one without a uid."""
    listed = [
        (one, sent if sent and one.uid == uid else _form_of(one)) for one in templates_of(coach)
    ]
    context = {
        "listed": listed,
        "removed": removed_templates(coach),
        "added": sent if sent and uid is None else TemplateForm(auto_id="new_%s"),
        "opened": uid,
    }
    return render(request, PAGE, context, status=422 if sent else 200)


def _form_of(row: WordTemplate) -> TemplateForm:
    ids = f"t{row.uid}_%s"
    return TemplateForm(initial={"name": row.name, "text": row.text}, auto_id=ids)


def _known_or_404(request: SignedInRequest, uid: UUID) -> User:
    coach = coach_or_404(request.user)
    if find_template(coach, uid) is None:
        raise Http404("You have no such template.")
    return coach


@require_POST
def add_word_template(request: SignedInRequest) -> HttpResponse:
    """A new wording."""
    coach = coach_or_404(request.user)
    form = TemplateForm(request.POST, auto_id="new_%s")
    if not form.is_valid():
        return _show(request, coach, sent=form)
    row = add_template(coach=coach, **form.cleaned_data)
    messages.success(request, f"“{row.name}” is on the list.")
    return redirect("sessions:word-templates")


@require_POST
def change_word_template(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Another name or wording."""
    coach = _known_or_404(request, uid)
    form = TemplateForm(request.POST, auto_id=f"t{uid}_%s")
    if not form.is_valid():
        return _show(request, coach, uid, form)
    row = change_template(coach=coach, uid=uid, **form.cleaned_data)
    messages.success(request, f"“{row.name}” is changed.")
    return redirect("sessions:word-templates")


@require_POST
def remove_word_template(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Take a wording off the list, or put it back."""
    coach = _known_or_404(request, uid)
    put_back = "put_back" in request.POST
    row = remove_template(coach=coach, uid=uid, put_back=put_back)
    said = "is back on the list." if put_back else "is removed; it waits below to be put back."
    messages.success(request, f"“{row.name}” {said}")
    return redirect("sessions:word-templates")


@require_POST
def move_word_template(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """One place up, or down."""
    coach = _known_or_404(request, uid)
    if uid in {one.uid for one in templates_of(coach)}:
        move_template(coach=coach, uid=uid, up="up" in request.POST)
    return redirect("sessions:word-templates")
