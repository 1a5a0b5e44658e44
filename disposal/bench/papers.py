"""A long hand-over sheet against sheets of one page."""

from datetime import UTC, datetime

from disposal.core.drumnow import DrumNow, MoveNow, Source
from disposal.core.loadnow import ItemNow, LoadNow, Party
from disposal.papers.build import Firm, Loaded, hand_over_sheet
from hazmat import papers
from hazmat.bench.seeded import PLACE, ZONE
from hazmat.core.codes import new_tag
from hazmat.edge.bench import Measured, measured
from hazmat.papers.render import laid_out

AT = datetime(2026, 11, 25, tzinfo=UTC)
MOMENT = "2026-11-20T01:00:00.000000Z"
MOST = 30
"""Items of which a sheet is never one page. Source: our own layout."""
YARD = {
    "name": "Bench Yard", "code": "222222", "country": "us", "state": PLACE, "zone": ZONE, "phone": "", "keeps": "",
}  # fmt: skip


def folder(n: int) -> Measured:
    """The hand-over sheet of n drums, a page, against the fullest sheet of one page; both PDF/A-3a with their data."""
    long, short = _sheet(n), next(one for one in map(_sheet, range(min(n, MOST), 0, -1)) if _pages(one) == 1)
    pages = _pages(long)

    def floor() -> None:
        for _ in range(pages):
            _printed(short)

    def ours() -> None:
        _printed(long)

    return measured("folder", n, 1.5, floor, ours)


def _pages(made: papers.Made) -> int:
    return len(laid_out(made.payload, made.aside, papers.code(made.payload)).pages)


def _printed(made: papers.Made) -> bytes:
    return papers.pdf(made.payload, made.aside, papers.code(made.payload))


def _sheet(items: int) -> papers.Made:
    """The sheet of a load of this many drums of one source each."""
    codes = [new_tag(number) for number in range(items)]
    load = LoadNow(
        load="l", yard="y", number="1", carrier="c", carrier_name="Carrier", facility="f", facility_name="Facility",
        planned_at=MOMENT, seq="1", happened_at=MOMENT,
        items=tuple(ItemNow(id=code, thing="drum", of=code, code=code, kg="182.5") for code in codes),
    )  # fmt: skip
    loaded = [Loaded(item=one, drum=_drum(one.code)) for one in load.items]
    firms: dict[Party, Firm] = {
        "carrier": Firm(name="Carrier", licences=("T-1",)), "facility": Firm(name="Facility", licences=("D-1",)),
    }  # fmt: skip
    return hand_over_sheet(load, loaded, firms, YARD, "1", AT, "Bench")


def _drum(code: str) -> DrumNow:
    source = Source(
        unit="u", tag="222222", klass="50_to_499", care="50_499", known="untested", rulebook="us", first_in=MOMENT,
        drained_at=MOMENT,
    )  # fmt: skip
    poured = MoveNow(
        id="m", way="in", other_kind="unit", other="222222", litres="180", kg="158.4", tool="pump", at=MOMENT
    )
    return DrumNow(
        drum=code, yard="y", code=code, kind="drum", capacity_l="205", made_at=MOMENT, seq="1", happened_at=MOMENT,
        litres="180", kg="158.4", klass="50_to_499", care="50_499", rulebook="us", date="2026-03-07", dated_by="law",
        sources=(source,), moves=(poured,),
    )  # fmt: skip
