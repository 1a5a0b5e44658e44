"""Which method a report names, by its number among other words, and whether it is made for the liquid. Pure."""

import re
from typing import NamedTuple

from hazmat.core.findings import Finding, finish
from hazmat.core.law import LawDay

TABLE = "method_scope"
FITS, OPEN = "fits", "open"
NONE, UNKNOWN = "none", "unknown"
NUMBERS = {
    "61619": "iec_61619", "60997": "iec_60997", "12766": "en_12766", r"D[\s-]?4059": "astm_d4059",
    r"D[\s-]?6160": "astm_d6160", "8082": "sw_8082", r"600\s?/\s?4-81-045": "epa_600", "9079": "chlorine",
    "9077": "chlorine", "9076": "chlorine", r"D[\s-]?5384": "chlorine",
}  # fmt: skip
"""The number by which each method is known, as a pattern; the letter or year of an edition may follow."""
LIQUIDS = frozenset(("mineral", "silicone", "ester", "askarel", "other"))


class Scope(NamedTuple):
    """How a method stands to a liquid: the answer of the table, and its sentence."""

    answer: str
    finding: Finding

    @property
    def told(self) -> bool:
        """Whether it is told beside the result: a method that fits, or a liquid that nobody named, needs no words."""
        return self.answer not in (FITS, OPEN)


def methods_in(words: str) -> list[str]:
    """The methods that words name; `unknown` where none of them is known, `none` where there are no words."""
    if not words.strip():
        return [NONE]
    found = [key for number, key in NUMBERS.items() if re.search(rf"(?<![0-9]){number}(?![0-9])", words.upper())]
    return list(dict.fromkeys(found)) or [UNKNOWN]


def scope_of(words: str, fluid: str | None, house: LawDay) -> Scope:
    """Whether the method of a report is made for a liquid; of several that it names the least fitting counts."""
    table, liquid = house.tables[TABLE], fluid if fluid in LIQUIDS else UNKNOWN
    decided = []
    for method in methods_in(words):
        decision = table.decide(tuple({"method": method, "liquid_named": liquid}[name] for name in table.columns))
        if decision is None:
            raise LookupError(f"the table {TABLE} has no row in force")
        decided.append(decision)
    worst = max(decided, key=lambda one: table.table.answers.index(one.then))
    row = worst.rows[0]
    return Scope(worst.then, Finding(worst.then, finish(row.says, house.words), row.cite.document, row.cite.basis))
