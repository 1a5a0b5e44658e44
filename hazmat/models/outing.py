"""Who went out alone, until when, and who came back. Where to, and whom to ring, stand in the aside."""

from django.db import models

from hazmat.book.record import Record


class Outing(Record):
    """Somebody goes out alone. One that replaces another puts off when that person is due back."""

    person = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="outings")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="outings")
    due_back = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.person_id} until {self.due_back}"


class Back(Record):
    """Somebody is back, or was spoken to and is well."""

    outing = models.OneToOneField(Outing, models.PROTECT, related_name="back")

    def __str__(self) -> str:
        return f"{self.outing_id} is back"
