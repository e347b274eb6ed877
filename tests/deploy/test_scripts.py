"""What runs the bot: scripts parse, lock files hold no address, the README matches the tables."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from bot.grammar.commands import COMMANDS
from bot.operate.settings import NAMES, SETTINGS
from bot.operate.version import VERSION
from deploy import readme_parts

ROOT = Path(__file__).resolve().parents[2]
DEPLOY = ROOT / "deploy"
SCRIPTS = ("try", "test", "serve", "lock", "drill")
BASH = shutil.which("bash") or "bash"


def text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def pins(name: str) -> dict[str, set[str]]:
    """Return each pinned line of a lock file, without its hashes, and its hashes."""
    found: dict[str, set[str]] = {}
    for block in re.split(r"\n(?=[A-Za-z0-9])", text(f"deploy/{name}").strip()):
        head, *hashes = block.replace("\\\n", "\n").split("\n")
        found[head.strip()] = {one.strip() for one in hashes}
    return found


# --- scripts ---


@pytest.mark.parametrize("name", [*SCRIPTS, "set-up.sh"])
def test_a_script_is_sound_bash(name: str) -> None:
    done = subprocess.run([BASH, "-n", str(DEPLOY / name)], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_script_can_be_run_and_stops_at_the_first_failure(name: str) -> None:
    path = DEPLOY / name
    assert os.access(path, os.X_OK)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "#!/usr/bin/env bash"
    assert "set -euo pipefail" in lines


def test_ci_runs_exactly_the_test_script() -> None:
    commands = [line for line in text(".ci/run").splitlines() if line and line[0] != "#"]
    assert commands == ["set -euo pipefail", 'cd "$(dirname "$0")/.."', "deploy/test"]


def test_the_quick_tests_are_there() -> None:
    lines = [line.partition("#")[0].strip() for line in text("deploy/quick-tests.txt").splitlines()]
    named = [line for line in lines if line]
    assert len(named) > 10
    assert [one for one in named if not (ROOT / one).exists()] == []


def test_try_leaves_a_command_that_runs_from_another_folder(tmp_path: Path) -> None:
    home = tmp_path / "a folder's home"
    (home / "bin").mkdir(parents=True)
    (home / "bin" / "python").symlink_to(sys.executable)
    put = '. "$1/deploy/set-up.sh"; put_command "$2" "$1"'
    subprocess.run([BASH, "-c", put, "put", str(ROOT), str(home)], check=True)
    said = subprocess.run(
        [home / "bin" / "traywarden", "--version"],
        cwd=tmp_path,
        env={k: v for k, v in os.environ.items() if k != "PYTHONPATH"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (said.returncode, said.stdout) == (0, f"traywarden {VERSION}\n"), said.stderr


def fake_python(folder: Path, body: str) -> None:
    """Put a `python3` in a folder, the only Python to be found there."""
    folder.mkdir()
    for tool in ("dirname", "basename", "cat", "rm", "env", "bash"):
        (folder / tool).symlink_to(str(shutil.which(tool)))
    python = folder / "python3"
    python.write_text(f"#!{BASH}\n{body}\n")
    python.chmod(0o755)


OLD = 'if [ "$1" = --version ]; then echo "Python 3.9.2"; exit 0; fi; exit 1'
NO_VENV = """
if [ "$1" = --version ]; then echo "Python 3.12.1"; exit 0; fi
case "$2" in *version_info*) exit 0 ;; esac
exit 1
"""


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (OLD, ["Python 3.11 or newer is needed", "python3 here is Python 3.9.2"]),
        (NO_VENV, ["Python 3.12.1 lacks the venv module", "sudo apt install python3-venv"]),
    ],
    ids=["too old", "no venv"],
)
def test_what_is_missing_is_said_plainly(tmp_path: Path, body: str, words: list[str]) -> None:
    fake_python(tmp_path / "bin", body)
    done = subprocess.run(
        [BASH, str(DEPLOY / "try")],
        env={
            "PATH": str(tmp_path / "bin"),
            "HOME": str(tmp_path),
            "TRAYWARDEN_VENV": str(tmp_path / "venv"),
        },
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    for said in words:
        assert said in done.stderr
    assert not (tmp_path / "venv").exists()
    assert "Traceback" not in done.stderr


# --- lock files ---


@pytest.mark.parametrize("name", ["lock.txt", "lock-test.txt"])
def test_a_lock_file_holds_names_versions_and_hashes_only(name: str) -> None:
    assert "://" not in text(f"deploy/{name}")
    found = pins(name)
    assert len(found) > 30
    for pin, hashes in found.items():
        assert re.fullmatch(r"[a-z0-9.-]+(\[[a-z0-9,-]+\])?==[\w.+!-]+( ; .+)?", pin), pin
        assert hashes, pin
        for one in hashes:
            assert re.fullmatch(r"--hash=sha256:[0-9a-f]{64}", one), (pin, one)


def test_the_lock_of_the_bot_is_part_of_the_lock_of_the_tests() -> None:
    run, test = pins("lock.txt"), pins("lock-test.txt")
    assert run.items() <= test.items()


def test_every_dependency_is_locked() -> None:
    project = tomllib.loads(text("pyproject.toml"))["project"]
    wanted = {
        "lock.txt": project["dependencies"],
        "lock-test.txt": project["dependencies"] + project["optional-dependencies"]["test"],
    }
    for name, requirements in wanted.items():
        locked = {re.split(r"[\[=]", pin)[0] for pin in pins(name)}
        for requirement in requirements:
            plain = re.split(r"[\[<>=!~ ;]", requirement)[0].lower().replace("_", "-")
            assert plain in locked, (name, requirement)


# --- README ---


def test_the_readme_holds_what_the_tables_give() -> None:
    readme = text("README.md")
    assert readme_parts.filled(readme) == readme, "run: python -m deploy.readme_parts"


def test_the_readme_lists_every_command_people_type() -> None:
    listed = re.findall(r"^- `/(\w+)`:", text("README.md"), re.MULTILINE)
    assert sorted(listed) == sorted(c.word for c in COMMANDS if c.section != "buttons")


def test_the_readme_opens_with_the_job_and_then_the_two_commands() -> None:
    _, job, heading = text("README.md").split("\n\n")[:3]
    assert job.startswith("Traywarden looks after")
    assert heading == "## Try it"
    block = text("README.md").split("```")[1]
    assert [line.split()[0] for line in block.strip().splitlines()] == ["deploy/try", "deploy/test"]


def test_links_of_the_readme_lead_to_files() -> None:
    for target in re.findall(r"\]\(([^)]+)\)", text("README.md")):
        if target != "DEVELOPERS.md":
            assert (ROOT / target).exists(), target


# --- running it for good ---


def test_the_containers_pass_every_setting_on() -> None:
    compose = text("deploy/compose.yaml")
    for name in NAMES:
        assert re.search(rf"^      {name}: ", compose, re.MULTILINE), name


def test_nothing_that_is_deployed_holds_a_secret() -> None:
    secrets = [one.name for one in SETTINGS if one.secret and not one.default]
    for name in (".env.example", "deploy/traywarden.service", "deploy/Containerfile"):
        for secret in secrets:
            assert not re.search(rf"{secret}=\S", text(name)), (name, secret)
    assert ".env" in text(".gitignore").splitlines()
    assert ".env" in text(".containerignore").splitlines()


def test_the_unit_is_hardened_and_leaves_wrong_settings_alone() -> None:
    unit = text("deploy/traywarden.service")
    for line in (
        "DynamicUser=yes",
        "NoNewPrivileges=yes",
        "ProtectSystem=strict",
        "ProtectHome=yes",
        "CapabilityBoundingSet=",
        "RestartPreventExitStatus=2",
    ):
        assert line in unit.splitlines()


def test_the_builder_gets_what_the_container_copies_and_no_records() -> None:
    kept = {line[1:] for line in text(".dockerignore").splitlines() if line.startswith("!")}
    copied = {
        line.split()[1]
        for line in text("deploy/Containerfile").splitlines()
        if line.startswith("COPY ") and "--from" not in line
    }
    assert kept == copied
    assert "*" in text(".dockerignore").splitlines()
