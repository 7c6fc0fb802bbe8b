"""What the README tells a reader to type works."""

import re
import subprocess
import sys
from pathlib import Path

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


def test_the_commands_it_names_exist() -> None:
    scripts = re.findall(r"python (packaging/\S+\.py)", README)
    assert set(scripts) == {"packaging/start.py", "packaging/test.py"}
    assert all((ROOT / script).exists() for script in scripts)


def test_its_links_and_pictures_exist() -> None:
    targets = re.findall(r"\]\(([^)#:]+)\)", README)
    assert targets
    assert [target for target in targets if not (ROOT / target).exists()] == []
