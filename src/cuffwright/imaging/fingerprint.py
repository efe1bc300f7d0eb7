"""Name, identifier and birth date as salted hashes, so that they can be compared and not read."""

import hashlib
import hmac
import secrets
import unicodedata
from dataclasses import dataclass
from datetime import date

_RUN_SALT = secrets.token_bytes(32)


@dataclass(frozen=True)
class Fingerprint:
    """Hashes of the normalised name, identifier and birth date; ``None`` where nothing was written."""

    name: str | None
    identifier: str | None
    birth_date: str | None


def fingerprint(name: str, identifier: str, birth_date: str, salt: bytes | None = None) -> Fingerprint:
    """Hash the three identifiers with ``salt``, or with the secret of this run when none is given.

    Parameters
    ----------
    name
        As written; case, accents, punctuation and the order of its parts do not count.
    identifier
        As written; case and blanks do not count.
    birth_date
        ``YYYYMMDD``, ``YYYY-MM-DD`` or ``YYYY.MM.DD``.
    salt
        Secret of the case or the practice.

    Examples
    --------
    >>> fingerprint("Invented^Ann", "7", "19500112", b"s") == fingerprint("ANN INVENTED", " 7", "1950-01-12", b"s")
    True
    """
    key = _RUN_SALT if salt is None else salt
    return Fingerprint(
        _hashed(key, "name", _plain_name(name)),
        _hashed(key, "identifier", "".join(identifier.split()).casefold()),
        _hashed(key, "birth date", (read_date(birth_date) or "") and str(read_date(birth_date))),
    )


def read_date(text: str) -> date | None:
    """The day written in ``text``, or nothing when it is none."""
    digits = text.strip().replace(".", "").replace("-", "")
    if len(digits) != len("YYYYMMDD") or not digits.isascii() or not digits.isdigit():
        return None
    try:
        return date(int(digits[:4]), int(digits[4:6]), int(digits[6:]))
    except ValueError:
        return None


def _plain_name(name: str) -> str:
    # the first component group is the alphabetic spelling; later ones repeat the name in other scripts
    letters = unicodedata.normalize("NFKD", name.split("=")[0]).casefold()
    spelled = "".join(c if c.isalnum() else " " for c in letters if not unicodedata.combining(c))
    return " ".join(sorted(spelled.split()))


def _hashed(key: bytes, field: str, value: str) -> str | None:
    return hmac.new(key, f"{field}:{value}".encode(), hashlib.sha256).hexdigest() if value else None
