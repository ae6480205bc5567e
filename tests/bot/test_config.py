"""Settings: every wrong one is named, with an example, and the token is never shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.config import PREFIX, Config, ConfigInvalid, load_config

TOKEN = "123456789:AAE-not-a-real-one"


@pytest.fixture
def environment(monkeypatch):
    """Set variables in an environment that has none of ours; returns the way to set them."""
    for name in Config.model_fields:
        monkeypatch.delenv(f"{PREFIX}{name.upper()}", raising=False)

    def set_(**values: str):
        for name, value in values.items():
            monkeypatch.setenv(f"{PREFIX}{name.upper()}", value)

    return set_


def problems(environment, **values: str):
    environment(**values)
    with pytest.raises(ConfigInvalid) as info:
        load_config()
    return info.value.problems


def test_a_token_is_enough(environment):
    environment(token=TOKEN)

    config = load_config()

    assert config.token.get_secret_value() == TOKEN
    assert config.database_url == "sqlite+aiosqlite:///rungbell.sqlite3"
    assert config.api_url == "https://api.telegram.org/bot"
    assert config.challenge is None
    assert config.log_level == "INFO"


def test_everything_can_be_set(environment, tmp_path):
    environment(
        token=TOKEN,
        database_url="sqlite+aiosqlite:///other.sqlite3",
        api_url="http://127.0.0.1:8081/bot",
        challenge=str(tmp_path),
        log_level="warning",
    )

    config = load_config()

    assert config.database_url == "sqlite+aiosqlite:///other.sqlite3"
    assert config.api_url == "http://127.0.0.1:8081/bot"
    assert config.challenge == Path(tmp_path)
    assert config.log_level == "WARNING"


def test_a_missing_token_is_named_with_an_example(environment):
    assert problems(environment) == {
        "RUNGBELL_TOKEN": "not set; for example 123456789:AAE... as BotFather gave it"
    }


@pytest.mark.parametrize(
    ("name", "value", "example"),
    [
        pytest.param("token", "secret", "123456789:AAE...", id="token_without_a_number"),
        pytest.param("token", "bot:AAE", "123456789:AAE...", id="token_with_a_word"),
        pytest.param("token", "123456789:", "123456789:AAE...", id="token_without_its_end"),
        pytest.param("token", "", "123456789:AAE...", id="empty_token"),
        pytest.param("api_url", "api.telegram.org", "https://", id="address_without_scheme"),
        pytest.param("api_url", "file:///etc/hosts", "https://", id="address_of_a_file"),
        pytest.param("challenge", "/no/such/folder", "my-challenge", id="no_such_folder"),
        pytest.param("log_level", "LOUD", "INFO", id="no_such_level"),
    ],
)
def test_a_wrong_setting_is_named_with_an_example(environment, name, value, example):
    found = problems(environment, **({"token": TOKEN} | {name: value}))

    assert found.keys() == {f"RUNGBELL_{name.upper()}"}
    [text] = found.values()
    assert "; for example " in text
    assert example in text.partition("; for example ")[2]


def test_all_wrong_settings_are_named_at_once(environment):
    found = problems(environment, api_url="nowhere", challenge="/no/such", log_level="LOUD")

    assert found.keys() == {
        "RUNGBELL_TOKEN",
        "RUNGBELL_API_URL",
        "RUNGBELL_CHALLENGE",
        "RUNGBELL_LOG_LEVEL",
    }


def test_the_token_is_never_shown(environment):
    environment(token=TOKEN)
    config = load_config()

    shown = [repr(config), str(config), config.model_dump_json(), repr(config.model_dump())]

    assert not any("AAE-not-a-real-one" in text for text in shown)


def test_a_wrong_token_is_not_shown_either(environment):
    environment(token="AAE-not-a-real-one")
    with pytest.raises(ConfigInvalid) as info:
        load_config()

    assert "AAE-not-a-real-one" not in f"{info.value}{info.value!r}"
    assert info.value.__cause__ is None
    assert info.value.__suppress_context__


def test_settings_of_others_do_not_matter(environment, monkeypatch):
    environment(token=TOKEN)
    monkeypatch.setenv("RUNGBELL_FAVOURITE_COLOUR", "teal")
    monkeypatch.setenv("TOKEN", "999999999:other")

    assert load_config().token.get_secret_value() == TOKEN


def test_every_setting_has_its_description():
    assert all(field.description for field in Config.model_fields.values())
