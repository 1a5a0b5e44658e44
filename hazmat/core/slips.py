"""Words one slip away from a listed name: a letter wrong, too many, too few, or two of them turned round.

Source of the matching rule: house rule. One slip leaves the first two characters of a name as they are, or the last
two; what passes that is looked up among all names with one character left out, however long the list is.
"""

from collections.abc import Mapping

FEWEST_LETTERS = 5
"""Letters that a name needs for a slip of it to be looked for: shorter ones are too like other words. Source: house
rule."""


class Slips:
    """The names of a list by what is left of each when one character goes.

    `in_words`: every name, joined, and whether it is written in several words. `ordinary`: words that are no slip.
    """

    def __init__(self, in_words: Mapping[str, bool], ordinary: frozenset[str]) -> None:
        names = [name for name in in_words if sum(map(str.isalpha, name)) >= FEWEST_LETTERS]
        self._ordinary = ordinary
        self._together = _Left(names)
        self._apart = _Left([name for name in names if in_words[name] and len(name) > FEWEST_LETTERS])

    def of(self, run: str, apart: bool) -> set[str]:
        """The names that a run of words is one slip away from. `apart`: its words stand apart.

        A name of one word, or of the fewest letters, is not pieced together from words that stand apart.
        """
        found = (self._apart if apart else self._together).near(run)
        return set() if run in self._ordinary else found


class _Left:
    """Names by what is left of each."""

    def __init__(self, names: list[str]) -> None:
        self._starts, self._ends = {name[:2] for name in names}, {name[-2:] for name in names}
        self._left: dict[str, set[str]] = {}
        for name in names:
            for left in _left_of(name):
                self._left.setdefault(left, set()).add(name)

    def near(self, run: str) -> set[str]:
        if run[:2] not in self._starts and run[-2:] not in self._ends:
            return set()
        return {name for left in _left_of(run) for name in self._left.get(left, ()) if one_slip(run, name)}


def _left_of(word: str) -> set[str]:
    return {word, *(word[:place] + word[place + 1 :] for place in range(len(word)))}


def one_slip(word: str, name: str) -> bool:
    """Whether one slip makes this word of a name. The first letter of a name of the fewest letters stands as it is,
    unless something more stands before it: what is left of such a name without it is a word like any other."""
    place = 0
    while place < min(len(word), len(name)) and word[place] == name[place]:
        place += 1
    wrong, right = word[place:], name[place:]
    if wrong[1:] == right:
        return wrong != right
    if place == 0 and len(name) == FEWEST_LETTERS:
        return False
    turned = wrong[:2] == right[:2][::-1] and wrong[2:] == right[2:]
    return wrong == right[1:] or wrong[1:] == right[1:] or turned
