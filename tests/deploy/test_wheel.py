"""The wheel holds all that the bot needs: installed alone, it runs from any other folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.faults.processes import TOKEN, ServerProcess

ROOT = Path(__file__).resolve().parents[2]
STARTS_WITHIN_S = 60.0
UNTRACKED = ("__pycache__",)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel from a copy, so that nothing is left in the checkout."""
    if os.environ.get("CI") != "true":
        pytest.skip("builds a wheel: with CI=true only")
    folder = tmp_path_factory.mktemp("wheel")
    copy = folder / "source"
    ignored = shutil.ignore_patterns(*UNTRACKED)
    for room in ("bot", "core"):
        shutil.copytree(ROOT / room, copy / room, ignore=ignored)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy / name)
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    subprocess.run([*pip, "wheel", "-q", "--no-deps", "-w", folder, copy], check=True)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel alone into a folder; the libraries are those of this Python."""
    folder = tmp_path_factory.mktemp("installed")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    subprocess.run(
        [*pip, "install", "-q", "--no-deps", "--no-index", "--target", folder, wheel], check=True
    )
    return folder


def environment(installed: Path, elsewhere: Path) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("XDG_", "TRAYWARDEN"))}
    return {**kept, "PYTHONPATH": str(installed), "HOME": str(elsewhere)}


def ran(installed: Path, elsewhere: Path, *words: str, typed: str = "") -> str:
    """Run the installed command in another folder and return what it prints."""
    done = subprocess.run(
        [installed / "bin" / "traywarden", *words],
        cwd=elsewhere,
        env=environment(installed, elsewhere),
        input=typed,
        capture_output=True,
        text=True,
        timeout=STARTS_WITHIN_S,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def test_the_wheel_holds_each_file_of_bot_and_core(wheel: Path) -> None:
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    there = {
        path.relative_to(ROOT).as_posix()
        for room in ("bot", "core")
        for path in (ROOT / room).rglob("*")
        if path.is_file() and not set(path.parts) & set(UNTRACKED)
    }
    assert packed == there


def test_the_installed_code_is_the_one_that_runs(installed: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-P", "-c", "import bot, core; print(bot.__file__, core.__file__)"],
        cwd=tmp_path,
        env=environment(installed, tmp_path),
        capture_output=True,
        text=True,
        check=True,
    )
    assert [Path(one).parent.parent for one in done.stdout.split()] == [installed, installed]


def test_check_finds_its_tables(installed: Path, tmp_path: Path) -> None:
    assert ran(installed, tmp_path, "check").splitlines()[-1].endswith("sound.")


def test_chat_answers_in_two_languages(installed: Path, tmp_path: Path) -> None:
    said = ran(
        installed,
        tmp_path,
        "chat",
        "--empty",
        typed="/help\n/start Nest\n/site language spanish\n/help\n",
    )
    assert "/sow" in said
    assert "lo que he anotado" in said


def test_serve_starts_and_stops(installed: Path, tmp_path: Path) -> None:
    with ServerProcess() as server:
        process = subprocess.Popen(
            [installed / "bin" / "traywarden", "serve"],
            cwd=tmp_path,
            env={
                **environment(installed, tmp_path),
                "TELEGRAM_BOT_TOKEN": TOKEN,
                "TELEGRAM_API_URL": server.url,
                "LOG_LEVEL": "INFO",
                "DATABASE_URL": f"sqlite:///{tmp_path / 'group.sqlite3'}",
            },
            stderr=subprocess.PIPE,
            text=True,
        )
        try:
            assert process.stderr is not None
            lines: list[str] = []
            while "serving" not in "".join(lines) and (line := process.stderr.readline()):
                lines.append(line)
        finally:
            process.terminate()
            process.communicate(timeout=STARTS_WITHIN_S)
    assert process.returncode == 0, lines
    assert lines[-1].rstrip().endswith("serving")
