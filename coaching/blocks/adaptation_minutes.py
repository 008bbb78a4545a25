"""A template's session made to end within a client's minutes, with every cut and its reason."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from string import ascii_uppercase

from coaching.blocks.adaptation_values import ClientMeans, LineChange
from coaching.blocks.shared_templates import TemplateSession
from coaching.blocks.template_values import session_value
from coaching.rules.plan import Exercise, PlannedSession
from coaching.rules.shorter_session import Cut, shorter_session


def on_time(
    session: TemplateSession,
    library: Mapping[str, Exercise],
    means: ClientMeans,
    changes: list[LineChange],
) -> TemplateSession:
    """The session made to end within the client's minutes, as far as the rule lets it.

    Every change is added to ``changes``.
    """
    budget = means.minutes
    if budget is None or not session.pairs:
        return session
    value = session_value(session, library, _ANY_DAY)
    shorter = shorter_session(value, budget, kept=means.goals)
    before, after = shorter.minutes
    why = f"{session.name} would take {before} min of {budget}"
    for cut in shorter.cuts:
        if not cut.after:
            names = _forget_swaps(session.name, cut, changes)
            what = f"{names} left out"
        else:
            names = " and ".join(cut.names)
            what = f"{names}: {cut.after} sets instead of {cut.before}"
        changes.append(LineChange(session.name, cut.letter, names, names, why, what))
    if not shorter.fits:
        rest = f"it still takes {after} min, and primary work is not cut further"
        changes.append(LineChange(session.name, "", "", "", rest, f"{session.name} is too long"))
    return _with_targets_of(session, shorter.session)


def _forget_swaps(session: str, cut: Cut, changes: list[LineChange]) -> str:
    """Drop what was said of a pair that is left out after all; its names as the template has them."""
    about = [one for one in changes if (one.session, one.letter) == (session, cut.letter)]
    changes[:] = [one for one in changes if one not in about]
    asked = {one.given: one.asked for one in about}
    return " and ".join(asked.get(name, name) for name in cut.names)


def _with_targets_of(session: TemplateSession, shorter: PlannedSession) -> TemplateSession:
    """The pairs that are left, each line with the sets that are left of it, lettered anew."""
    left = {pair.letter: pair for pair in shorter.pairs}
    pairs = [
        replace(
            pair,
            lines=tuple(
                replace(line, targets=kept.targets)
                for line, kept in zip(pair.lines, left[pair.letter].prescriptions, strict=True)
            ),
        )
        for pair in session.pairs
        if pair.letter in left
    ]
    lettered = zip(ascii_uppercase, pairs, strict=False)
    return replace(session, pairs=tuple(replace(pair, letter=x) for x, pair in lettered))


_ANY_DAY = date.min
"""How long a session takes does not depend on its day."""
