"""What the form of a coach's own exercise shows, and the acts on the page of an exercise."""

from dataclasses import dataclass

from django.urls import reverse

from coaching.library.forms_own_exercise import OwnExerciseForm
from coaching.library.models import Exercise
from coaching.library.own_exercise_checks import Surroundings, folded_name
from coaching.library.own_exercise_queries import Coming, coming_of

LONGEST_NAME = 100

_SECTIONS = (
    (
        "what",
        "What it is",
        ("name", "pattern", "multi_joint", "plane", "chain", "laterality", "level", "complexity"),
    ),
    (
        "load",
        "Count and load",
        ("measure", "tempo", "load_kind", "share_percent", "posture", "hands_cm", "feet_cm"),
    ),
    ("trains", "What it trains", ("muscles", "joint_actions")),
    ("asks", "What it asks", ("joint_stresses", "asks_nothing", "equipment")),
    ("done", "How it is done", ("cues", "caution")),
    ("place", "Place on a ladder", ("ladder", "rung")),
)


@dataclass(frozen=True)
class FormSection:
    """One section of the form, and how many things have to be mended in it."""

    key: str
    title: str
    faults: int


@dataclass(frozen=True)
class ToMend:
    """One fault: the anchor of its field, the field's name, and the words."""

    anchor: str
    label: str
    message: str


@dataclass(frozen=True)
class OwnExercisePage:
    """The form with its sections and faults; ``action`` is where it is sent."""

    title: str
    lede: str
    action: str
    back: str
    submit: str
    form: OwnExerciseForm
    sections: tuple[FormSection, ...]
    to_mend: tuple[ToMend, ...]
    prerequisites: int

    @property
    def is_fixed(self) -> bool:
        """Whether prescriptions or logs hold on to pattern, measure and load."""
        return bool(self.form.around.fixed)


def add_page(form: OwnExerciseForm) -> OwnExercisePage:
    """A new exercise; no query."""
    return _page(
        form,
        title="Add an exercise",
        lede="It is yours alone: other coaches of the practice do not see it.",
        action=reverse("library:add-exercise"),
        back=reverse("library:exercises"),
        submit="Add the exercise",
    )


def copy_page(form: OwnExerciseForm, source: Exercise) -> OwnExercisePage:
    """A copy of another exercise, which itself stays as it is; no query."""
    return _page(
        form,
        title=f"Copy {source.name}",
        lede=f"{source.name} stays as it is; what you save here is an exercise of your own.",
        action=reverse("library:copy-exercise", args=[source.key]),
        back=reverse("library:exercise", args=[source.key]),
        submit="Save the copy",
        prerequisites=len(source.prerequisites),
    )


def edit_page(form: OwnExerciseForm, row: Exercise) -> OwnExercisePage:
    """A change of an own exercise; no query."""
    return _page(
        form,
        title=f"Edit {row.name}",
        lede="Plans and logs that name it follow.",
        action=reverse("library:edit-exercise", args=[row.key]),
        back=reverse("library:exercise", args=[row.key]),
        submit="Save the exercise",
        prerequisites=len(row.prerequisites),
    )


def _page(
    form: OwnExerciseForm,
    *,
    title: str,
    lede: str,
    action: str,
    back: str,
    submit: str,
    prerequisites: int = 0,
) -> OwnExercisePage:
    return OwnExercisePage(
        title=title,
        lede=lede,
        action=action,
        back=back,
        submit=submit,
        form=form,
        sections=tuple(
            FormSection(key, words, sum(len(form[name].errors) for name in names))
            for key, words, names in _SECTIONS
        ),
        to_mend=tuple(
            ToMend(f"{form[name].auto_id}", str(form[name].label), str(error))
            for _, _, names in _SECTIONS
            for name in names
            for error in form[name].errors
        ),
        prerequisites=prerequisites,
    )


def free_name(name: str, around: Surroundings) -> str:
    """A name for a copy that nothing in use has.

    >>> free_name("Dip", Surroundings(names={"dip": "", "dip (own)": ""}))
    'Dip (own 2)'
    """
    number = 1
    while True:
        tail = " (own)" if number == 1 else f" (own {number})"
        found = f"{name[: LONGEST_NAME - len(tail)].rstrip()}{tail}"
        if folded_name(found) not in around.names:
            return found
        number += 1


@dataclass(frozen=True)
class ExerciseActs:
    """What a coach can do with an exercise: copy any; edit, retire or bring back their own."""

    key: str
    name: str
    is_own: bool
    is_retired: bool
    coming: Coming


def acts_of(row: Exercise) -> ExerciseActs:
    """The acts for one exercise; a query more for an own one."""
    is_own = row.coach_id is not None
    return ExerciseActs(
        key=row.key,
        name=row.name,
        is_own=is_own,
        is_retired=row.retired_at is not None,
        coming=coming_of(row) if is_own else Coming(0, 0),
    )


def retired_message(row: Exercise, coming: Coming) -> str:
    """What retiring an exercise does and does not touch, and how to undo it."""
    undo = "“Bring back” undoes it."
    if not coming.prescriptions:
        return (
            f"{row.name} is retired: it is offered no more. No coming prescription names it. {undo}"
        )
    clients = "1 client" if coming.clients == 1 else f"{coming.clients} clients"
    many = coming.prescriptions != 1
    count = f"{coming.prescriptions} coming prescription{'s' if many else ''}"
    verb = "name it and keep" if many else "names it and keeps"
    return (
        f"{row.name} is retired: it is offered no more. {count} of {clients} {verb} it, and so do "
        f"logs. {undo}"
    )
