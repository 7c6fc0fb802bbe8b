"""What the README tells a reader to type works."""

import json
import re
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from solver import files
from solver.analysis import analyse
from solver.errors import FileProblem

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_python_example_prints_what_it_says() -> None:
    blocks = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    assert len(blocks) == 1
    done = subprocess.run(
        [sys.executable, "-c", blocks[0]], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    first, rest = done.stdout.split("N\n", 1)
    assert float(first) > 0
    assert "nan" not in rest


def test_the_project_file_that_it_shows_is_whole_and_fits_the_schema_that_it_names() -> None:
    (text,) = re.findall(r"```json\n(.*?)```", README, re.DOTALL)
    assert text.count("\n") <= 14
    project = files.loads(text)
    analysis = analyse(project.design)
    assert analysis.good
    assert all(limit.holds for limit in analysis.limits)
    record = json.loads(text)
    for key in ("format", "version"):
        assert f'`"{key}": {json.dumps(record[key])}`' in README
    schema = ROOT / "assets" / "throwover.schema.json"
    assert f"`{schema.relative_to(ROOT)}`" in README
    jsonschema.validate(record, json.loads(schema.read_text(encoding="utf-8")))


def test_what_it_says_of_a_wrong_file_is_what_is_said() -> None:
    (text,) = re.findall(r"```json\n(.*?)```", README, re.DOTALL)
    with pytest.raises(FileProblem) as refused:
        files.loads(text.replace('"rate": 1.2', '"rate": "soft"'))
    assert "`variants[0].design.springs[0].rate: expected a number, found text`" in README
    assert "variants[0].design.springs[0].rate: expected a number, found text" in str(refused.value)


def test_the_commands_it_names_exist() -> None:
    scripts = re.findall(r"python (packaging/\S+\.py)", README)
    assert set(scripts) == {"packaging/start.py", "packaging/test.py"}
    assert all((ROOT / script).exists() for script in scripts)


def test_its_links_and_pictures_exist() -> None:
    targets = re.findall(r"\]\(([^)#:]+)\)", README)
    assert targets
    assert [target for target in targets if not (ROOT / target).exists()] == []
