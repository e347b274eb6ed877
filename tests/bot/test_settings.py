"""Settings: read, checked as a whole, and documented, each fault in one line."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.operate import settings
from bot.operate.settings import Address, SettingsBroken, load

ROOT = Path(__file__).resolve().parents[2]
TOKEN = "1234567:an-invented-token"
SECRET = "a-secret-nobody-guesses"
HOOK = {
    "WEBHOOK_URL": "https://bot.example/hook",
    "WEBHOOK_LISTEN": "127.0.0.1:8443",
    "WEBHOOK_SECRET": SECRET,
}


def faults(environment: dict[str, str], **options: object) -> list[tuple[str, str]]:
    with pytest.raises(SettingsBroken) as raised:
        load(environment, **options)  # type: ignore[arg-type]
    return [(fault.name, fault.what) for fault in raised.value.faults]


def test_nothing_set_gives_the_defaults() -> None:
    found = load({})
    assert found.telegram_bot_token is None
    assert found.telegram_api_url == "https://api.telegram.org"
    assert found.database_url == "sqlite:///traywarden.sqlite3"
    assert found.log_level == "INFO"
    assert found.webhook_url is found.webhook_listen is found.webhook_secret is None
    assert found.health_listen is None


def test_every_setting_is_read() -> None:
    found = load(
        {
            "TELEGRAM_BOT_TOKEN": TOKEN,
            "TELEGRAM_API_URL": "http://127.0.0.1:8081/",
            "DATABASE_URL": "postgres://me:pw@db/traywarden",
            "LOG_LEVEL": "debug",
            "HEALTH_LISTEN": "[::1]:9090",
            **HOOK,
        }
    )
    assert found.telegram_bot_token == TOKEN
    assert found.telegram_api_url == "http://127.0.0.1:8081"
    assert found.database_url == "postgresql://me:pw@db/traywarden"
    assert found.log_level == "DEBUG"
    assert found.webhook_url == HOOK["WEBHOOK_URL"]
    assert found.webhook_secret == SECRET
    assert found.webhook_listen == Address(host="127.0.0.1", port=8443)
    assert found.health_listen == Address(host="::1", port=9090)


WRONG = [
    ("TELEGRAM_BOT_TOKEN", "abc"),
    ("TELEGRAM_BOT_TOKEN", "1234567:short"),
    ("TELEGRAM_API_URL", "api.telegram.org"),
    ("TELEGRAM_API_URL", "ftp://api.telegram.org"),
    ("TELEGRAM_API_URL", "https://api.telegram.org:port"),
    ("DATABASE_URL", "records.db"),
    ("DATABASE_URL", "mysql://me@db/traywarden"),
    ("DATABASE_URL", "sqlite://traywarden.sqlite3"),
    ("DATABASE_URL", "postgresql:///"),
    ("DATABASE_URL", "postgresql://me@db:port/traywarden"),
    ("LOG_LEVEL", "LOUD"),
    ("HEALTH_LISTEN", "9090"),
    ("HEALTH_LISTEN", "localhost:0"),
    ("HEALTH_LISTEN", "localhost:65536"),
    ("HEALTH_LISTEN", ":9090"),
]


@pytest.mark.parametrize(("name", "value"), WRONG)
def test_a_wrong_value_is_one_line_that_says_what_to_set(name: str, value: str) -> None:
    ((found, what),) = faults({name: value})
    assert found == name
    assert "set it to" in what
    assert "\n" not in what


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"WEBHOOK_URL": "bot.example/hook"}, "WEBHOOK_URL"),
        ({"WEBHOOK_URL": "http://bot.example/hook"}, "WEBHOOK_URL"),
        ({"WEBHOOK_URL": "", "WEBHOOK_SECRET": ""}, "WEBHOOK_LISTEN"),
        ({"WEBHOOK_URL": "", "WEBHOOK_LISTEN": ""}, "WEBHOOK_SECRET"),
        ({"WEBHOOK_LISTEN": ""}, "WEBHOOK_LISTEN"),
        ({"WEBHOOK_LISTEN": "here"}, "WEBHOOK_LISTEN"),
        ({"WEBHOOK_SECRET": ""}, "WEBHOOK_SECRET"),
        ({"WEBHOOK_SECRET": "too short"}, "WEBHOOK_SECRET"),
    ],
)
def test_webhook_settings_are_checked_together(change: dict[str, str], name: str) -> None:
    assert [found for found, _ in faults({**HOOK, **change})] == [name]


def test_a_webhook_without_https_suits_only_a_server_of_ones_own() -> None:
    own = {**HOOK, "WEBHOOK_URL": "http://127.0.0.1:1/x", "TELEGRAM_API_URL": "http://127.0.0.1:2"}
    assert load(own).webhook_url == "http://127.0.0.1:1/x"


def test_a_missing_token_is_a_fault_only_for_serving() -> None:
    assert [name for name, _ in faults({}, need_token=True)] == ["TELEGRAM_BOT_TOKEN"]
    assert load({"TELEGRAM_BOT_TOKEN": TOKEN}, need_token=True).telegram_bot_token == TOKEN


def test_all_faults_come_at_once() -> None:
    many = faults({"LOG_LEVEL": "x", "DATABASE_URL": "x", "HEALTH_LISTEN": "x"}, need_token=True)
    assert {name for name, _ in many} == {
        "LOG_LEVEL", "DATABASE_URL", "HEALTH_LISTEN", "TELEGRAM_BOT_TOKEN",
    }  # fmt: skip


def test_no_secret_is_ever_shown() -> None:
    bad = {
        "TELEGRAM_BOT_TOKEN": "12:secret!",
        "DATABASE_URL": "mysql://me:secret!@db",
        "WEBHOOK_SECRET": "secret!",
    }
    assert "secret!" not in "".join(what for _, what in faults(bad))
    good = load({"TELEGRAM_BOT_TOKEN": TOKEN, "DATABASE_URL": "postgresql://me:pw@db/x", **HOOK})
    for hidden in (TOKEN, "pw@", SECRET):
        assert hidden not in repr(good)


def test_the_file_is_read_and_the_environment_wins(tmp_path: Path) -> None:
    file = tmp_path / ".env"
    file.write_text(f"TELEGRAM_BOT_TOKEN='{TOKEN}'\nLOG_LEVEL=ERROR\n", encoding="utf-8")
    found = load({"LOG_LEVEL": "DEBUG", "TELEGRAM_BOT_TOKEN": ""}, env_file=file)
    assert (found.telegram_bot_token, found.log_level) == (TOKEN, "DEBUG")
    assert load({}, env_file=tmp_path / "none").log_level == "INFO"


def test_a_slip_in_a_name_of_the_file_is_pointed_out(tmp_path: Path) -> None:
    file = tmp_path / ".env"
    file.write_text("TELEGRAM_TOKEN=1\nPOSTGRES_PASSWORD=x\nlog_level=DEBUG\n", encoding="utf-8")
    found = dict(faults({}, env_file=file))
    assert set(found) == {"TELEGRAM_TOKEN", "log_level"}
    assert "TELEGRAM_BOT_TOKEN" in found["TELEGRAM_TOKEN"]
    assert "LOG_LEVEL" in found["log_level"]


def test_a_file_that_is_no_text_is_one_fault(tmp_path: Path) -> None:
    file = tmp_path / ".env"
    file.write_bytes(b"\xff\xfe\x00")
    assert [name for name, _ in faults({}, env_file=file, need_token=True)] == [".env"]


def test_every_setting_is_documented_with_its_default() -> None:
    example = (ROOT / ".env.example").read_text(encoding="utf-8")
    lines = [line for line in example.splitlines() if line and not line.startswith("#")]
    documented = dict(line.split("=", 1) for line in lines)
    assert documented == {one.name: one.default for one in settings.SETTINGS}
    for block in example.split("\n\n")[1:]:
        assert block.startswith("# "), f"no word about {block}"
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for one in settings.SETTINGS:
        assert f"| `{one.name}` | {one.about} |" in readme


def test_the_example_is_a_working_file() -> None:
    assert load({}, env_file=ROOT / ".env.example") == load({})


def test_a_secret_may_lie_in_a_file_of_its_own(tmp_path: Path) -> None:
    kept = tmp_path / "token"
    kept.write_text(TOKEN + "\n", encoding="utf-8")
    url = tmp_path / "url"
    url.write_text("postgresql://me:pw@db/x", encoding="utf-8")
    given = {"TELEGRAM_BOT_TOKEN_FILE": str(kept), "DATABASE_URL_FILE": str(url)}
    found = load({**given, "TELEGRAM_BOT_TOKEN": ""}, need_token=True)
    assert found.telegram_bot_token == TOKEN
    assert found.database_url == "postgresql://me:pw@db/x"
    env_file = tmp_path / ".env"
    env_file.write_text(f"TELEGRAM_BOT_TOKEN_FILE={kept}\n", encoding="utf-8")
    assert load({}, env_file=env_file, need_token=True).telegram_bot_token == TOKEN


@pytest.mark.parametrize(
    ("held", "said"),
    [
        (None, "names no text file"),
        (b"", "nothing in it"),
        (b"\xff\xfe", "names no text file"),
        (b"1" * 5000, "names no text file"),
    ],
)
def test_a_file_without_a_secret_is_a_fault(tmp_path: Path, held: bytes | None, said: str) -> None:
    kept = tmp_path / "token"
    if held is not None:
        kept.write_bytes(held)
    found = faults({"TELEGRAM_BOT_TOKEN_FILE": str(kept)}, need_token=True)
    ((name, what),) = found
    assert name == "TELEGRAM_BOT_TOKEN_FILE"
    assert said in what


def test_what_a_file_holds_is_checked_and_not_shown(tmp_path: Path) -> None:
    kept = tmp_path / "token"
    kept.write_text("12:secret!", encoding="utf-8")
    found = faults({"TELEGRAM_BOT_TOKEN_FILE": str(kept)})
    assert [name for name, _ in found] == ["TELEGRAM_BOT_TOKEN"]
    assert "secret!" not in found[0][1]
    both = {"TELEGRAM_BOT_TOKEN_FILE": str(kept), "TELEGRAM_BOT_TOKEN": TOKEN}
    assert [name for name, _ in faults(both)] == ["TELEGRAM_BOT_TOKEN_FILE"]
