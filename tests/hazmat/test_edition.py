"""Every rulebook edition that was ever loaded is kept."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.models.signals import post_init

from hazmat import rulebooks
from hazmat.apps import keep_editions
from hazmat.models import Edition
from hazmat.models.edition import keep_shipped_editions

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@dataclass(frozen=True)
class Book:
    """What `keep_shipped_editions` reads of a rulebook."""

    name: str
    edition: date
    canonical: str

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.canonical.encode()).hexdigest()


FIRST = Book("xx", date(2026, 11, 25), '{"figure":{"limit":"50"}}')
SECOND = Book("xx", date(2026, 12, 1), '{"figure":{"limit":"2"}}')


@pytest.fixture
def shelf(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Ship these rulebooks and no others."""
    Edition.objects.all().delete()

    def ship(*books: Book) -> None:
        monkeypatch.setattr(rulebooks, "shelf", lambda: {book.name: book for book in books})

    return ship


def test_migrating_keeps_what_is_shipped() -> None:
    kept = {edition.rulebook: edition for edition in Edition.objects.all()}
    shipped = rulebooks.shelf()
    assert shipped
    assert set(kept) == {book.name for book in shipped.values()}
    for book in shipped.values():
        edition = kept[book.name]
        assert (edition.edition, edition.content, edition.digest) == (book.edition, book.canonical, book.digest)


def test_kept_content_answers_to_its_digest() -> None:
    """SHA-256 of the stored text, FIPS 180-4, so that anyone can check a kept edition with a common tool."""
    assert Edition.objects.exists()
    for edition in Edition.objects.all():
        assert hashlib.sha256(edition.content.encode()).hexdigest() == edition.digest


def test_the_same_content_is_kept_once(shelf: Callable[..., None]) -> None:
    shelf(FIRST)
    assert [keep_shipped_editions("default"), keep_shipped_editions("default")] == [1, 0]
    kept = Edition.objects.get()
    assert (kept.rulebook, kept.edition, kept.content) == (FIRST.name, FIRST.edition, FIRST.canonical)


def test_a_changed_rulebook_is_kept_beside_the_old_one(shelf: Callable[..., None]) -> None:
    shelf(FIRST)
    keep_shipped_editions("default")
    shelf(SECOND)
    assert keep_shipped_editions("default") == 1
    assert set(Edition.objects.values_list("content", flat=True)) == {FIRST.canonical, SECOND.canonical}


def test_the_database_itself_refuses_a_second_row_of_one_digest(shelf: Callable[..., None]) -> None:
    shelf(FIRST)
    keep_shipped_editions("default")
    with pytest.raises(IntegrityError), transaction.atomic():
        Edition.objects.create(rulebook="yy", edition=FIRST.edition, digest=FIRST.digest, content="{}")


def test_a_database_between_two_migrations_is_met_as_it_stands(shelf: Callable[..., None]) -> None:
    """Half-way the model of that state is used, not today's: here one that does not know what today's may have."""
    shelf(FIRST)
    state = MigrationExecutor(connection).loader.project_state(("hazmat", "0001_initial"))
    then = state.apps.get_model("hazmat", "Edition")
    seen = []
    post_init.connect(lambda sender, **more: seen.append(sender), sender=then, weak=False)
    keep_editions(using="default", apps=state.apps)
    assert seen, "today's model was used"
    assert Edition.objects.get().digest == FIRST.digest


@pytest.mark.django_db(transaction=True)
def test_migrations_go_back_and_forth() -> None:
    """Going back takes the table away, and nothing tries to keep an edition then; coming back keeps them anew."""
    call_command("migrate", "disposal", "zero", stdout=StringIO())
    call_command("migrate", "hazmat", "zero", stdout=StringIO())
    call_command("migrate", stdout=StringIO())
    assert Edition.objects.count() == len(rulebooks.shelf())
