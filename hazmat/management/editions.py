"""Editions of rulebooks from the shell: found by day, content or file; told apart; taken in as the one that stands."""

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, transaction

from hazmat import rulebooks
from hazmat.core.law import Rulebook
from hazmat.core.measures import day_words
from hazmat.management import opening
from hazmat.management.verb import Refusal
from hazmat.models.edition import Edition, keep, lay_out
from hazmat.rulebooks.compare import Change, Text, kept_text, text_of
from hazmat.rulebooks.load import load

LEAST = 4
"""Letters of a digest that name an edition. Source: our own choice."""


def held(name: str) -> list[Text]:
    """Every edition of a rulebook that is held, the oldest first; without a book, the one that stands.

    Raises Refusal where the database cannot be read.
    """
    standing = [text_of(rulebooks.rulebook(name))] if name in rulebooks.names() else []
    found = {text.digest: text for text in standing}
    try:
        rows = Edition.objects.filter(rulebook=name).order_by("kept_at") if opening.has_tables() else []
        found |= {
            row.digest: kept_text(name, row.edition, row.digest, row.content) for row in rows if row.digest not in found
        }
    except (DatabaseError, ValueError) as wrong:
        raise Refusal(f"the editions kept in the book cannot be read: {' '.join(str(wrong).split())}") from None
    return sorted(found.values(), key=lambda book: (book.edition, book.digest))


def named(name: str, written: str) -> Text:
    """One edition of a rulebook: by its day, by the first letters of its content, or a file. Raises Refusal."""
    if written.endswith(".toml"):
        return text_of(_of_file(Path(written), name))
    known = held(name)
    fitting = [book for book in known if str(book.edition) == written]
    if not fitting and len(written) >= LEAST:
        fitting = [book for book in known if book.digest.startswith(written.lower())]
    if len(fitting) == 1:
        return fitting[0]
    told = ", ".join(f"{book.edition} ({book.digest[:10]})" for book in fitting or known)
    if fitting:
        raise Refusal(f"“{written}” could be any of these editions of {name}: {told}; write the letters in brackets")
    raise Refusal(
        f"“{written}” is no edition of {name} that is held; these are: {told}; a .toml file may stand there too"
    )


def _of_file(file: Path, name: str | None = None) -> Rulebook:
    if not file.is_file():
        raise Refusal(f"{file} is no file; name a rulebook in TOML")
    book = load(file)
    if name is not None and book.name != name:
        raise Refusal(f"{file} is a text of {book.name}, not of {name}")
    return book


def take_in(file: Path) -> tuple[Rulebook | None, Rulebook]:
    """Let the rulebook of a file stand from now on: the edition before, None for a new country, and the new one.

    Raises Refusal where it is held already or is no newer than what is held; RulebookError where it is broken.
    """
    book = _of_file(file)
    if not opening.has_tables():
        raise Refusal("there is no book here yet; `manage.py begin` makes one")
    before = held(book.name)
    for one in before:
        if one.digest == book.digest:
            raise Refusal(
                f"this edition of {book.name} ({day_words(one.edition)}, content {one.digest[:10]}) is held already; "
                "nothing was loaded"
            )
    if before and book.edition <= before[-1].edition:
        raise Refusal(
            f"{file} is an edition of {day_words(book.edition)}, and one of {day_words(before[-1].edition)} is held; "
            "a changed text needs a later day under edition"
        )
    standing = rulebooks.law(book.name) if book.name != rulebooks.HANDLING else rulebooks.rulebook(book.name)
    with transaction.atomic():
        keep(book)
        lay_out(settings.OILWARD_BOOK)
    return standing, rulebooks.rulebook(book.name)


def told(changes: Iterable[Change]) -> Iterator[str]:
    """Each change in a few lines: what it is, its words, and what stood and stands there."""
    for one in changes:
        yield f"{one.what:<8} {one.section}: {one.name}"
        if one.says:
            yield f"         {one.says}"
        for key, was, now in one.differences:
            yield f"         {key}: {was} → {now}"


def headed(old: Text, new: Text) -> str:
    """Which two editions are told apart."""
    return f"{new.says}: from the edition of {_stamp(old)} to that of {_stamp(new)}."


def _stamp(book: Text) -> str:
    return f"{day_words(book.edition)} ({book.digest[:10]})"


def between(one: date, other: date, state: str | None) -> str:
    """Which two days are told apart, in which state."""
    return f"As at {day_words(other)} instead of {day_words(one)}{f', in {state}' if state else ''}:"
