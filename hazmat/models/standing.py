"""What is current, kept so that it need not be folded again. Nothing here is a fact: the tables can be dropped."""

from typing import ClassVar

from django.db import models


class UnitStanding(models.Model):
    """A unit as it stands now. `body` is the whole frozen value; the other columns only help to find it.

    `logged`: the sequence number of the entry that brought it in, by which lists go; `waits`: for whose signature;
    `left`: whether it is gone or destroyed.
    """

    unit = models.UUIDField(primary_key=True)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="+")
    logged = models.BigIntegerField()
    tag = models.CharField(max_length=6)
    arrival = models.CharField(max_length=10)
    kind = models.CharField(max_length=24)
    klass = models.CharField(max_length=40)
    basis = models.CharField(max_length=20)
    care = models.CharField(max_length=10)
    held = models.BooleanField()
    left = models.BooleanField(default=False)
    waits = models.CharField(max_length=10, default="")
    leak = models.CharField(max_length=10)
    good_until = models.DateField(null=True, blank=True)
    search = models.TextField()
    body = models.TextField()

    in_backup: ClassVar[bool] = False
    """It is made again from the records."""

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["yard", "logged", "unit"], name="unit_standing_by_key")
        ]
        indexes: ClassVar = [models.Index(fields=["yard", "tag"], name="unit_standing_by_tag")]

    def __str__(self) -> str:
        return self.tag
