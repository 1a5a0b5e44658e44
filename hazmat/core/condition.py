"""A condition test on record: what one slip says of one filling, each figure with its sign and its method."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hazmat.core.amended import Amendable, Told


@dataclass(frozen=True, kw_only=True)
class ConditionIn:
    """A condition test as somebody writes it down.

    `asked`: what the sum `oil_tested` takes of the slip, each as plain text (`<0.5`); `methods`: the method of a figure
    by the key of its box; `bottle`: code of the bottle, or empty; `tester`: the laboratory, or whoever tested it in the
    field; `paper`: the number on its paper.
    """

    asked: Mapping[str, Any]
    space: str
    methods: Mapping[str, str]
    bottle: str = ""
    tester: str = ""
    paper: str = ""

    def image(self) -> dict[str, Any]:
        """What the record keeps: what was said, and nothing else."""
        return {name: value for name, value in vars(self).items() if value}

    @property
    def stray(self) -> list[str]:
        """Boxes for which a method is named, and no figure."""
        return sorted(set(self.methods) - set(self.asked))


@dataclass(frozen=True, kw_only=True)
class ConditionNow(Told, Amendable):
    """A condition test on record."""

    @property
    def methods(self) -> Mapping[str, str]:
        """The method of a figure, by the key of its box."""
        found: Mapping[str, str] = self.told.get("methods", {})
        return found

    @property
    def space(self) -> str:
        """The oil space that it speaks of."""
        return str(self.told["space"])
