"""The digest stands for the content: words beside it change nothing, any value changes it.

SHA-256 of one canonical text: FIPS 180-4, https://csrc.nist.gov/pubs/fips/180-4/upd1/final (address from memory).
"""

import hashlib
import json
import random
import re
import tomllib
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.rulebooks.load import load, read
from hazmat.rulebooks.strict import canonical

HERE = Path(rulebooks.__file__).parent
SOUND = Path(__file__).parent / "broken" / "_valid.toml"
SECTION = re.compile(r"(?m)^(?=\[)")


def digest(text: str, folder: Path, name: str = "small") -> str:
    file = folder / f"{name}.toml"
    file.write_text(text, encoding="utf-8")
    return read(file).digest


def sound() -> str:
    return SOUND.read_text(encoding="utf-8")


def test_comments_blanks_and_empty_lines_change_nothing(tmp_path: Path) -> None:
    first = digest(sound(), tmp_path)
    _, *sections = sound().split("\n\n")
    spread = "# another head\n\n" + "\n# a remark\n\n\n".join(sections).replace(" = ", "   =  ")
    assert spread.count("# a remark") > 20
    assert digest(spread, tmp_path) == first
    assert digest(re.sub("(?m)$", "  # said beside it", sound()), tmp_path) == first


def test_the_order_of_keys_and_sections_changes_nothing(tmp_path: Path) -> None:
    """Sections and keys are shuffled; rows of one table keep their order, which is part of the content."""
    first, dice = digest(sound(), tmp_path), random.Random(1)
    top, *sections = SECTION.split(sound())
    lists = [part for part in sections if part.startswith(("[[", "[acts", "[table"))]
    plain = [part for part in sections if part not in lists]
    for part in plain:
        dice.shuffle(plain)
        assert digest(top + "".join(plain) + "".join(lists), tmp_path) == first, part
    turned = sound().replace('then  = "highest"\nforce = "must"\n', 'force = "must"\nthen  = "highest"\n')
    assert turned != sound()
    assert digest(turned, tmp_path) == first


def test_another_way_to_write_the_same_value_changes_nothing(tmp_path: Path) -> None:
    first = digest(sound(), tmp_path)
    assert digest(sound().replace('says = "Label it"', "says = 'Label it'"), tmp_path) == first
    assert digest(sound().replace('says = "Label it"', 'says = "\\u004cabel it"'), tmp_path) == first


# ------------------------------------------------------------------ any value


def leaves(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The path of every value in parsed content."""
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    if not isinstance(node, dict | list):
        yield path
    for key, value in inner:
        yield from leaves(value, (*path, key))


def changed(node: Any, path: tuple[Any, ...]) -> Any:
    """A copy with the value at one path made another of its type."""
    if not path:
        return node + timedelta(days=1) if isinstance(node, date) else f"{node}!"
    step, *rest = path
    copy: Any = dict(node) if isinstance(node, dict) else list(node)
    copy[step] = changed(copy[step], tuple(rest))
    return copy


@pytest.mark.parametrize("name", rulebooks.names())
def test_every_value_of_a_shipped_book_is_in_its_canonical_text(name: str) -> None:
    """Change any one value of the file and the text changes; no two changes give the same text."""
    parsed = tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))
    paths = list(leaves(parsed))
    texts = {canonical(changed(parsed, path)) for path in paths}
    assert len(texts | {canonical(parsed)}) == len(paths) + 1
    assert len(paths) > 200


@pytest.mark.parametrize("name", rulebooks.names())
def test_the_digest_is_of_the_canonical_text(name: str) -> None:
    book = rulebooks.rulebook(name)
    assert book.digest == hashlib.sha256(book.canonical.encode()).hexdigest()
    assert json.loads(book.canonical)["rulebook"] == name


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('is = "500"', 'is = "500.0"'),
        ('is = "500"', 'is = "501"'),
        ("since = 2010-01-01", "since = 2010-01-02"),
        ('says = "Label it"', 'says = "Label it."'),
        ('says = "Label it"', 'says = "label it"'),
        ("edition  = 2026-11-25", "edition  = 2026-11-26"),
        ('where      = "no address"', 'where      = "https://example.org"'),
        ('found_in = ["ZZ"]', 'found_in = ["ZZ", "XX"]'),
        ('found_in = ["ZZ"]\n', ""),
        ('{ row = "oil", cite = "clause 1" }, { row = "can", cite = "clause 1" }',
         '{ row = "can", cite = "clause 1" }, { row = "oil", cite = "clause 1" }'),
    ],
)  # fmt: skip
def test_a_changed_word_changes_the_digest(old: str, new: str, tmp_path: Path) -> None:
    text = sound()
    assert text.count(old) == 1
    assert digest(text.replace(old, new), tmp_path) != digest(text, tmp_path)


def test_a_day_and_the_same_day_in_quotes_never_share_a_digest(tmp_path: Path) -> None:
    """The text writes both alike, so the loader takes only one of them at each place."""
    file = tmp_path / "small.toml"
    file.write_text(sound().replace("read_on    = 2026-11-25", 'read_on    = "2026-11-25"'), encoding="utf-8")
    with pytest.raises(ValueError, match="it is not a day"):
        load(file)
