"""Who is at a job of a day at a unit, and who left it again."""

from django.db import models

from hazmat.book.record import Record


class Crew(Record):
    """One piece of work at one unit on one day of the yard. `care`: the care of hands when the first one signed in."""

    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="crews")
    work = models.CharField(max_length=20)
    on = models.DateField()
    care = models.CharField(max_length=10)

    def __str__(self) -> str:
        return f"{self.work} at {self.unit_id} on {self.on}"


class SignIn(Record):
    """Somebody at a job. `person`: empty for somebody without an account, whose name stands in the aside.

    `part`: `works` or `looks_on`; `read`: who ticked that the card was read, `self` or `leader`.
    """

    crew = models.ForeignKey(Crew, models.PROTECT, related_name="signed_in")
    person = models.ForeignKey("hazmat.Person", models.PROTECT, null=True, blank=True, related_name="crews")
    part = models.CharField(max_length=10)
    read = models.CharField(max_length=10)

    def __str__(self) -> str:
        return f"{self.part} at {self.crew_id}"


class SignOut(Record):
    """Somebody left a job."""

    signed_in = models.OneToOneField(SignIn, models.PROTECT, related_name="out")

    def __str__(self) -> str:
        return f"{self.signed_in_id} left"
