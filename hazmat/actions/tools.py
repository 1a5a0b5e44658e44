"""Sampling gear and test cells: adding a piece, cleaning it, taking it out of use; and which oil it touched."""

from collections.abc import Sequence
from uuid import UUID

from hazmat.actions.codes import fresh_code
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.tools import CELL, KINDS, ToolIn, ToolNow, clean_refusal, retire_refusal, use_refusal
from hazmat.models import Breakdown, Cleaning, Hand, Holder, Retirement, Space, Tool, Touch
from hazmat.queries.tools import tools

TOOL = "tool"
NONE = "This yard has no such gear; choose it from the list of sampling gear."


@verb
def add_tool(order: Order, *, told: ToolIn) -> Receipt:
    """Give a piece of sampling gear its code. Raises Refused for a kind that nobody knows, or gear without a word."""
    with book(order, "add_tool") as act:
        if told.kind not in KINDS:
            raise Refused("Pick what kind of gear it is; where it is none of these, pick the last one.")
        if told.kind == "other" and not told.words.strip():
            raise Refused("Write what it is; “other gear” alone tells nobody which piece is meant.")
        holder = act.write(Holder(kind=TOOL))
        tool = Tool(
            kind=told.kind, code=fresh_code(order.yard, act.seq, "piece of gear"), holder=holder,
            words=told.words.strip(), kept=told.kept, single_use=told.single_use,
        )  # fmt: skip
        act.write(tool)
    return act.receipt


@verb
def clean_tool(order: Order, *, tool: UUID, with_what: str, how: str, note: str = "") -> Receipt:
    """Write down that gear was cleaned. Raises Refused for gear of one use, gear out of use, or half a word."""
    with book(order, "clean_tool") as act:
        now = the_tool(order.yard, tool)
        if says := clean_refusal(now, instant(order.happened_at)):
            raise Refused(says)
        if not with_what.strip() or not how.strip():
            raise Refused("Write with what it was cleaned and how; without both nobody can tell whether it was enough.")
        act.write(Cleaning(tool_id=tool, with_what=with_what.strip(), how=how.strip(), note=note.strip()))
    return act.receipt


@verb
def retire_tool(order: Order, *, tool: UUID, reason: str) -> Receipt:
    """Take gear out of use. Raises Refused where it is out already, was used after that, or no reason is given."""
    with book(order, "retire_tool") as act:
        now = the_tool(order.yard, tool)
        if says := retire_refusal(now, instant(order.happened_at)):
            raise Refused(says)
        if not reason.strip():
            raise Refused("Write why it is taken out of use; the reason stays with it.")
        act.write(Retirement(tool_id=tool, reason=reason.strip()))
    return act.receipt


def the_tool(yard: UUID, tool: UUID) -> ToolNow:
    """This gear as it stands, under the lock of its yard. Raises Refused where the yard has no such gear."""
    found = tools(yard, pk=tool)
    if not found:
        raise Refused(NONE)
    return found[0]


def refuse_gear(order: Order, gear: Sequence[UUID], *, cell: bool = False, instead: UUID | None = None) -> None:
    """Raise Refused for gear that is not of this yard, out of use by then, or made for one use and used.

    `cell`: it was shot in, so it has to be a test cell; `instead`: the breakdown test that is being corrected.
    """
    known = {UUID(one.id): one for one in tools(order.yard, instead=instead, pk__in=gear)}
    for one in gear:
        if one not in known:
            raise Refused(NONE)
        if says := use_refusal(known[one], instant(order.happened_at)):
            raise Refused(says)
        if (known[one].told.kind == CELL) is not cell:
            raise Refused(
                "Only a test cell can be named with a breakdown test; choose the cell, or none."
                if cell
                else "A test cell draws no sample; name what the oil went through, or none."
            )


def write_touches(act: Act, gear: Sequence[UUID], space: Space, did: Hand | Breakdown) -> None:
    """Write down that this gear was in the oil of a space, by which step of a bottle or which breakdown test."""
    by = {"hand": did} if isinstance(did, Hand) else {"breakdown": did}
    for one in dict.fromkeys(gear):
        act.write(Touch(tool_id=one, holder_id=space.holder_id, unit_id=space.unit_id, **by))
