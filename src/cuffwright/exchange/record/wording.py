"""The words of a record in a language, from its file of texts."""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from cuffwright.case.errors import FormatError
from cuffwright.case.record import RecordLine
from cuffwright.exchange.toml_text import read_format

LANGUAGES = ("en", "de")
TRANSLATED = {"field", "look", "side", "row", "kind", "knot", "which", "tissue", "bone", "what", "planned"}
"""Fillings that may be words; free text never is, whatever it begins with."""

FORMAT = 1
"""The format of a file of texts."""


@dataclass(frozen=True)
class Wording:
    """All texts of one language."""

    language: str
    texts: dict[str, Any]

    def frame(self, key: str) -> str:
        """A word of the frame; raises FormatError when the file lacks it."""
        return self._of("frame", key)

    def section(self, key: str) -> str:
        """The title of a section."""
        return self._of("section", key)

    def standing(self, key: str) -> str:
        """A standing in words."""
        return self._of("standing", key)

    def missing(self, key: str) -> str:
        """A content nobody gave, in words."""
        found = self.texts["missing"].get(key)
        return str(found) if found else self._of("word", f"field.{key}")

    def line(self, line: RecordLine) -> str:
        """One line in words."""
        fill = {name: self._word(value) if name in TRANSLATED else value for name, value in line.fill}
        return self._of("line", line.words).format(**fill)

    def _word(self, value: str) -> str:
        if not value.startswith("@"):
            return value
        key = value[1:]
        found = self.texts["word"].get(key)
        return str(found) if found else key.partition(".")[2] or key

    def _of(self, table: str, key: str) -> str:
        try:
            return str(self.texts[table][key])
        except KeyError:
            raise FormatError(f"the texts in {self.language} lack {table}.{key}; add it to their file") from None


@cache
def wording(language: str) -> Wording:
    """The texts of ``language``; raises FormatError naming the languages there are."""
    if language not in LANGUAGES:
        raise FormatError(f"there are no texts in {language[:20]!r}; choose one of {', '.join(LANGUAGES)}")
    place = files("cuffwright.exchange.record") / "words" / f"{language}.toml"
    return Wording(language, read_format(place.read_text("utf-8"), place.name, FORMAT))
