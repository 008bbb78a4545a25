"""Logs as files, and what of them is written."""

from clients.models import BodyWeight, Client
from coaching.library.models import Exercise
from sessions.models import LoggedSession, LoggedSet

HEADER = "client,date,exercise,set,reps,load_kg"
FULL = f"{HEADER},target_reps,rir,session_rpe,body_weight_kg,pattern,role,planned_deload,pain,note"
GOOD = f"""{FULL}
Mara Lindqvist,2026-02-02,Pull-up,1,7,0,7,2,7.5,64.2,,primary,,,
Mara Lindqvist,2026-02-02,Pull-up,2,6,0,7,1,,,,primary,,3,left elbow
Mara Lindqvist,2026-02-02,Sled drag,1,12,40,,,,,legs,supplementary,no,,
Cleo Brandt,2026-02-03,pull-up,1,5,2.5,,,6,,,,yes,,
"""


def written() -> list[int]:
    tables = (Client, Exercise, LoggedSession, LoggedSet, BodyWeight)
    return [table.objects.count() for table in tables]


def row(**changes) -> str:
    """A file of one good row, with changes."""
    cells = {
        "client": "Mara Lindqvist",
        "date": "2026-02-02",
        "exercise": "Pull-up",
        "set": "1",
        "reps": "7",
        "load_kg": "0",
        **changes,
    }
    return f"{','.join(cells)}\n{','.join(cells.values())}\n"
