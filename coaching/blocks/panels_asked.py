"""Which panel a request asks for, by the words of its address; also after an act was refused."""

from collections.abc import Callable, Mapping

from coaching.blocks.block_facts import BlockFacts
from coaching.blocks.errors import BlockError
from coaching.blocks.pages_block_weeks import chosen_number
from coaching.blocks.pages_panel_add import add_panel
from coaching.blocks.pages_panel_line import line_panel
from coaching.blocks.pages_panel_place import new_session_panel, session_panel, week_panel
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.blocks.pages_panels import Panel

_Sent = Mapping[str, str]


def panel_asked(facts: BlockFacts, sent: _Sent, number: int | None) -> Panel | None:
    """The panel that an address names, none when it names none; BlockError when it is gone."""
    snapshot = facts.draft.snapshot
    shown = chosen_number(snapshot, number, facts.today)
    starts_on = snapshot["weeks"][shown - 1]["starts_on"]
    made: Mapping[str, Callable[[str], Panel]] = {
        "line": lambda uid: line_panel(facts, uid, shown),
        "swap": lambda uid: swap_panel(facts, uid, shown),
        "add": lambda uid: add_panel(facts, uid, shown, sent),
        "session": lambda uid: session_panel(facts, uid, shown),
        "week": lambda _: week_panel(facts, starts_on, shown),
        "add-session": lambda _: new_session_panel(facts, starts_on, shown),
    }
    asked = [name for name in ("line", "swap", "add", "session") if sent.get(name)]
    if asked:
        return made[asked[0]](sent[asked[0]])
    change = sent.get("change", "")
    return made[change]("") if change in {"week", "add-session"} else None


def panel_refused(
    facts: BlockFacts, raw: _Sent, kind: str, shown: int, refused: BlockError
) -> Panel | None:
    """The panel that an act came from, with what was typed and what was wrong with it."""
    error = str(refused)
    line, session, week = (raw.get(name, "") for name in ("line", "session", "week"))
    made: Mapping[str, Callable[[], Panel]] = {
        "line": lambda: line_panel(facts, line, shown, raw=raw, error=refused),
        "swap": lambda: swap_panel(facts, line, shown, error=error),
        "add": lambda: add_panel(facts, session, shown, raw, error=error),
        "session": lambda: session_panel(facts, session, shown, raw=raw, error=error),
        "week": lambda: week_panel(facts, week, shown, raw=raw, error=error),
        "add-session": lambda: new_session_panel(facts, week, shown, raw=raw, error=error),
    }
    return made[kind]() if kind in made else None
