"""A sample of each act on drums and bays."""

from disposal.actions.bays import add_bay, put_in_bay
from disposal.actions.drums import label_drum, pour
from hazmat.actions.units import log_unit
from hazmat.book.act import Order
from hazmat.book.ids import new_id
from tests.cast import Cast, look_in
from tests.faults.sampling import Act, asked


def _label_drum(cast: Cast) -> tuple[Order, Act]:
    one = asked(cast)
    return one, lambda: label_drum(one, kind="drum", capacity_l="200", un_mark="UN 1A1")


def _pour(cast: Cast) -> tuple[Order, Act]:
    """Out of one drum into another, so that the standings of both change."""
    unit = log_unit(asked(cast), look=look_in(line={"kind": "drum"}), place="NZ").the("hazmat.unit")
    first, into = (label_drum(asked(cast), kind="drum", capacity_l="200").the("disposal.drum") for _ in range(2))
    pour(asked(cast), into=first, unit=unit, space="tank", litres="20", place="NZ")
    one = asked(cast)
    return one, lambda: pour(one, into=into, from_drum=first, litres="5", place="NZ")


def _add_bay(cast: Cast) -> tuple[Order, Act]:
    one, name = asked(cast), f"bay {new_id()}"
    return one, lambda: add_bay(one, name=name)


def _put_in_bay(cast: Cast) -> tuple[Order, Act]:
    drum = label_drum(asked(cast), kind="drum", capacity_l="200").the("disposal.drum")
    bay = add_bay(asked(cast), name=f"bay {new_id()}").the("disposal.bay")
    one = asked(cast)
    return one, lambda: put_in_bay(one, bay=bay, drum=drum)
