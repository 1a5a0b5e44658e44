"""Codes that people copy by hand: tags of units, codes of yards, check codes of papers.

Written in an alphabet without O, 0, I and 1, and ended by a check character that notices any one wrong character and
any two that changed places.
"""

ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Thirty-two characters that are hard to take for each other. Source: our own choice."""

STEP, FIELD, REDUCED_BY = 5, 32, 0b100101
"""Bits of a character; the size of the field GF(32); its primitive polynomial x^5 + x^2 + 1. Source: mathematics."""

TAG_BODY, PAPER_BODY = 5, 10
"""Characters of a tag and of a paper's check code before their check character. Source: our own choice."""

GROUP = 3
"""Characters of a code that stand together. Source: our own choice."""

HEX_DIGIT_BITS = 4
"""Bits of one hexadecimal digit. Source: definition."""


def check_char(body: str) -> str:
    """The check character of a code: the sum of its characters in GF(32), each times its own power of the generator.

    Different powers make every single slip and every exchange of two characters visible, up to 31 characters.
    """
    total, weight = 0, 1
    for char in body:
        weight = _twice(weight)
        total ^= _times(ALPHABET.index(char), weight)
    return ALPHABET[total]


def _twice(value: int) -> int:
    doubled = value << 1
    return doubled ^ REDUCED_BY if doubled >= FIELD else doubled


def _times(left: int, right: int) -> int:
    total = 0
    while right:
        if right & 1:
            total ^= left
        left, right = _twice(left), right >> 1
    return total


def is_good(code: str) -> bool:
    """Whether a code is written in the alphabet and its check character is right."""
    return len(code) > 1 and all(char in ALPHABET for char in code) and check_char(code[:-1]) == code[-1]


def new_tag(number: int) -> str:
    """A code of five characters and a check character from any whole number; numbers 32**5 apart share one."""
    body = ""
    for _ in range(TAG_BODY):
        number, place = divmod(number, FIELD)
        body = ALPHABET[place] + body
    return body + check_char(body)


def code_of(digest: str) -> str:
    """The check code of a SHA-256 in hexadecimal: its first fifty bits as ten characters, and a check character."""
    bits = PAPER_BODY * STEP
    number = int(digest, 16) >> (len(digest) * HEX_DIGIT_BITS - bits)
    body = "".join(ALPHABET[(number >> shift) & (FIELD - 1)] for shift in range(bits - STEP, -1, -STEP))
    return body + check_char(body)


def read_code(typed: str) -> str:
    """A code as somebody typed it: blanks, hyphens and small letters do not matter.

    Raises ValueError with a sentence for the person.
    """
    code = "".join(typed.split()).replace("-", "").upper()
    strange = sorted({char for char in code if char not in ALPHABET})
    if not code:
        raise ValueError("No code was typed; it stands in large letters on the tag.")
    if strange:
        raise ValueError(f"A code never holds {' or '.join(strange)}; look at the tag once more.")
    if not is_good(code):
        raise ValueError("One character of this code is wrong or missing; look at the tag once more.")
    return code


def spaced(code: str) -> str:
    """The code in groups of three: `K7M 4PK`."""
    return " ".join(code[place : place + GROUP] for place in range(0, len(code), GROUP))
