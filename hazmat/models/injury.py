"""Notes of injuries and exposures: health data, which stand in the aside and nowhere else."""

from hazmat.book.record import Record


class InjuryNote(Record):
    """That a note was written. Whom it is about, what happened and what was done: all of it stands in the aside."""

    def __str__(self) -> str:
        return f"note {self.id}"
