"""A damaged shared file is refused with its place, the field and the remedy."""

import shutil
from pathlib import Path

import pytest

from coaching.library.shared_catalogue import CATALOGUE, read_shared_catalogue
from coaching.library.toml_fields import CatalogueError


def spoil(folder: Path, file: str, old: str, new: str) -> Path:
    """A copy of the catalogue with the first occurrence of one text replaced."""
    copy = folder / "catalogue"
    shutil.copytree(CATALOGUE, copy)
    text = (copy / file).read_text(encoding="utf-8")
    assert old in text
    (copy / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    return copy


@pytest.mark.parametrize(
    ("file", "old", "new", "parts"),
    [
        (
            "push.toml",
            "complexity = 1",
            "complexity = 9",
            ["wall-push-up", "9", "1 to 5"],
        ),
        ("pull.toml", 'chain = "closed"', 'chain = "shut"', ["“shut”", "closed, open"]),
        ("legs.toml", "body_share = 0.88", "body_share = 88", ["body_share", "from 0 to 1"]),
        ("core.toml", 'tempo = "3-0-1-1"', 'tempo = "slow"', ["dead-bug", "tempo", "four counts"]),
        ("prehab.toml", 'muscles = { "rotator cuff" = 1 }', "", ["muscles", "missing", "Add it"]),
        ("push.toml", 'pattern = "push"', 'pattern = "pull"', ["push.toml", "Move the exercise"]),
        ("push.toml", 'ladder = "push-up"', 'ladder = "press-up"', ["press-up", "ladders.toml"]),
        ("push.toml", "rung = 2", "rung = 3", ["push-up rung 3", "2 times", "once"]),
        ("push.toml", 'key = "knee-push-up"', 'key = "push-up"', ["key", "push-up", "once"]),
        (
            "push.toml",
            "multi_joint = true",
            'multi_joint = "yes"',
            ["multi_joint", "true or false"],
        ),
        ("push.toml", "laterality =", "lateralty =", ["lateralty", "not known", "laterality"]),
        ("push.toml", "[[exercise]]", "[[exercise", ["push.toml", "not valid TOML"]),
    ],
)
def test_a_damaged_file_is_refused_with_place_field_and_remedy(
    tmp_path: Path, file: str, old: str, new: str, parts: list[str]
):
    folder = spoil(tmp_path, file, old, new)

    with pytest.raises(CatalogueError) as refused:
        read_shared_catalogue(folder)

    assert [part for part in parts if part not in str(refused.value)] == []


def test_a_missing_file_is_named(tmp_path: Path):
    shutil.copytree(CATALOGUE, tmp_path / "catalogue")
    (tmp_path / "catalogue" / "core.toml").unlink()

    with pytest.raises(CatalogueError, match=r"core\.toml is missing"):
        read_shared_catalogue(tmp_path / "catalogue")
