"""Words one slip away from a listed name: a letter wrong, too many, too few, or two of them turned round.

Source of the matching rule: house rule. Every name with one character left out is looked up, so that a word costs as
many look-ups as it has characters, however long the list is.
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
        self._in_words, self._ordinary = in_words, ordinary
        self._shortest = min(map(len, names), default=0) - 1
        self._longest = max(map(len, names), default=0) + 1
        self._left: dict[str, set[str]] = {}
        for name in names:
            for left in _left_of(name):
                self._left.setdefault(left, set()).add(name)

    def of(self, run: str, apart: bool) -> set[str]:
        """The names that a run of words is one slip away from. `apart`: its words stand apart.

        A name of one word, or of the fewest letters, is not pieced together from words that stand apart.
        """
        if not self._shortest <= len(run) <= self._longest or run in self._ordinary:
            return set()
        return {
            name
            for left in _left_of(run)
            for name in self._left.get(left, ())
            if one_slip(run, name) and not (apart and (len(name) == FEWEST_LETTERS or not self._in_words[name]))
        }


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
