"""Every act on a plan by its name, and the one function that puts an act to a plan.

An act is words only: {"act": "change-line", "line": uid, "targets": "5 × 7", "reach": "onward"}.
So it can be posted by a page, kept, and put on top of another plan again.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from coaching.blocks.editing import (
    exercise_acts,
    line_acts,
    order_acts,
    pair_acts,
    session_acts,
    shorten_acts,
    start_acts,
    week_acts,
)
from coaching.blocks.editing.places import Edited, EditSetting, is_fixed
from coaching.blocks.editing.values import MOST_WEEKS, Raw, refuse_unshowable, row_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import SessionData, Snapshot

__all__ = ["EditSetting", "Edited", "apply_act", "exercises_needed"]

ACTS: Mapping[str, Callable[[Snapshot, Raw, EditSetting], Edited]] = {
    "change-line": line_acts.change_line,
    "nudge-line": line_acts.nudge_line,
    "nudge-pair": line_acts.nudge_pair,
    "swap-line": line_acts.swap_line,
    "add-exercise": exercise_acts.add_exercise,
    "remove-line": exercise_acts.remove_line,
    "replace-exercise": exercise_acts.replace_exercise,
    "leave-out": exercise_acts.leave_out,
    "move-line": pair_acts.move_line,
    "move-pair": pair_acts.move_pair,
    "order-pair": pair_acts.order_pair,
    "turn-pair": pair_acts.turn_pair,
    "pair-lines": pair_acts.pair_lines,
    "unpair": pair_acts.unpair,
    "set-part": pair_acts.set_part,
    "lock": session_acts.lock,
    "unlock": session_acts.unlock,
    "rename-session": session_acts.rename_session,
    "move-session": session_acts.move_session,
    "add-session": session_acts.add_session,
    "remove-session": session_acts.remove_session,
    "copy-session": session_acts.copy_session,
    "arrange-session": order_acts.arrange_session,
    "fix-pairing": order_acts.fix_pairing,
    "shorten-session": shorten_acts.shorten_session,
    "copy-week": week_acts.copy_week,
    "replace-week": week_acts.replace_week,
    "remove-week": week_acts.remove_week,
    "set-week-kind": week_acts.set_week_kind,
    "insert-light-week": week_acts.insert_light_week,
    "lighten-week": week_acts.lighten_week,
    "light-week-anew": week_acts.light_week_anew,
    "move-light-week": week_acts.move_light_week,
    "start-later": start_acts.start_later,
}

_BRINGS_IN = {"swap-line": "exercise", "add-exercise": "exercise", "replace-exercise": "to"}


def apply_act(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """The plan after an act; the one that is given stays as it is.

    Raises BlockError when the act cannot be done, naming the field or place and the remedy.
    """
    act = ACTS.get(raw.get("act", ""))
    if act is None:
        message = "This change is not known here. Load the page again."
        raise BlockError(message)
    edited = act(snapshot, raw, setting)
    # Fields that no act reads are kept with it too.
    refuse_unshowable((*raw, *raw.values()), "This change")
    if len(edited.snapshot["weeks"]) > MOST_WEEKS:
        message = f"A block holds at most {MOST_WEEKS} weeks; end it and start the next one."
        raise BlockError(message)
    _refuse_changed_past(snapshot, edited.snapshot, setting)
    return replace(edited, touched=touched(snapshot, edited.snapshot))


def exercises_needed(raw: Raw) -> set[int]:
    """The rows of the exercises that an act brings in."""
    field = _BRINGS_IN.get(raw.get("act", ""), "")
    return {row_of(raw, field, "Exercise")} if raw.get(field, "").strip() else set()


def _sessions(snapshot: Snapshot) -> dict[str, tuple[str, str, SessionData]]:
    return {
        session["uid"]: (week["starts_on"], week["kind"], session)
        for week in snapshot["weeks"]
        for session in week["sessions"]
    }


def touched(before: Snapshot, after: Snapshot) -> frozenset[str]:
    """The sessions that differ between two plans, those that came and went too."""
    was, now = _sessions(before), _sessions(after)
    return frozenset(uid for uid in was.keys() | now.keys() if was.get(uid) != now.get(uid))


def _refuse_changed_past(before: Snapshot, after: Snapshot, setting: EditSetting) -> None:
    """Whatever an act does: what is past or begun stands as it was, in its week."""
    now = _sessions(after)
    for uid, was in _sessions(before).items():
        if is_fixed(was[2], setting) and now.get(uid) != was:
            message = f"{was[2]['name']} is past or already begun; change a coming session."
            raise BlockError(message)
