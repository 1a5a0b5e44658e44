"""The tables, one noun a file."""

from disposal.models.drum import Bay, Drum, Move, Put
from disposal.models.load import Certificate, Closed, Extra, Item, Load, Proof, Received, Settled, Signature
from disposal.models.paper import PaperOf
from disposal.models.partner import Licence, Partner
from disposal.models.standing import DrumStanding, LoadStanding

__all__ = [
    "Bay",
    "Certificate",
    "Closed",
    "Drum",
    "DrumStanding",
    "Extra",
    "Item",
    "Licence",
    "Load",
    "LoadStanding",
    "Move",
    "PaperOf",
    "Partner",
    "Proof",
    "Put",
    "Received",
    "Settled",
    "Signature",
]  # fmt: skip
