"""People."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from hazmat.models import Person

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_person_comes_back_as_written() -> None:
    made = Person.objects.create_user("mere", "Mere Example")
    read = Person.objects.get(pk=made.pk)
    assert (read.pk, read.handle, read.called, read.is_active) == (made.pk, "mere", "Mere Example", True)
    assert type(read.pk) is uuid.UUID
    assert read.joined_at == made.joined_at
    assert str(read) == "Mere Example"


def test_person_has_no_password_to_guess() -> None:
    made = Person.objects.create_user("mere", "Mere Example")
    assert not made.has_usable_password()
    assert not made.check_password("")


def test_sign_in_name_is_unique_however_it_is_typed() -> None:
    Person.objects.create_user("mere", "Mere Example")
    with pytest.raises(IntegrityError), transaction.atomic():
        Person.objects.create_user("  MERE ", "Another Mere")
    assert Person.objects.count() == 1


def test_person_is_found_however_the_name_is_typed() -> None:
    made = Person.objects.create_user("Zoë", "Zoë Example")
    assert Person.objects.get_by_natural_key(" ZOE\u0308 ") == made
    with pytest.raises(Person.DoesNotExist):
        Person.objects.get_by_natural_key(None)


@pytest.mark.parametrize(("handle", "called"), [("", "Mere"), (" ", "Mere"), ("mere", ""), ("mere", "\t")])
def test_blank_names_are_refused(handle: str, called: str) -> None:
    with pytest.raises(ValueError, match="needs a sign-in name and a name to be called by"):
        Person.objects.create_user(handle, called)
    assert not Person.objects.exists()
