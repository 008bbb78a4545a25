"""The chart library in static/vendor is the one that the Python side writes figures for."""

import hashlib
import re
from pathlib import Path

import plotly
import pytest

VENDORED = Path(__file__).parents[2] / "static" / "vendor" / "plotly"
BUNDLE = VENDORED / "plotly-cartesian.min.js"
CHECKSUMS: dict[str, str] = {
    name: digest
    for digest, name in map(str.split, (VENDORED / "SHA256SUMS").read_text().splitlines())
}


def version_in(script: str) -> str:
    found = re.search(r"plotly\.js .*?v(\d+\.\d+\.\d+)", script)
    assert found, "the licence line at the top of the bundle names no version"
    return found.group(1)


@pytest.mark.parametrize("name", ["plotly-cartesian.min.js", "plotly-style.css", "LICENSE"])
def test_a_vendored_file_is_the_one_whose_checksum_was_recorded(name):
    content = (VENDORED / name).read_bytes()

    digest = hashlib.sha256(content).hexdigest()

    assert digest == CHECKSUMS[name]


def test_the_bundle_has_the_version_that_the_python_package_carries():
    own = Path(plotly.__file__).parent / "package_data" / "plotly.min.js"

    vendored = version_in(BUNDLE.read_text()[:400])

    assert vendored == version_in(own.read_text()[:400])


def test_the_bundle_can_draw_the_charts_that_we_use():
    script = BUNDLE.read_text()

    drawable = {kind for kind in ("scatter", "bar", "heatmap") if f'name:"{kind}"' in script}

    assert drawable == {"scatter", "bar", "heatmap"}
