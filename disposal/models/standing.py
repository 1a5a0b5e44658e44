"""What is current, kept so that it need not be folded again. Nothing here is a fact: the tables can be dropped."""

from typing import ClassVar

from django.db import models


class DrumStanding(models.Model):
    """A drum as it stands now. `body` is the whole frozen value; the other columns only help to find it.

    `logged`: the sequence number of the entry that brought it in, by which lists go.
    """

    drum = models.UUIDField(primary_key=True)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="+")
    logged = models.BigIntegerField()
    code = models.CharField(max_length=6)
    kind = models.CharField(max_length=10)
    klass = models.CharField(max_length=40)
    care = models.CharField(max_length=10)
    known = models.CharField(max_length=10)
    place = models.CharField(max_length=10)
    date = models.DateField(null=True, blank=True)
    body = models.TextField()

    in_backup: ClassVar[bool] = False
    """It is made again from the records."""

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["yard", "logged", "drum"], name="drum_standing_by_key")
        ]
        indexes: ClassVar = [models.Index(fields=["yard", "code"], name="drum_standing_by_code")]

    def __str__(self) -> str:
        return self.code


class LoadStanding(models.Model):
    """A load as it stands now. `body` is the whole frozen value; the other columns only help to find it."""

    load = models.UUIDField(primary_key=True)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="+")
    logged = models.BigIntegerField()
    number = models.CharField(max_length=20)
    state = models.CharField(max_length=12)
    body = models.TextField()

    in_backup: ClassVar[bool] = False
    """It is made again from the records."""

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["yard", "logged", "load"], name="load_standing_by_key")
        ]
        indexes: ClassVar = [models.Index(fields=["yard", "number"], name="load_standing_by_number")]

    def __str__(self) -> str:
        return self.number
