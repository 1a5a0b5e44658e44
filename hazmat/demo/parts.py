"""Parts that old equipment is made of, drawn on a sheet: tanks, bushings, fins, plates, rust, oil, and the ground."""

from typing import NamedTuple

from hazmat.demo.ink import HEIGHT, WIDTH, Colour, Point, Sheet, blend, box, oval

GREY, GREEN, TEAL, STEEL = (158, 166, 162), (146, 164, 140), (118, 156, 158), (176, 178, 172)
CREAM, BROWN, PORCELAIN, WOOD = (228, 218, 190), (150, 104, 78), (168, 122, 92), (190, 160, 120)
RUST, OCHRE, OIL, EARTH = (178, 92, 52), (206, 160, 92), (84, 64, 40), (206, 194, 162)
CONCRETE, GRASS, BRICK, COPPER = (206, 204, 194), (168, 176, 124), (192, 140, 118), (196, 132, 88)


class Spot(NamedTuple):
    """Where oil would come out of a thing, how far it runs down, and the middle of what it would drip on."""

    out: Point
    far: float
    under: Point


def cylinder(sheet: Sheet, x: float, top: float, rx: float, height: float, colour: Colour, tilt: float = 0.2) -> None:
    """An upright round tank, its lid seen a little from above; light comes from the left."""
    ry = rx * tilt
    body = [*oval(x, top, rx, ry, 180, 360), *oval(x, top + height, rx, ry, 0, 180)]
    sheet.shape(body, colour)
    for edge, turn in ((0.05, 86), (0.35, 68), (0.62, 50)):
        right = [(x + rx * edge, top), *oval(x, top, rx, ry, turn, 0), *oval(x, top + height, rx, ry, 0, turn)]
        sheet.wash(right, blend(colour, (120, 124, 124), 0.3), 0.24, 20)
    sheet.hatch(
        [(x + rx * 0.58, top + ry), (x + rx * 0.96, top + ry * 0.3), *oval(x, top + height, rx * 0.96, ry, 0, 52)]
    )
    lid = oval(x, top, rx, ry)
    sheet.cover(lid)
    sheet.wash(lid, blend(colour, (255, 255, 255), 0.35), 0.7)
    sheet.line(lid)
    sheet.line(oval(x, top + ry * 0.45, rx, ry, 4, 176), 1.6)


def block(sheet: Sheet, x: float, y: float, width: float, height: float, colour: Colour, deep: float = 60) -> None:
    """A box seen from the front, a little from the right and from above."""
    up = deep * 0.55
    side = [(x + width, y), (x + width + deep, y - up), (x + width + deep, y + height - up), (x + width, y + height)]
    lid = [(x, y), (x + deep, y - up), (x + width + deep, y - up), (x + width, y)]
    sheet.shape(side, blend(colour, (110, 116, 116), 0.35), 0.85)
    sheet.hatch(side, 10, 70)
    sheet.shape(lid, blend(colour, (255, 255, 255), 0.4), 0.7)
    sheet.shape(box(x, y, width, height)[:-1], colour)


def bushing(sheet: Sheet, x: float, base: float, height: float, wide: float = 20, colour: Colour = PORCELAIN) -> Point:
    """A bushing with its sheds, upright on its base; gives its top terminal."""
    sheet.shape(box(x - wide * 0.7, base - 10, wide * 1.4, 12)[:-1], STEEL, 0.7, 1.8)
    sheds = max(3, int(height / (wide * 0.75)))
    step = (height - 26) / sheds
    for place in range(sheds):
        y = base - 10 - step * place
        half = wide * (1 - 0.3 * place / sheds)
        low, rim, high = y, y - step * 0.3, y - step
        skirt = [(x - half * 0.45, low), (x - half, rim), (x - half * 0.4, high)]
        skirt += [(x + half * 0.4, high), (x + half, rim), (x + half * 0.45, low)]
        sheet.shape(skirt, colour, 0.85, 1.7)
        sheet.wash([(x + half * 0.2, y), (x + half, y - step * 0.3), (x + half * 0.3, y - step)], BROWN, 0.45)
    top = base - height
    sheet.shape(box(x - 5, top - 4, 10, 22)[:-1], STEEL, 0.7, 1.7)
    sheet.line([(x - 10, top - 4), (x + 10, top - 4)], 3)
    return x, top - 4


