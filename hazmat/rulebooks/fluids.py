"""The list of fluid names, read as strictly as a rulebook."""

from functools import cache
from pathlib import Path
from typing import Any

from hazmat.core.identity import FluidName, Names, joined
from hazmat.rulebooks import strict
from hazmat.rulebooks.strict import Shelfmark

READS = ("pcb", "ask", "not_pcb")


@cache
def fluid_names() -> Names:
    """The list that ships."""
    return load_fluids(Path(__file__).with_name("fluids.toml"))


def load_fluids(path: Path) -> Names:
    """Read and check a list of fluid names. Raises RulebookError with file, key and mend."""
    at, parsed = Shelfmark(path.name), strict.parse(path)
    strict.only(at, parsed, "edition cite fluid", "ordinary")
    strict.day(at / "edition", parsed["edition"])
    documents = {
        key: _document(at / f"cite.{key}", given) for key, given in strict.table(at / "cite", parsed["cite"]).items()
    }
    found: dict[str, FluidName] = {}
    for place, given in enumerate(strict.rows(at / "fluid", parsed["fluid"]), 1):
        name = _fluid(at / f"fluid[{place}]", given, documents)
        if joined(name.name) in found:
            raise (at / f"fluid[{place}].name").refuse(f"“{name.name}” stands twice", "keep one of them")
        found[joined(name.name)] = name
    return Names(found, _ordinary(at / "ordinary", parsed.get("ordinary", []), documents))


def _ordinary(at: Shelfmark, given: Any, documents: dict[str, str]) -> list[str]:
    """Words that stand on plates for themselves, though a listed name is one slip away."""
    words = []
    for place, one in enumerate(strict.rows(at, given), 1):
        strict.only(at / str(place), one, "word cite")
        strict.one_of(at / f"{place}.cite", one["cite"], documents)
        words.append(joined(strict.text(at / f"{place}.word", one["word"])))
    return words


def _document(at: Shelfmark, given: Any) -> str:
    strict.only(at, strict.table(at, given), "document text_as_of where read_on basis")
    strict.one_of(at / "basis", given["basis"], ("read", "memory", "judgement"))
    if given["text_as_of"] != "undated":
        strict.day(at / "text_as_of", given["text_as_of"])
    strict.day(at / "read_on", given["read_on"])
    strict.text(at / "where", given["where"])
    return strict.text(at / "document", given["document"])


def _fluid(at: Shelfmark, given: dict[str, Any], documents: dict[str, str]) -> FluidName:
    strict.only(at, given, "name reads cites", "reads_in note halogenated")
    for key in strict.words(at / "cites", given["cites"]):
        strict.one_of(at / "cites", key, documents)
    if not isinstance(given.get("halogenated", False), bool):
        raise (at / "halogenated").refuse("it is neither true nor false", "write true or false")
    elsewhere = strict.table(at / "reads_in", given.get("reads_in", {}))
    return FluidName(
        name=strict.text(at / "name", given["name"]),
        reads=strict.one_of(at / "reads", given["reads"], READS),
        reads_in={law: strict.one_of(at / "reads_in", reads, READS) for law, reads in elsewhere.items()},
        halogenated=given.get("halogenated", False),
        documents=tuple(documents[key] for key in given["cites"]),
    )
