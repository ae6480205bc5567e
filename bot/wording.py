"""Fill the texts of a language; whatever comes from outside is escaped."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from content.texts import Counted, load_texts


class Wording:
    """One language's texts, as Telegram HTML."""

    def __init__(self, language: str = "en") -> None:
        self._texts = load_texts(language)

    def __call__(self, key: str, **values: object) -> Markup:
        """Fill a text; `count` chooses between its forms.

        Raises:
            KeyError: There is no such text, or a value it needs is missing.
        """
        text = self._texts[key]
        if isinstance(text, Counted):
            text = text.one if values.get("count") == 1 else text.other
        return Markup(text).format(**values)  # noqa: S704 - the text is ours, format() escapes the values


def lines(parts: Iterable[Markup | str | None]) -> Markup:
    """Join lines, leaving out what is None; strings are escaped."""
    return Markup("\n").join(part for part in parts if part is not None)
