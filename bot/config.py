"""Settings from the environment, read once at start-up."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pydantic import Field, SecretStr, ValidationError, field_validator
from pydantic_settings import BaseSettings, SettingsConfigDict

PREFIX = "RUNGBELL_"
_EXAMPLES = {
    "token": "123456789:AAE... as BotFather gave it",
    "database_url": "sqlite+aiosqlite:///rungbell.sqlite3",
    "api_url": "https://api.telegram.org/bot",
    "challenge": "a folder such as my-challenge",
    "log_level": "INFO",
}


class ConfigInvalid(Exception):
    """A setting has a value that cannot work."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        self.problems = dict(problems)
        super().__init__("\n".join(f"{name}: {text}" for name, text in problems.items()))


class Config(BaseSettings):
    """Everything the environment decides. Each field is RUNGBELL_ and its name in capitals."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, frozen=True, extra="ignore")

    token: SecretStr = Field(description="the bot's token from BotFather")
    database_url: str = Field(
        default="sqlite+aiosqlite:///rungbell.sqlite3",
        description="where results are kept; the file is made at the first start",
    )
    api_url: str = Field(
        default="https://api.telegram.org/bot",
        description="address of the Bot API, up to the token",
    )
    challenge: Path | None = Field(
        default=None,
        description="folder of the challenge that /begin offers; without it the demo",
    )
    log_level: str = Field(default="INFO", description="DEBUG, INFO, WARNING or ERROR")

    @field_validator("token")
    @classmethod
    def _looks_like_a_token(cls, token: SecretStr) -> SecretStr:
        number, colon, rest = token.get_secret_value().partition(":")
        if not (number.isdecimal() and colon and rest):
            raise ValueError("not a bot token")
        return token

    @field_validator("api_url")
    @classmethod
    def _is_an_address(cls, url: str) -> str:
        if not url.startswith(("http://", "https://")):
            raise ValueError("not an http address")
        return url

    @field_validator("challenge")
    @classmethod
    def _is_a_folder(cls, folder: Path | None) -> Path | None:
        if folder is not None and not folder.is_dir():
            raise ValueError(f"there is no folder {folder}")
        return folder

    @field_validator("log_level")
    @classmethod
    def _is_a_level(cls, level: str) -> str:
        if level.upper() not in {"DEBUG", "INFO", "WARNING", "ERROR"}:
            raise ValueError("not a log level")
        return level.upper()


class Place(BaseSettings):
    """Where the database is, for commands that need no token."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, frozen=True, extra="ignore")

    database_url: str = Config.model_fields["database_url"].default


def load_config() -> Config:
    """Read the settings.

    Raises:
        ConfigInvalid: Names every variable that is missing or wrong, with an example.
    """
    try:
        return Config()
    except ValidationError as error:
        problems = {}
        for details in error.errors():
            field = str(details["loc"][0])
            said = (
                "not set"
                if details["type"] == "missing"
                else details["msg"].removeprefix("Value error, ")
            )
            problems[f"{PREFIX}{field.upper()}"] = f"{said}; for example {_EXAMPLES[field]}"
        raise ConfigInvalid(problems) from None
