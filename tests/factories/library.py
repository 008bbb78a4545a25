"""A coach's own exercises for tests, as they are typed and as the service writes them."""

from typing import Any

from django.http import QueryDict

from clients.models import User
from coaching.library.forms_own_exercise import OwnExerciseForm
from coaching.library.models import Exercise
from coaching.library.own_exercise_queries import surroundings_of
from coaching.library.own_exercise_services import add_own_exercise

TYPED: dict[str, Any] = {
    "name": "Tiger bend push-up",
    "pattern": "push",
    "multi_joint": "compound",
    "plane": "horizontal",
    "chain": "closed",
    "laterality": "bilateral",
    "level": "advanced",
    "complexity": "4",
    "measure": "reps",
    "tempo": "3-0-1-0",
    "load_kind": "none",
    "share_percent": "70",
    "posture": "",
    "hands_cm": "",
    "feet_cm": "",
    "muscles-triceps": "direct",
    "muscles-chest": "indirect",
    "joint_actions": ["elbow extension", "shoulder flexion"],
    "joint_stresses": ["elbow in hard pressing", "wrist bent back under load"],
    "equipment": [],
    "cues": "Lower the elbows to the floor.\nPress back up in one piece.",
    "caution": "",
    "ladder": "",
    "rung": "",
}


def typed(**changes: Any) -> dict[str, Any]:
    """What a coach types for a whole exercise, with changes; ``__`` stands for a hyphen."""
    return {**TYPED, **{name.replace("__", "-"): value for name, value in changes.items()}}


def read(coach: User, **changes: Any) -> OwnExerciseForm:
    """The form as it reads a whole exercise, with changes; it has to be right."""
    sent = QueryDict(mutable=True)
    for name, value in typed(**changes).items():
        sent.setlist(name, value if isinstance(value, list) else [value])
    form = OwnExerciseForm(sent, around=surroundings_of(coach))
    assert form.is_valid(), form.errors
    return form


def own_exercise(coach: User, **changes: Any) -> Exercise:
    """An exercise of a coach's own, written by the service from what the form reads."""
    return add_own_exercise(coach=coach, values=read(coach, **changes).values())
