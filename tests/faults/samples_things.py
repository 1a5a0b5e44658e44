"""A sample of each act on papers of drums and loads."""

from disposal.actions.drums import label_drum
from disposal.actions.papers import issue_drum_label, issue_load_sheet
from hazmat.book.act import Order
from tests.cast import Cast
from tests.faults.samples_loads import sender
from tests.faults.sampling import Act, asked


def _issue_drum_label(cast: Cast) -> tuple[Order, Act]:
    drum = label_drum(asked(cast), kind="drum", capacity_l="200").the("disposal.drum")
    issue_drum_label(asked(cast), drum=drum)
    one = asked(cast)
    return one, lambda: issue_drum_label(one, drum=drum)


def _issue_load_sheet(cast: Cast) -> tuple[Order, Act]:
    by = sender(cast)
    load = by.load(by.unit())
    one = asked(cast)
    return one, lambda: issue_load_sheet(one, load=load)
