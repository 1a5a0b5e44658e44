"""Small drawings with a title, a description and the same figures as a table beside them."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from hazmat.core.air import Against
from hazmat.core.measures import figure_words
from hazmat.core.nearness import Near
from hazmat.core.sums.breakdown import Shot, read_shots
from hazmat.core.sums.frame import Value
from hazmat.core.unitnow import ResultNow
from hazmat.edge.results import Results
from hazmat.edge.sums import Beside, value_words

WIDTH, HEIGHT, LEFT, HEAD, FOOT = 320, 160, 34, 10, 22
"""Size of a drawing and room for its scale. Source: our own drawing."""
TENTH = Decimal("0.1")
"""How finely places in a drawing are told. Source: our own drawing."""
ROOM = Decimal("1.1")
"""How far above the highest shot the scale goes. Source: our own drawing."""
ROW = 26
"""Height of the row of one result. Source: our own drawing."""
BAR, BARS_FROM, BAR_WORDS = 18, 110, 80
"""Height of a row of bars, where they begin, and room for the figure behind. Source: our own drawing."""
AIR_WIDE, AIR_FROM, AIR_ROW, MOST_TICKS = 360, 112, 16, 4
"""Size of the drawing of limits in air, where it begins, its rows, and ticks at most. Source: our own drawing."""
THREE = Context(prec=3)
"""How finely levels in air are told beside a drawing. Source: our own choice."""
DECADES = 3
"""Least decades of a scale of concentrations, from 1 mg/kg up. Source: our own drawing."""


def _top(shots: tuple[Shot, ...]) -> Decimal:
    """The end of the scale in kV: a round number above every shot."""
    highest = max(shot.kv for shot in shots) * ROOM
    return max(Decimal(10), (highest // 10 + 1) * 10)


def shots_svg(written: str, values: Mapping[str, Value]) -> SafeString:
    """Each shot as a dot in its order, with the mean as a line and one standard deviation as a band.

    `written`: the shots as they were typed; `values`: what the sum `breakdown` answers. An arrow stands for a shot that
    held at the top of the tester.
    """
    shots = read_shots(written)
    top, mean, sd = _top(shots), values.get("mean"), values.get("sd")
    floor = HEIGHT - FOOT

    def up(kv: Decimal) -> Decimal:
        return (floor - kv / top * (floor - HEAD)).quantize(TENTH)

    step = Decimal(WIDTH - LEFT) / (len(shots) + 1)
    dots = format_html_join(
        "",
        "{}",
        ((_dot((LEFT + step * place).quantize(TENTH), up(shot.kv), shot),) for place, shot in enumerate(shots, 1)),
    )
    ticks = format_html_join(
        "",
        '<line x1="{}" x2="{}" y1="{}" y2="{}" stroke="currentColor" stroke-width="0.4"/>'
        '<text x="{}" y="{}" font-size="10" text-anchor="end" fill="currentColor">{}</text>',
        ((LEFT, WIDTH, up(kv), up(kv), LEFT - 4, up(kv) + 3, figure_words(kv)) for kv in (Decimal(0), top / 2, top)),
    )
    band: SafeString | str = ""
    if isinstance(mean, Decimal) and isinstance(sd, Decimal):
        high, low = up(min(top, mean + sd)), up(max(Decimal(0), mean - sd))
        band = format_html(
            '<rect x="{}" y="{}" width="{}" height="{}" fill="currentColor" opacity="0.12"/>',
            LEFT, high, WIDTH - LEFT, max(low - high, TENTH),
        )  # fmt: skip
    line: SafeString | str = ""
    if isinstance(mean, Decimal):
        line = format_html(
            '<line x1="{}" x2="{}" y1="{}" y2="{}" stroke="currentColor" stroke-width="1.5" '
            'stroke-dasharray="5 3"/>',
            LEFT, WIDTH, up(mean), up(mean),
        )  # fmt: skip
    title = f"{len(shots)} breakdown shots"
    told = ", ".join(f"{'above ' if shot.above else ''}{figure_words(shot.kv)}" for shot in shots)
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}: {} kV" class="plot">'
        "<title>{}</title><desc>In their order, in kV: {}. The broken line is their mean, the band one standard "
        "deviation on either side.</desc>{}{}{}{}"
        '<text x="{}" y="{}" font-size="10" fill="currentColor">kV, in the order of the shots</text></svg>',
        WIDTH, HEIGHT, title, told, title, told, band, ticks, line, dots, LEFT, HEIGHT - 4,
    )  # fmt: skip


def _dot(x: Decimal, y: Decimal, shot: Shot) -> SafeString:
    if shot.above:
        return format_html(
            '<path d="M{} {}l-5 9h10z" fill="currentColor"/>', x, max(y - 9, Decimal(1))
        )  # an arrow: it holds more than this
    return format_html('<circle cx="{}" cy="{}" r="4.5" fill="currentColor"/>', x, y)


def results_svg(results: Iterable[ResultNow], told: Results) -> SafeString:
    """Each result that counts as a dot with its uncertainty, against the lines of the law, in powers of ten of mg/kg.

    An arrow to the left stands for what was not found down to its limit, one to the right for what lies above. Empty
    where no result has a figure.
    """
    drawn = [(one, told.near[one.id]) for one in results if one.id in told.near]
    if not drawn:
        return SafeString("")
    most = max([near.reach.high for _, near in drawn] + [at for at, _ in told.lines])
    decades = max(DECADES, len(str(int(most))))
    floor = HEAD + ROW * len(drawn)

    def across(value: Decimal) -> Decimal:
        share = max(value, Decimal(1)).log10() / decades
        return (LEFT + share * (WIDTH - 2 * LEFT)).quantize(TENTH)

    ticks = format_html_join(
        "",
        '<line x1="{}" x2="{}" y1="{}" y2="{}" stroke="currentColor" stroke-width="0.4"/>'
        '<text x="{}" y="{}" font-size="10" text-anchor="middle" fill="currentColor">{}</text>',
        (
            (across(at), across(at), HEAD, floor, across(at), floor + 12, figure_words(at))
            for at in (Decimal(10**n) for n in range(decades + 1))
        ),
    )
    lines = format_html_join(
        "",
        '<line x1="{}" x2="{}" y1="0" y2="{}" stroke="currentColor" stroke-width="1.5" stroke-dasharray="5 3"/>'
        '<text x="{}" y="{}" font-size="10" font-weight="bold" text-anchor="middle" fill="currentColor">{}</text>',
        ((across(at), across(at), floor + 14, across(at), floor + 24, figure_words(at)) for at, _ in told.lines),
    )
    rows = format_html_join(
        "", "{}", ((_row(near, HEAD + ROW * n + ROW // 2, across),) for n, (_, near) in enumerate(drawn))
    )
    title = "Laboratory results against the lines of the law"
    words = "; ".join(_words(near) for _, near in drawn)
    high = floor + 40
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}: {}" class="plot">'
        "<title>{}</title><desc>{}. Broken lines are the lines of the law: {} mg/kg. The scale goes in powers of "
        'ten.</desc>{}{}{}<text x="{}" y="{}" font-size="10" fill="currentColor">PCB in mg/kg, each result with its '
        "uncertainty</text></svg>",
        WIDTH, high, title, words, title, words, ", ".join(figure_words(at) for at, _ in told.lines), ticks, lines,
        rows, LEFT, high - 4,
    )  # fmt: skip


def bars_svg(told: Beside) -> SafeString:
    """The same sum for each word of a box: a bar each, its words and its figure beside it."""
    most, widest = max(value for _, value in told.values) or Decimal(1), WIDTH - BARS_FROM - BAR_WORDS
    shown = [(says, value_words(told.line, value), value) for says, value in told.values]
    bars = format_html_join(
        "",
        '<text x="0" y="{}" font-size="10" fill="currentColor">{}</text>'
        '<rect x="{}" y="{}" width="{}" height="10" fill="currentColor" opacity="0.55"/>'
        '<text x="{}" y="{}" font-size="10" fill="currentColor">{}</text>',
        (
            (y + 11, says, BARS_FROM, y + 2, wide, BARS_FROM + wide + 6, y + 11, words)
            for y, says, wide, words in (
                (BAR * n, says, (value / most * widest).quantize(TENTH), words)
                for n, (says, words, value) in enumerate(shown)
            )
        ),
    )
    title, words = f"{told.line.says}, side by side", "; ".join(f"{says}: {words}" for says, words, _ in shown)
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}" class="plot">'
        "<title>{}</title><desc>{}.</desc>{}</svg>",
        WIDTH, BAR * len(shown) + 4, title, title, words, bars,
    )  # fmt: skip


def air_svg(mg_m3: Decimal, told: Sequence[Against]) -> SafeString:
    """A level in air in mg/m3 as a broken line against each limit, a dot each, in powers of ten; empty without any."""
    if not told:
        return SafeString("")
    logs = [one.now.mg_m3.log10() for one in told] + ([mg_m3.log10()] if mg_m3 else [])
    first, last = (
        int(end.to_integral_value(way)) for end, way in ((min(logs), ROUND_FLOOR), (max(logs), ROUND_CEILING))
    )
    floor, wide = HEAD + AIR_ROW * len(told), AIR_WIDE - AIR_FROM - LEFT

    def across(value: Decimal) -> Decimal:
        return (AIR_FROM + (value.log10() - first) / max(last - first, 1) * wide).quantize(TENTH)

    step = max(1, (last - first) // MOST_TICKS)
    ticks = format_html_join(
        "",
        '<line x1="{}" x2="{}" y1="{}" y2="{}" stroke="currentColor" stroke-width="0.4"/>'
        '<text x="{}" y="{}" font-size="10" text-anchor="middle" fill="currentColor">{}</text>',
        (
            (x, x, HEAD, floor, x, floor + 12, figure_words(Decimal(10) ** n))
            for n in range(first, last + 1, step)
            for x in (across(Decimal(10) ** n),)
        ),
    )
    dots = format_html_join(
        "",
        '<text x="0" y="{}" font-size="10" fill="currentColor">{}</text>'
        '<circle cx="{}" cy="{}" r="4" stroke="currentColor" stroke-width="1.5" fill="{}"/>',
        (
            (y + 4, one.now.limit.short, across(one.now.mg_m3), y, "currentColor" if one.stands == "over" else "none")
            for y, one in ((HEAD + AIR_ROW * n + AIR_ROW // 2, one) for n, one in enumerate(told))
        ),
    )
    line: SafeString | str = ""
    if mg_m3:
        line = format_html(
            '<line x1="{}" x2="{}" y1="0" y2="{}" stroke="currentColor" stroke-width="1.5" stroke-dasharray="5 3"/>',
            across(mg_m3), across(mg_m3), floor,
        )  # fmt: skip
    title = "Level in air against the limits"
    words = "; ".join(f"{one.now.limit.short}: {figure_words(THREE.plus(one.now.mg_m3))}" for one in told)
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}" class="plot">'
        "<title>{}</title><desc>The level, a broken line, stands at {} mg/m3. Limits in mg/m3: {}. A full dot is "
        'passed. The scale goes in powers of ten.</desc>{}{}{}<text x="{}" y="{}" font-size="10" fill="currentColor">'
        "mg/m3; a full dot is passed</text></svg>",
        AIR_WIDE, floor + 30, title, title, figure_words(THREE.plus(mg_m3)), words, ticks, line, dots, AIR_FROM,
        floor + 26,
    )  # fmt: skip


def _words(near: Near) -> str:
    told = near.words()
    if near.stands in ("limit", "open"):
        return f"less than {told['value']} mg/kg"
    if near.stands == "more":
        return f"more than {told['value']} mg/kg"
    return f"{told['value']} mg/kg, from {told['low']} to {told['high']}"


def _row(near: Near, y: int, across: Callable[[Decimal], Decimal]) -> SafeString:
    """One result: a dot with a bar, or an arrow where only a limit is known."""
    x = across(near.reach.value)
    if near.stands in ("limit", "open"):
        return format_html('<path d="M{} {}l9 -5v10z" fill="currentColor"/>', x - 9, y)
    if near.stands == "more":
        return format_html('<path d="M{} {}l-9 -5v10z" fill="currentColor"/>', x + 9, y)
    low, high = across(near.reach.low), across(near.reach.high)
    return format_html(
        '<path d="M{} {}H{}M{} {}v12M{} {}v12" stroke="currentColor" stroke-width="1.5" fill="none"/>'
        '<circle cx="{}" cy="{}" r="3" fill="currentColor"/>',
        low, y, high, low, y - 6, high, y - 6, x, y,
    )  # fmt: skip
