"""The limits in air that are held: places, substances, dated values with their sources, read as strictly as a law."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, get_args

from hazmat.core.air import PPM, AirBook, Kind, Limit, Recheck, Substance
from hazmat.core.dated import Sentence, Version
from hazmat.rulebooks import strict
from hazmat.rulebooks.cited import Documented
from hazmat.rulebooks.strict import Shelfmark

BOOK = Path(__file__).parent / "air" / "limits.toml"
UNITS = ("mg/m3", PPM)


@cache
def air_book() -> AirBook:
    """The limits that ship. Raises RulebookError with file, key and mend."""
    return load_limits(BOOK)


@cache
def air_words() -> Mapping[str, Sentence]:
    """What is said about limits as such, by key."""
    return _Limits(BOOK).sentences


def load_limits(path: Path) -> AirBook:
    """Read and check a book of limits in air. Raises RulebookError with file, key and mend."""
    return _Limits(path).book()


class _Limits(Documented):
    """One file of limits with its documents and figures read."""

    def __init__(self, path: Path) -> None:
        at, parsed = Shelfmark(path.name), strict.parse(path)
        strict.only(at, parsed, "says edition cite place substance limit", "figure sentence silence")
        strict.text(at / "says", parsed["says"])
        strict.day(at / "edition", parsed["edition"])
        super().__init__(at, parsed)
        self.places = self.each("place", self.place)
        self.areas = {key: frozenset(members) for key, (_, members) in self.places.items() if members}
        self.substances = self.each("substance", self.substance)
        self.groups = {one.group for one in self.substances.values()}
        self.sentences = self.each("sentence", self.sentence)

    def book(self) -> AirBook:
        names = {key: says for key, (says, _) in self.places.items()}
        silences = {}
        for at, given in self.many("silence"):
            strict.only(at, given, "place of says cite")
            place, of = strict.one_of(at / "place", given["place"], names), self.group(at / "of", given["of"])
            if (place, of) in silences:
                raise at.refuse("another silence is of the same place and substance", "keep one of them")
            silences[place, of] = self.sentence(at, of, {key: given[key] for key in ("says", "cite")})
        limits = tuple(self.each("limit", self.limit).values())
        return AirBook(limits, self.substances, names, self.areas, silences)

    def group(self, at: Shelfmark, given: Any) -> str:
        return strict.one_of(at, given, sorted(self.groups))

    def place(self, at: Shelfmark, _: str, given: dict[str, Any]) -> tuple[str, tuple[str, ...]]:
        strict.only(at, given, "says", "members")
        members = strict.words(at / "members", given["members"]) if "members" in given else ()
        return strict.text(at / "says", given["says"]), members

    def substance(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Substance:
        strict.only(at, given, "says group", "molar")
        molar = self.molar(at / "molar", given["molar"]) if "molar" in given else None
        return Substance(key, strict.text(at / "says", given["says"]), strict.text(at / "group", given["group"]), molar)

    def molar(self, at: Shelfmark, given: Any) -> Decimal:
        """The only value of a figure: a mass does not change with the day."""
        versions: tuple[Version, ...] = self.figures[strict.one_of(at, given, self.figures)].versions
        value = versions[0].value
        if len(versions) > 1 or not isinstance(value, Decimal):
            raise at.refuse("it is not one number", "name a figure with one value that is a number")
        return value

    def sentence(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Sentence:
        strict.only(at, given, "says cite")
        return Sentence(key, strict.text(at / "says", given["says"]), self.cited(at, given))

    def limit(self, at: Shelfmark, name: str, given: dict[str, Any]) -> Limit:
        strict.only(at, given, "body short place of kind minutes law unit values", "notes more recheck")
        substance = self.substances[strict.one_of(at / "of", given["of"], self.substances)]
        unit, minutes, law = strict.one_of(at / "unit", given["unit"], UNITS), given["minutes"], given["law"]
        if unit == PPM and substance.molar is None:
            raise (at / "unit").refuse("this substance has no molar mass", "name one under it, or tell it in mg/m3")
        if type(minutes) is not int or minutes < 0:
            raise (at / "minutes").refuse("it is no number of minutes", "write 480, or 0 for any moment")
        if not isinstance(law, bool):
            raise (at / "law").refuse("it is neither true nor false", "write true or false")
        body, kind = strict.text(at / "body", given["body"]), strict.one_of(at / "kind", given["kind"], get_args(Kind))
        figure = self.figure(at, name, {"says": body, "unit": unit, "values": given["values"]})
        if any(not isinstance(one.value, Decimal) or not one.value for one in figure.versions):
            raise (at / "values").refuse("a value is nought", "leave the limit out where there is none")
        return Limit(
            name, body, strict.text(at / "short", given["short"]),
            strict.one_of(at / "place", given["place"], self.places), substance,
            kind, minutes, law, figure,  # type: ignore[arg-type]  # one_of has checked the kind
            strict.words(at / "notes", given["notes"]) if "notes" in given else (),
            self.more(at / "more", given.get("more")), self.recheck(at / "recheck", given.get("recheck")),
        )  # fmt: skip

    def more(self, at: Shelfmark, given: Any) -> Sentence | None:
        return None if given is None else self.sentences[strict.one_of(at, given, self.sentences)]

    def recheck(self, at: Shelfmark, given: Any) -> Recheck | None:
        if given is None:
            return None
        told = strict.table(at, given)
        strict.only(at, told, "on says")
        on: date = strict.day(at / "on", told["on"])
        return Recheck(on, self.sentences[strict.one_of(at / "says", told["says"], self.sentences)])