def fins(sheet: Sheet, x: float, y: float, width: float, height: float, count: int, colour: Colour) -> None:
    """A bank of radiator fins in front of a tank."""
    step = width / count
    for place in range(count):
        left = x + step * place
        sheet.shape(box(left, y + place % 2 * 3, step * 0.74, height)[:-1], colour, 0.75, 1.6)
        sheet.wash(box(left + step * 0.45, y, step * 0.29, height), (120, 126, 124), 0.5)
    for edge in (y + 10, y + height - 8):
        sheet.line([(x - 8, edge), (x + width + 4, edge)], 3.2)


def plate(sheet: Sheet, x: float, y: float, width: float = 74, height: float = 50) -> None:
    """A name plate from afar: lines, no words; or the paler patch where it was."""
    if not sheet.plated:
        sheet.wash(box(x, y, width, height)[:-1], (206, 214, 206), 0.6)
        sheet.line(box(x, y, width, height), 1, 1, 110)
        return
    sheet.shape(box(x, y, width, height)[:-1], CREAM, 0.8, 1.8)
    for row in range(1, int(height / 9)):
        end = x + width - sheet.hand.uniform(8, width * 0.5)
        sheet.line([(x + 8, y + row * 9), (end, y + row * 9)], 1.1, 0.5, 170)


def valve(sheet: Sheet, x: float, y: float) -> None:
    """A drain valve with its hand wheel."""
    sheet.shape(box(x, y - 9, 40, 18)[:-1], STEEL, 0.8, 1.9)
    sheet.shape(box(x + 14, y - 30, 8, 22)[:-1], STEEL, 0.8, 1.7)
    sheet.shape(oval(x + 18, y - 32, 19, 6), BRICK, 0.8, 1.9)
    sheet.shape(box(x + 38, y - 14, 10, 28)[:-1], STEEL, 0.9, 1.9)


