"""What people are trained for, and what was let go ahead although training had run out."""

from django.db import models

from hazmat.book.record import Record


class Training(Record):
    """One person was trained. One that replaces another corrects it. Who gave it stands in the aside.

    `kind`: a kind of the handling book; `until`: the last day on which it holds, empty where it has none;
    `certificate`: SHA-256 of its file, `certificate_kind`: `pdf` or `picture`.
    """

    person = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="trainings")
    kind = models.CharField(max_length=40)
    done_on = models.DateField()
    until = models.DateField(null=True, blank=True)
    certificate = models.CharField(max_length=64, blank=True, default="")
    certificate_kind = models.CharField(max_length=10, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.kind} of {self.person_id}"


class Override(Record):
    """One person goes ahead with one piece of work on one day, although training had run out. `unit`: there alone."""

    person = models.ForeignKey("hazmat.Person", models.PROTECT, related_name="overrides")
    work = models.CharField(max_length=20)
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="overrides")
    on = models.DateField()
    reason = models.TextField()

    def __str__(self) -> str:
        return f"{self.work} of {self.person_id} on {self.on}"
