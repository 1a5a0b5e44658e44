"""What is written once: a row of facts that no later act changes. A correction is a new row that `replaces` the old."""

from typing import TYPE_CHECKING, Any, ClassVar
from unicodedata import is_normalized
from uuid import UUID

from django.db import models

from hazmat.book.canonical import canonical, parsed, plain
from hazmat.book.ids import new_id

SPINE = ("id", "yard", "entry", "replaces", "aside")
"""Fields of every record that stand in the entry beside the image, not in it."""


class LineField(models.TextField):  # type: ignore[type-arg]  # not generic at run time
    """Plain data kept as canonical JSON text; the image in the entry holds the data itself. Given data or text."""

    if TYPE_CHECKING:
        _pyi_private_set_type: Any
        _pyi_private_get_type: Any

    def get_prep_value(self, value: Any) -> Any:
        return value if value is None or isinstance(value, str) else canonical(value).decode()

    def image(self, value: Any) -> Any:
        return parsed(value) if isinstance(value, str) else plain(value)


class Record(models.Model):
    """One fact or act, bound to the entry that wrote it. Subclasses add nullable columns, or columns with a default."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="+")
    entry = models.ForeignKey("hazmat.Entry", models.PROTECT, related_name="%(class)ss")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    aside = models.CharField(max_length=64, blank=True, default="")

    yard_id: UUID
    entry_id: UUID
    replaces_id: UUID | None
    subject: ClassVar[str | None] = None
    """The name of the field that holds the thing (a unit, a drum) whose page tells of this record."""
    coded: ClassVar[str] = ""
    """The name of the field that holds a code which people type; no two things of a yard share one. Its page has the
    name of the record class."""

    class Meta:
        abstract = True

    def image(self) -> dict[str, Any]:
        """What the entry keeps of this record: each column that holds something, as plain data."""
        return image_of(type(self), {name: getattr(self, name) for name in image_columns(type(self))})

    def spell(self) -> None:
        """Give every text of this record its one spelling, so that the row says what its image says."""
        for field in self._meta.concrete_fields:
            value = getattr(self, field.attname)
            if isinstance(value, str) and not isinstance(field, LineField) and not is_normalized("NFC", value):
                setattr(self, field.attname, plain(value))

    def about(self) -> UUID | None:
        """The thing that this record tells of; its own id where it is that thing."""
        found: UUID | None = getattr(self, f"{self.subject}_id") if self.subject else self.id
        return found


def image_columns(kind: type[models.Model]) -> tuple[str, ...]:
    """Column attributes of a record class that its image is made of, in the order of the fields."""
    return tuple(field.attname for field in kind._meta.concrete_fields if field.name not in SPINE)


def image_of(kind: type[models.Model], row: dict[str, Any]) -> dict[str, Any]:
    """The image of a row, given by column attribute: empty columns are left out."""
    found = {}
    for field in kind._meta.concrete_fields:
        value = row.get(field.attname)
        if field.name in SPINE or value is None or value == "":
            continue
        found[field.name] = field.image(value) if isinstance(field, LineField) else plain(value)
    return found


def record_classes() -> list[type[Record]]:
    """Every record class of every installed app, by table label: found, not listed."""
    from django.apps import apps

    found = [model for model in apps.get_models() if issubclass(model, Record)]
    return sorted(found, key=label)


def label(kind: type[models.Model]) -> str:
    """`hazmat.unit`: the name of a record class in an entry."""
    return kind._meta.label_lower
