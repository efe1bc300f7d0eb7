"""Random strings near to labels, and an oracle of its own for their check digits."""

import numpy as np

GTINS = ("51022222233336", "51022222233343", "07300011000017", "08904000210037")
CHARACTERS = [
    *"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcxyz+-/$%. *()<>]d\x1d\n\"'&",
    "01",
    "17",
    "10",
    "21",
    "]d2",
    "(01)",
]
PLAIN = "ABCDEFGHJK0123456789-."


def weights_say(number: str) -> bool:
    """Whether a number of 14 digits is whole: odd places from the left count thrice."""
    return sum(int(d) for d in number[0::2]) * 3 % 10 == -sum(int(d) for d in number[1::2]) % 10


def modulo_says(code: str) -> bool:
    """Whether the last character of a HIBCC code is the remainder of the others, by a table written out."""
    table = {c: i for i, c in enumerate("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")}
    table |= {"-": 36, ".": 37, " ": 38, "$": 39, "/": 40, "+": 41, "%": 42}
    return sum(table[c] for c in code[:-1]) % 43 == table[code[-1]]


def random_label(chance: np.random.Generator) -> str:
    """A label, mostly with something wrong: characters changed, cut, added, or no label at all."""
    kind = chance.integers(4)
    if kind == 0:
        return "".join(CHARACTERS[i] for i in chance.integers(len(CHARACTERS), size=int(chance.integers(0, 60))))
    if kind == 1:
        text = "+A123BJC5D6E71G"
    else:
        lot = "".join(PLAIN[i] for i in chance.integers(len(PLAIN), size=int(chance.integers(1, 24))))
        gtin = GTINS[chance.integers(len(GTINS))]
        date = f"{chance.integers(100):02d}{chance.integers(1, 14):02d}{chance.integers(0, 31):02d}"
        text = f"01{gtin}17{date}10{lot}\x1d21{lot[::-1]}" if kind == 2 else f"(01){gtin}(10){lot}(17){date}"
    return _spoilt(text, chance)


def _spoilt(text: str, chance: np.random.Generator) -> str:
    for _ in range(int(chance.integers(0, 3))):
        place = int(chance.integers(len(text))) if text else 0
        how = chance.integers(3)
        new = CHARACTERS[chance.integers(len(CHARACTERS))] if how else ""
        text = text[:place] + new + text[place + (how != 2) :]
    return text
