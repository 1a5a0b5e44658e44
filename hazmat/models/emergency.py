"""Whom to ring and where to meet when something happens. Numbers, names and places stand in the aside."""

from hazmat.book.record import Record


class EmergencyCard(Record):
    """What the yard wrote down for an emergency; one that replaces another stands in its place."""

    def __str__(self) -> str:
        return f"emergency card of {self.yard_id}"
