"""Static files as they are served: one style sheet, one script a phone page, names that hold a hash."""

import gzip
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.conf import settings as project
from django.core.management import call_command
from django.template import Context, Template

from clients import static_in_one, static_parts
from clients.static_in_one import in_one_script, in_one_sheet
from clients.static_parts import parts_of

STATIC = Path(project.BASE_DIR) / "static"
PAGES = sorted(f"js/phone/pages/{path.name}" for path in (STATIC / "js/phone/pages").glob("*.js"))


@pytest.fixture
def written(monkeypatch):
    """Static files that exist only in a test."""
    files: dict[str, str] = {}

    def read(name: str) -> str:
        return files[name]

    monkeypatch.setattr(static_parts, "source", read)
    monkeypatch.setattr(static_in_one, "source", read)
    monkeypatch.setattr(static_parts, "_kept_parts", static_parts._read_parts)
    return files


def run(script: str) -> list[str]:
    """What a script prints, line by line, when a browser's module loader would run it."""
    node = shutil.which("node")
    assert node, "Node.js runs the scripts here, as it runs tests/js."
    done = subprocess.run(  # noqa: S603
        [node, "--input-type=module", "-"], input=script, capture_output=True, text=True, check=True
    )
    return done.stdout.split("\n")[:-1]


def test_scripts_in_one_file_run_once_each_in_the_order_of_their_imports(written):
    written["a/page.js"] = (
        'import { both as sum } from "./both.js";\nimport "../b/last.js";\nconsole.log(sum());\n'
    )
    written["a/both.js"] = (
        'import {\n  one,\n  Two,\n} from "../b/one.js";\n'
        "/* The same name as in another file. */\nconst word = 2;\n"
        "export async function unused() {}\n"
        "export function both() {\n  return one + new Two().value + word;\n}\n"
    )
    written["b/one.js"] = (
        'const word = 1;\nexport const one = word;\nexport class Two {\n  value = 2;\n}\nconsole.log("one");\n'
    )
    written["b/last.js"] = 'import { one } from "./one.js";\nconsole.log(`last ${one}`);\n'

    script = in_one_script("a/page.js")

    assert run(script) == ["one", "last 1", "5"]
    assert "The same name" not in script


@pytest.mark.parametrize(
    "line",
    [
        "export default 3;",
        "export let changing = 1;",
        "const one = 1;\nexport { one };",
        'import * as all from "./b.js";',
        'const later = await import("./b.js");',
        "console.log(import.meta.url);",
    ],
)
def test_a_script_that_cannot_be_put_into_one_file_is_refused(written, line):
    written.update({"a.js": f"{line}\n", "b.js": "export const b = 1;\n"})

    with pytest.raises(ValueError, match=r"a\.js cannot be put into one file"):
        in_one_script("a.js")


def test_scripts_that_import_each_other_are_refused(written):
    written.update({"a.js": 'import "./b.js";\n', "b.js": 'import "./a.js";\n'})

    with pytest.raises(ValueError, match=r"a\.js imports b\.js imports a\.js"):
        in_one_script("a.js")


def test_a_sheet_takes_its_parts_in_each_in_its_layer(written):
    written["css/app.css"] = (
        "@layer base, pages;\n/* First */\n"
        '@import url("base.css") layer(base);\n@import url("pages/a.css") layer(pages);\n'
    )
    written["css/base.css"] = "/* Why */\na { color: inherit }\n"
    written["css/pages/a.css"] = "b { margin: 0 }\n"

    text = in_one_sheet("css/app.css")

    assert re.sub(r"\s+", " ", text).strip() == (
        "@layer base, pages; @layer base { a { color: inherit } } @layer pages { b { margin: 0 } }"
    )


@pytest.mark.parametrize("line", ['@import url("b.css");', "a { background: url(dot.png) }"])
def test_a_part_that_names_another_file_is_refused(written, line):
    written.update({"app.css": '@import url("a.css") layer(base);\n', "a.css": line})

    with pytest.raises(ValueError, match="names another file"):
        in_one_sheet("app.css")


def test_every_import_of_a_real_page_is_found():
    parts = parts_of("js/phone/pages/today.js")

    assert {"js/phone/store.js", "js/phone/set_grid.js", "js/say.js"} <= set(parts)
    assert len(parts) == len(set(parts))


def test_plain_files_are_fetched_beside_the_script_that_imports_them():
    tags = Template('{% load scripts %}{% module "js/phone/pages/today.js" %}').render(Context())

    scripts = re.findall(r'<script type="module" src="/static/([^"]+)">', tags)
    ahead = re.findall(r'<link rel="modulepreload" href="/static/([^"]+)">', tags)
    assert scripts == ["js/phone/pages/today.js"]
    assert ahead == list(parts_of("js/phone/pages/today.js")[1:])


@pytest.mark.parametrize("path", sorted((Path(project.BASE_DIR) / "templates").rglob("*.html")))
def test_a_page_loads_scripts_of_the_phone_in_one_file_only(path):
    # A second script would bring a second store, with another outbox in its hands.
    text = path.read_text()

    assert text.count("js/phone/") == len(
        re.findall(r'{% module "js/phone/pages/\w+\.js" %}', text)
    )


def test_gathered_files_hold_everything_and_name_each_other_by_hash(settings, tmp_path):
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "clients.static_storage.GatheredFiles"},
    }

    call_command("collectstatic", interactive=False, verbosity=0)

    names = json.loads((tmp_path / "staticfiles.json").read_text())["paths"]
    sheet = (tmp_path / names["css/app.css"]).read_text()
    assert "@import" not in sheet
    assert ".phone-foot" in sheet
    app = (tmp_path / names["js/app.js"]).read_text()
    imported = re.findall(r'^import .*?"\./([^"]+)";$', app, re.MULTILINE)
    assert imported
    assert {f"js/{name}" for name in imported} <= set(names.values())
    for page in PAGES:
        script = tmp_path / names[page]
        text = script.read_text()
        assert not re.search(r"^(?:import|export)\b", text, re.MULTILINE)
        assert gzip.decompress(Path(f"{script}.gz").read_bytes()).decode() == text
        node = shutil.which("node")
        assert node
        copy = tmp_path / "page.mjs"
        copy.write_text(text)
        subprocess.run([node, "--check", str(copy)], check=True, capture_output=True)  # noqa: S603
