"""Where a law stands: the countries that it is found in, and the states or nations that it tells apart."""

import re
from collections.abc import Mapping
from typing import Any

from hazmat.rulebooks import strict
from hazmat.rulebooks.strict import Shelfmark

CODE = re.compile(r"[A-Z]{2}(?:-[A-Z0-9]{1,3})?")
"""A country of ISO 3166-1, or a subdivision of ISO 3166-2."""


def read_territories(at: Shelfmark, parsed: Mapping[str, Any]) -> dict[str, str]:
    """The states or nations of `[territories]`, code to name; each lies in a country of `found_in`."""
    here = at / "territories"
    given = strict.table(here, parsed.get("territories", {}))
    countries = parsed.get("found_in", [])
    for code, name in given.items():
        strict.text(here / code, name)
        if not CODE.fullmatch(code) or code[:2] not in countries:
            raise (here / code).refuse("it lies in no country of found_in", "write a code such as AU-VIC")
    return given
