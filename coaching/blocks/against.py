"""Pushing against pulling in the words of the panel."""

from dataclasses import dataclass

from coaching.rules.balance import ActionBalance, Balance
from coaching.rules.plan import Plane


@dataclass(frozen=True, slots=True)
class Against:
    """Pushing against pulling in one plane or of one joint action."""

    label: str
    push: int
    pull: int


def by_plane(balance: Balance) -> tuple[Against, ...]:
    """Sets push against pull in each plane."""
    names = {Plane.NONE: "single-joint"}
    return tuple(
        Against(names.get(one.plane, one.plane.value), one.push_sets, one.pull_sets)
        for one in balance.by_plane
    )


def by_action(one: ActionBalance) -> Against:
    """Two opposed joint actions under one name: shoulder flexion and extension."""
    push, pull = one.push_action.value, one.pull_action.value
    shared = 0
    for mine, other in zip(push.split(), pull.split(), strict=False):
        if mine != other:
            break
        shared += 1
    rest = " ".join(pull.split()[shared:])
    return Against(f"{push} and {rest}", one.push_sets, one.pull_sets)