def wire(sheet: Sheet, begin: Point, end: Point, sag: float = 30, width: float = 2.0) -> None:
    """A slack wire between two points."""
    middle = ((begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2 + sag)
    curve = []
    for share in (step / 12 for step in range(13)):
        parts = ((1 - share) ** 2, 2 * share * (1 - share), share**2)
        x, y = (
            sum(part * at for part, at in zip(parts, ats, strict=True)) for ats in zip(begin, middle, end, strict=True)
        )
        curve.append((x, y))
    sheet.line(curve, width, 0.6)


# ------------------------------------------------------------------ what years and oil leave


def blot(sheet: Sheet, x: float, y: float, size: float, flat: float = 0.8) -> list[Point]:
    """The outline of an uneven spot."""
    return [
        (x + (px - x) * sheet.hand.uniform(0.6, 1.25), y + (py - y) * sheet.hand.uniform(0.6, 1.25))
        for px, py in oval(x, y, size, size * flat)[::3]
    ]


def rust(sheet: Sheet, x: float, y: float, width: float, height: float, spots: int = 7) -> None:
    """Rust in spots over an area, some of them bleeding down."""
    for _ in range(spots):
        at = (x + sheet.hand.uniform(0, width), y + sheet.hand.uniform(0, height))
        size = sheet.hand.uniform(5, 17)
        sheet.wash(blot(sheet, *at, size), sheet.hand.choice([RUST, OCHRE, RUST]), 0.75, 2.5)
        if sheet.hand.random() < 0.5:
            long = min(sheet.hand.uniform(14, 60), y + height - at[1] + 8)
            run = [(at[0] - size * 0.3, at[1]), (at[0] + size * 0.3, at[1]), (at[0] + 1, at[1] + long)]
            sheet.wash(run, RUST, 0.5, 2.5)


def oil_run(sheet: Sheet, x: float, y: float, long: float, wide: float = 12) -> None:
    """Oil running down a side: a wet spot, and tongues below it, the longest in the middle."""
    sheet.wash(blot(sheet, x, y + wide * 0.3, wide * 1.5, 0.6), OIL, 0.75, 3)
    for left, share in ((x - wide * 0.9, 0.55), (x + wide * 0.8, 0.4), (x, 1.0)):
        far, thin = y + long * share * sheet.hand.uniform(0.85, 1), wide * 0.3
        tip = [*oval(left, far, thin * 1.15, thin * 1.6, 0, 180)]
        tongue = [
            (left - thin * 1.8, y),
            (left + thin * 1.8, y),
            (left + thin * 0.7, y + (far - y) * 0.4),
            *tip,
            (left - thin * 0.7, y + (far - y) * 0.4),
        ]
        sheet.wash(tongue, OIL, 0.8, 1.4)
        sheet.line([(left - thin * 0.4, far - thin), (left - thin * 0.2, far - thin * 3)], 1.1, 0.2, 40)


def drop(sheet: Sheet, x: float, y: float, size: float = 9) -> None:
    """One falling drop."""
    shape = [(x, y - size * 1.7), *oval(x, y, size * 0.8, size, -40, 220)]
    sheet.wash(shape, OIL, 0.9, 1)
    sheet.line([*shape, shape[0]], 1.5, 0.4)


def pool(sheet: Sheet, x: float, y: float, rx: float, ry: float) -> None:
    """A pool of oil on the ground, with light on it."""
    edge = [
        (px + sheet.hand.uniform(-rx, rx) * 0.05, py + sheet.hand.uniform(-ry, ry) * 0.14)
        for px, py in oval(x, y, rx, ry)
    ]
    sheet.wash(edge, OIL, 0.8, 2)
    sheet.wash(oval(x + rx * 0.08, y + ry * 0.15, rx * 0.72, ry * 0.6), OIL, 0.5, 5)
    sheet.line(oval(x - rx * 0.3, y - ry * 0.2, rx * 0.3, ry * 0.22, 190, 300), 1.3, 0.6, 60)
    sheet.line(edge, 1.4, 0.8, 150)


# ------------------------------------------------------------------ where it stands


def open_ground(sheet: Sheet, horizon: float = 720) -> None:
    """A paddock or a yard: hills far off, earth, tufts of grass."""
    far = [
        (x, horizon - 40 - 26 * (1 + sheet.hand.uniform(-0.4, 0.9)) * (0.4 + (place % 3) / 3))
        for place, x in enumerate(range(-40, WIDTH + 120, 150))
    ]
    sheet.wash([*far, (WIDTH + 60, horizon), (-60, horizon)], (190, 202, 196), 0.55, 6)
    sheet.wash(box(-40, horizon - 6, WIDTH + 80, HEIGHT - horizon + 60)[:-1], EARTH, 0.6, 10)
    sheet.line([(30, horizon), (WIDTH - 40, horizon + 3)], 1.5, 1.6, 120)
    for _ in range(26):
        x, y = sheet.hand.uniform(20, WIDTH - 20), sheet.hand.uniform(horizon + 12, HEIGHT - 16)
        grow = 10 + (y - horizon) * 0.09
        sheet.wash(blot(sheet, x, y, grow, 0.4), GRASS, 0.55, 4)
        for _ in range(3):
            lean = sheet.hand.uniform(-0.6, 0.6) * grow
            sheet.line([(x + lean * 0.4, y), (x + lean, y - grow * sheet.hand.uniform(0.8, 1.4))], 1.2, 0.4, 160)


def slab(sheet: Sheet, x: float, y: float, width: float, deep: float = 90) -> None:
    """A concrete slab under a thing."""
    top = [(x, y), (x + deep, y - deep * 0.5), (x + width + deep, y - deep * 0.5), (x + width, y)]
    sheet.shape(top, CONCRETE, 0.55, 2)
    sheet.shape(box(x, y, width, 26)[:-1], CONCRETE, 0.85, 2)
    sheet.shape(
        [
            (x + width, y),
            (x + width + deep, y - deep * 0.5),
            (x + width + deep, y - deep * 0.5 + 26),
            (x + width, y + 26),
        ],
        CONCRETE,
        1,
        2,
    )


def indoors(sheet: Sheet, floor: float = 730) -> None:
    """A brick wall and a floor."""
    sheet.wash(box(-30, -30, WIDTH + 60, floor + 30)[:-1], (232, 222, 206), 0.7, 8)
    sheet.wash(box(-30, floor, WIDTH + 60, HEIGHT - floor + 30)[:-1], CONCRETE, 0.8, 6)
    sheet.line([(0, floor), (WIDTH, floor)], 2.2, 1.4)
    courses = [(row, place) for row in range(1, int(floor / 46)) for place in range(14)]
    for row, place in sheet.hand.sample(courses, 34):
        x, y = place * 96 - 48 * (row % 2), row * 46
        sheet.wash(box(x, y, 84, 36)[:-1], BRICK, 0.32, 2)
        sheet.line([(x, y), (x + 84, y), (x + 84, y + 36)], 1.1, 0.8, 90)
    for place in range(4):
        sheet.line([(120 + 330 * place, floor + 4), (40 + 400 * place - 200, HEIGHT)], 1.1, 1.2, 80)


def shadow(sheet: Sheet, x: float, y: float, rx: float, ry: float) -> None:
    """The shade that a thing throws on the ground, to the right."""
    sheet.wash(oval(x + rx * 0.25, y, rx * 1.1, ry), (140, 134, 120), 0.6, 12)
    sheet.hatch(oval(x + rx * 0.45, y, rx * 0.9, ry * 0.8), 12, 8, 110)
