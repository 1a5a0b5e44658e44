"""A line of a certificate against the items of a load: which one it proves, what it could mean, or why none."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from disposal.core.loadnow import ItemNow, LoadNow
from disposal.core.match import match
from disposal.core.odd import unsettled


@dataclass(frozen=True, kw_only=True)
class Read:
    """A line as it was read: `written` there; the `item` that it proves, else those `near` it, else what is `wrong`."""

    written: str
    item: ItemNow | None = None
    near: tuple[ItemNow, ...] = ()
    wrong: str = ""


def read_line(load: LoadNow, written: str, chosen: str = "") -> Read:
    """Which item of the load a written code proves. `chosen`: the id of an item that somebody picked among the near.

    A code that is one slip away is never taken by itself.
    """
    items = {one.code: one for one in (*(one for one in load.items if one.off), *load.aboard)}
    found = match(written, items)
    if found.exact:
        item = items[found.exact]
        wrong = said_of(item)
        return Read(written=written, item=None if wrong else item, wrong=wrong)
    near = tuple(items[code] for code in found.near)
    owing = tuple(one for one in near if not said_of(one))
    picked = next((one for one in owing if one.id == chosen), None)
    if picked:
        return Read(written=written, item=picked)
    if owing:
        return Read(written=written, near=owing)
    if near:
        return Read(written=written, wrong=f"“{written}” is no code of this load. The nearest: {said_of(near[0])}")
    says = f"“{written}” is the code of nothing that went with this load; look at the certificate once more."
    return Read(written=written, wrong=says)


def said_of(item: ItemNow) -> str:
    """Why a certificate cannot prove this item, as one sentence; empty where it can."""
    code = item.called
    if item.off:
        return f"{code} came off this load before it left, so no certificate of it can prove it; leave this line out."
    if item.arrival == "refused":
        return f"{code} was refused and came back, so no certificate of this load can prove it; leave this line out."
    if item.certificate:
        return f"{code} is proven already, by certificate {item.certificate}; leave this line out."
    return ""


def twice(items: Iterable[ItemNow]) -> list[str]:
    """Which items more than one line of a certificate names, a sentence each; none where each is named once."""
    codes = [one.called for one in items]
    return [
        f"{code} stands twice on this certificate; leave one of the two lines out."
        for code in dict.fromkeys(codes)
        if codes.count(code) > 1
    ]


def odd_days(handed: date, came: date, issued_on: date | None, done_on: date | None) -> list[tuple[str, str]]:
    """What is wrong with the days of a certificate, each as the box that it stands in and one sentence.

    `handed`: the day of the hand-over; `came`: the day on which the certificate came; all in the zone of the yard. A
    day that is not known is not looked at.
    """
    odd = []
    if issued_on and issued_on > came:
        says = "This certificate is dated after the day on which it came; look at the day on it once more."
        odd.append(("issued_on", says))
    if issued_on and issued_on < handed:
        says = "This certificate is dated before the load was handed over; look at the day on it once more."
        odd.append(("issued_on", says))
    if done_on and done_on < handed:
        odd.append(("done_on", "The day of destruction lies before the load was handed over; look at it once more."))
    if done_on and issued_on and done_on > issued_on:
        says = "The day of destruction lies after the day of the certificate; look at both once more."
        odd.append(("done_on", says))
    return odd


def unclear(read: Read) -> str:
    """What a line that is one slip away could mean, as one sentence."""
    codes = " or ".join(one.called for one in read.near)
    return f"“{read.written}” is one slip away from {codes}; look at the certificate and pick what is meant."


def owed(load: LoadNow) -> str:
    """Why a load cannot be closed, as one sentence; empty where it can."""
    if not load.aboard and "carrier" not in load.signed:
        return ""
    if not load.received_at:
        return "Nobody has written down what the facility took in; do that first."
    missing = [one.called for one in load.items if one.owes and one.arrival == "missing"]
    rest = [one.called for one in load.items if one.owes and one.arrival != "missing"]
    parts = [f"no certificate names {', '.join(rest)}"] if rest else []
    if missing:
        parts.append(
            f"the facility never got {', '.join(missing)}, so find out where that is, and write down that it was taken "
            "in or refused, or the certificate that names it"
        )
    parts += [f"{one.says}, so write down how that was settled" for one in unsettled(load) if not one.lost]
    if "facility" not in load.signed and any(one.arrival != "refused" for one in load.aboard):
        parts.append("the facility has not signed for what it took in, so take its signature")
    says = "; ".join(parts)
    return f"{says[0].upper()}{says[1:]}." if says else ""
