"""Who acts."""

from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone

from hazmat.book.ids import new_id


def as_handle(text: str) -> str:
    """A sign-in name as it is kept: no blanks around it, one spelling of each letter, no capitals."""
    return AbstractBaseUser.normalize_username(text).strip().casefold()


class PersonManager(BaseUserManager["Person"]):
    """Makes and finds people by sign-in name."""

    def create_user(self, handle: str, called: str, **more: Any) -> "Person":
        """A new person without a password. Raises ValueError for a blank name, IntegrityError for a taken one."""
        person = self.model(handle=as_handle(handle), called=called.strip(), **more)
        if not person.handle or not person.called:
            raise ValueError("A person needs a sign-in name and a name to be called by.")
        person.set_unusable_password()
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> "Person":
        """The person who signs in by this name, however it was typed. Raises Person.DoesNotExist."""
        return self.get(handle=as_handle(username or ""))


class Person(AbstractBaseUser):
    """One human being. `handle` is the name to sign in by, `called` the words that others see."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    handle = models.CharField(max_length=64, unique=True)
    called = models.CharField(max_length=120)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)

    objects: ClassVar[PersonManager] = PersonManager()

    USERNAME_FIELD = "handle"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["called"]

    class Meta:
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.called
