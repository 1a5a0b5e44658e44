"""One drawing for each kind of unit: where it stands, and what it looks like from a few steps away.

Each gives the spot from which oil would run, and where the ground under it is.
"""

from collections.abc import Callable

from hazmat.demo import parts
from hazmat.demo.ink import Sheet, box, oval
from hazmat.demo.parts import BRICK, COPPER, CREAM, EARTH, GREEN, GREY, STEEL, TEAL, WOOD, Spot
from hazmat.demo.transformers import (
    conservator_transformer,
    indoor_transformer,
    loose_transformer,
    pad_transformer,
    pole_transformer,
)


def regulator(sheet: Sheet) -> Spot:
    """A pole-type regulator: a tall round tank with a dial that shows its step."""
    parts.open_ground(sheet, 720)
    parts.shadow(sheet, 640, 850, 230, 34)
    parts.cylinder(sheet, 620, 330, 150, 490, GREY, 0.22)
    for x in (530, 620, 710):
        parts.bushing(sheet, x, 332, 150, 22)
    sheet.shape(box(560, 380, 116, 118)[:-1], STEEL, 0.7)
    sheet.shape(oval(618, 438, 48, 48), CREAM, 0.8)
    for turn in range(-60, 61, 20):
        near, far = (oval(618, 438, size, size, turn - 90, turn - 90)[0] for size in (34, 40))
        sheet.line([near, far], 1.8, 0.2)
    sheet.line([(618, 438), (594, 408)], 3, 0.3)
    sheet.shape(box(548, 560, 146, 176)[:-1], GREEN, 0.8)
    sheet.line(box(560, 572, 122, 152), 1.4, 1, 150)
    parts.plate(sheet, 580, 588, 84, 52)
    parts.rust(sheet, 490, 700, 230, 110, 9)
    return Spot((560, 800), 34, (600, 866))


def breaker(sheet: Sheet) -> Spot:
    """An oil circuit breaker: three tanks in a frame, two bushings each, leaning outwards."""
    parts.open_ground(sheet, 740)
    parts.shadow(sheet, 660, 858, 400, 30)
    for x in (270, 960):
        sheet.shape(box(x, 392, 22, 460)[:-1], STEEL, 0.9)
    sheet.shape(box(250, 380, 752, 34)[:-1], STEEL, 0.9)
    for x in (400, 620, 840):
        parts.bushing(sheet, x - 44, 384, 150, 18)
        parts.bushing(sheet, x + 44, 384, 150, 18)
        parts.cylinder(sheet, x, 430, 96, 340, GREY, 0.16)
        sheet.line(oval(x, 560, 96, 15, 6, 174), 1.8)
    sheet.shape(box(500, 790, 240, 70)[:-1], GREEN, 0.8)
    sheet.line([(740, 826), (960, 826)], 4)
    parts.plate(sheet, 570, 596, 96, 60)
    parts.rust(sheet, 320, 640, 600, 130, 14)
    return Spot((820, 770), 30, (840, 880))


def recloser(sheet: Sheet) -> Spot:
    """A recloser: a squat tank under a domed head, six bushings, a hood with a ring."""
    parts.open_ground(sheet, 720)
    parts.shadow(sheet, 650, 800, 240, 30)
    sheet.shape(box(430, 768, 400, 34)[:-1], WOOD, 0.9)
    parts.cylinder(sheet, 630, 470, 150, 280, TEAL, 0.2)
    sheet.shape(
        [(470, 462), *oval(630, 440, 160, 90, 180, 360), (790, 462), *oval(630, 462, 160, 32, 0, 180)], STEEL, 0.85
    )
    for x, y in ((510, 396), (585, 366), (675, 366), (750, 396)):
        parts.bushing(sheet, x, y, 140, 20)
    sheet.shape([(560, 470), (700, 470), (684, 540), (576, 540)], GREEN, 0.9)
    sheet.shape(oval(630, 556, 16, 20), parts.OCHRE, 0.9, 3)
    parts.plate(sheet, 584, 614, 92, 58)
    parts.rust(sheet, 500, 640, 240, 100, 8)
    return Spot((560, 742), 22, (600, 820))


def switch(sheet: Sheet) -> Spot:
    """An oil switch on a wall, with a long handle."""
    parts.indoors(sheet, 770)
    for x in (480, 760):
        sheet.line([(x, -10), (x, 260)], 9, 0.8)
    parts.block(sheet, 420, 260, 400, 170, STEEL, 60)
    sheet.shape([(436, 432), (806, 432), (786, 700), (456, 700)], GREY, 0.95)
    sheet.hatch([(720, 436), (800, 436), (782, 696), (710, 696)], 11, 66)
    for x in (470, 620, 770):
        sheet.shape(oval(x, 432, 12, 10), STEEL, 0.8, 1.8)
    sheet.shape(oval(620, 344, 42, 42), CREAM, 0.6)
    sheet.line([(620, 344), (712, 236)], 12, 0.6)
    sheet.shape(oval(718, 228, 20, 20), BRICK, 0.9)
    sheet.text(470, 330, "OFF", 26)
    sheet.text(730, 330, "ON", 26)
    parts.plate(sheet, 560, 520, 122, 76)
    parts.rust(sheet, 456, 600, 300, 90, 9)
    return Spot((610, 694), 44, (620, 860))


def capacitor(sheet: Sheet) -> Spot:
    """Capacitor cans side by side in a rack, two bushings each."""
    parts.open_ground(sheet, 760)
    parts.shadow(sheet, 660, 864, 430, 24)
    for x in (268, 1000):
        sheet.shape(box(x, 330, 24, 530)[:-1], STEEL, 0.9)
    for place in range(4):
        x = 316 + place * 172
        for left in (x + 36, x + 104):
            parts.bushing(sheet, left, 372, 112, 17)
        parts.block(sheet, x, 372, 140, 360, GREY, 22)
        sheet.line(box(x + 9, 384, 122, 336), 1.3, 1, 110)
        parts.plate(sheet, x + 34, 450, 72, 52)
        parts.rust(sheet, x, 620, 130, 100, 4)
        if place:
            parts.wire(sheet, (x - 68, 254), (x + 36, 254), 22, 1.8)
    sheet.shape(box(250, 732, 800, 30)[:-1], STEEL, 0.9)
    return Spot((560, 712), 60, (580, 880))


def bushing(sheet: Sheet) -> Spot:
    """Two bushings taken off, lying on timber, their lower ends wrapped."""
    parts.open_ground(sheet, 660)
    parts.shadow(sheet, 620, 850, 420, 34)
    for x in (350, 860):
        sheet.shape([(x, 560), (x + 60, 560), (x + 100, 850), (x + 40, 850)], WOOD, 0.9)
        sheet.shape([(x + 40, 850), (x + 100, 850), (x + 100, 880), (x + 40, 880)], WOOD, 0.95)
    for y in (570, 720):
        sheet.shape(box(170, y + 8, 220, 54)[:-1], CREAM, 0.9, 2)
        for x in range(190, 380, 22):
            sheet.line([(x, y + 10), (x + 10, y + 60)], 1.3, 0.8, 150)
        sheet.shape(box(380, y - 8, 120, 86)[:-1], GREY, 0.9)
        sheet.shape(box(496, y - 24, 26, 118)[:-1], STEEL, 0.9)
        for place in range(15):
            x, half, middle = 524 + place * 34, 50 - place * 1.5, y + 35
            skirt = [(x, middle - half * 0.5), (x + 10, middle - half), (x + 32, middle - half * 0.45)]
            skirt += [(x + 32, middle + half * 0.45), (x + 10, middle + half), (x, middle + half * 0.5)]
            sheet.shape(skirt, parts.PORCELAIN, 0.9, 1.8)
            shade = [(x + 2, middle + half * 0.2), (x + 32, middle + half * 0.2), (x + 10, middle + half)]
            sheet.wash(shade, parts.BROWN, 0.5)
        sheet.shape(box(1034, y + 22, 60, 26)[:-1], STEEL, 0.8, 2)
        parts.rust(sheet, 384, y, 110, 60, 5)
    parts.plate(sheet, 402, 732, 74, 50)
    return Spot((508, 806), 34, (520, 880))


def instrument_transformer(sheet: Sheet) -> Spot:
    """Three small boxes with two posts each, on a shelf."""
    parts.indoors(sheet, 780)
    sheet.shape(box(240, 690, 800, 34)[:-1], WOOD, 0.9)
    for x in (300, 560, 820):
        for left in (x + 44, x + 126):
            parts.bushing(sheet, left, 470, 130, 20)
        parts.block(sheet, x, 470, 170, 216, (110, 112, 116), 40)
        parts.plate(sheet, x + 42, 530, 84, 56)
        sheet.shape(oval(x + 60, 640, 12, 12), COPPER, 0.9, 1.8)
        sheet.shape(oval(x + 110, 640, 12, 12), COPPER, 0.9, 1.8)
    return Spot((640, 684), 60, (640, 860))


def cable(sheet: Sheet) -> Spot:
    """A reel with old cable, and a cut end that shows three cores under lead and paper."""
    parts.open_ground(sheet, 700)
    parts.shadow(sheet, 520, 850, 300, 34)
    sheet.shape(oval(640, 570, 250, 262), WOOD, 0.7)
    sheet.shape(oval(560, 580, 250, 262), (70, 68, 66), 0.6)
    for ring in range(5):
        sheet.line(oval(500 + 26 * ring, 578, 170, 190, 100, 260), 4, 1.4, 200)
    sheet.shape(oval(480, 584, 250, 262), WOOD, 0.9)
    for turn in range(0, 180, 30):
        (x, y), *_ = oval(480, 584, 246, 258, turn, turn)
        sheet.line([(x, y), (960 - x, 1168 - y)], 1.6, 1.2, 130)
    sheet.shape(oval(480, 584, 62, 66), EARTH, 0.9)
    sheet.shape(oval(480, 584, 26, 28), (90, 84, 76), 0.9)
    parts.wire(sheet, (690, 800), (1010, 822), 50, 24)
    sheet.shape(oval(1030, 824, 50, 50), STEEL, 0.9, 3)
    for x, y in ((1014, 806), (1050, 814), (1024, 846)):
        sheet.shape(oval(x, y, 17, 17), CREAM, 0.9, 2)
        sheet.shape(oval(x, y, 8, 8), COPPER, 0.9, 1.6)
    return Spot((1030, 866), 26, (1030, 900))


def rectifier(sheet: Sheet) -> Spot:
    """A cabinet in an oil tank with meters and heavy copper bars."""
    parts.indoors(sheet)
    parts.shadow(sheet, 660, 850, 340, 30)
    parts.block(sheet, 360, 330, 500, 500, GREEN, 96)
    for x in (430, 560):
        sheet.shape(box(x, 380, 100, 84)[:-1], CREAM, 0.8)
        sheet.line(oval(x + 50, 456, 40, 52, 205, 335), 1.6, 0.4)
        sheet.line([(x + 50, 456), (x + 26 + x // 16, 414)], 2.2, 0.3)
    parts.plate(sheet, 704, 384, 110, 78)
    for x in (900, 936):
        sheet.shape([(x, 300), (x + 22, 288), (x + 22, 40), (x, 40)], COPPER, 0.95)
    for y in range(540, 760, 26):
        sheet.line([(410, y), (640, y)], 3.4, 0.8, 190)
    parts.valve(sheet, 720, 790)
    parts.rust(sheet, 660, 560, 180, 240, 8)
    return Spot((764, 796), 40, (740, 890))


def ballast(sheet: Sheet) -> Spot:
    """A heap of lamp ballasts in a crate, wires hanging out."""
    parts.indoors(sheet, 640)
    sheet.shape([(250, 560), (1000, 560), (950, 850), (300, 850)], WOOD, 0.95)
    for place in range(9):
        x, y = 290 + place % 5 * 134, 470 - place // 5 * 74 + place % 2 * 16
        parts.block(sheet, x, y, 118, 64, (96, 100, 104), 26)
        parts.plate(sheet, x + 22, y + 14, 60, 36)
        end = (x + sheet.hand.uniform(-30, 150), y + 120)
        parts.wire(sheet, (x + 4, y + 32), end, 40, 2.2)
    sheet.shape([(240, 560), (1010, 560), (1000, 640), (252, 640)], WOOD, 0.95)
    sheet.shape([(262, 690), (986, 690), (978, 770), (274, 770)], WOOD, 0.95)
    sheet.hatch([(262, 640), (988, 640), (986, 690), (262, 690)], 10, 40)
    return Spot((600, 632), 70, (600, 880))


def electromagnet(sheet: Sheet) -> Spot:
    """A lifting magnet: a thick disc on three chains."""
    parts.open_ground(sheet, 740)
    sheet.line(oval(640, 24, 34, 40), 6)
    parts.shadow(sheet, 640, 850, 360, 40)
    parts.cylinder(sheet, 640, 540, 350, 220, (120, 116, 112), 0.26)
    sheet.shape(oval(640, 540, 130, 34), STEEL, 0.9)
    for x, y in ((390, 530), (640, 470), (890, 530)):
        for step in range(16):
            share = step / 15
            sheet.line(
                oval(640 + (x - 640) * share, 66 + (y - 66) * share, *((9, 19) if step % 2 else (5, 19))), 2.6, 0.4
            )
        sheet.shape(oval(x, y + 22, 16, 12), STEEL, 0.9, 2.4)
    sheet.shape(box(862, 470, 84, 60)[:-1], GREEN, 0.8)
    parts.wire(sheet, (946, 500), (1290, 300), 120, 7)
    parts.plate(sheet, 580, 668, 118, 66)
    parts.rust(sheet, 320, 600, 620, 190, 20)
    return Spot((470, 800), 40, (460, 890))


def motor(sheet: Sheet) -> Spot:
    """An oil-filled motor lying on its feet, ribs along it, a shaft at its end."""
    parts.indoors(sheet, 720)
    parts.shadow(sheet, 640, 840, 400, 34)
    sheet.shape([(330, 440), (880, 440), *oval(880, 610, 60, 170, -90, 90), (330, 780)], TEAL, 0.95)
    for y in range(462, 770, 26):
        sheet.line([(350, y), (900 - abs(y - 610) // 12, y)], 2, 0.8, 190)
    sheet.shape(oval(330, 610, 62, 170), TEAL, 0.9)
    sheet.shape(oval(326, 610, 38, 100), TEAL, 0.7)
    sheet.shape(box(214, 588, 112, 44)[:-1], STEEL, 0.9)
    sheet.shape(box(520, 372, 170, 80)[:-1], GREY, 0.9)
    parts.wire(sheet, (690, 410), (1180, 300), 140, 8)
    for x in (400, 760):
        sheet.shape(box(x, 770, 130, 46)[:-1], STEEL, 0.9)
    parts.plate(sheet, 570, 560, 120, 76)
    parts.rust(sheet, 420, 700, 420, 70, 9)
    return Spot((820, 776), 40, (820, 860))


def drum(sheet: Sheet) -> Spot:
    """Steel drums on a tray, bungs in their lids."""
    parts.open_ground(sheet, 700)
    sheet.shape([(220, 846), (300, 786), (1060, 786), (1000, 846)], STEEL, 0.6)
    for x, top, colour in ((430, 430, TEAL), (840, 430, BRICK), (630, 470, GREY)):
        parts.cylinder(sheet, x, top, 140, 360, colour, 0.22)
        for y in (top + 128, top + 240):
            sheet.line(oval(x, y, 141, 30, 2, 178), 3)
            sheet.line(oval(x, y + 9, 141, 30, 2, 178), 1.6)
        sheet.shape(oval(x - 60, top, 20, 8), STEEL, 0.9, 1.8)
        sheet.shape(oval(x + 64, top - 8, 11, 5), STEEL, 0.9, 1.6)
        parts.rust(sheet, x - 110, top + 60, 220, 280, 7)
    sheet.shape(box(218, 846, 784, 40)[:-1], STEEL, 0.9)
    return Spot((600, 800), 30, (640, 872))


def other(sheet: Sheet) -> Spot:
    """Something under a tarpaulin, half in the grass: nobody knows yet."""
    parts.open_ground(sheet, 650)
    parts.shadow(sheet, 660, 830, 360, 44)
    sheet.shape(
        [
            (320, 830),
            (360, 560),
            (430, 470),
            (560, 430),
            (640, 360),
            (720, 440),
            (860, 470),
            (920, 600),
            (980, 836),
            (800, 812),
            (640, 844),
            (470, 814),
        ],
        (150, 158, 138),
        0.95,
    )
    for fold in (
        [(430, 474), (420, 640), (460, 810)],
        [(560, 434), (600, 600), (580, 826)],
        [(720, 444), (700, 620), (740, 818)],
        [(860, 474), (850, 640), (900, 820)],
    ):
        sheet.line(fold, 2, 1.6, 170)
    sheet.hatch([(760, 480), (900, 560), (960, 820), (820, 800)], 13, 64, 130)
    sheet.line([(350, 640), (520, 690), (760, 680), (944, 660)], 4, 1.6)
    sheet.shape(box(612, 800, 70, 44)[:-1], STEEL, 0.9)
    for x in (330, 400, 860, 960):
        for lean in (-16, -4, 9):
            sheet.line([(x, 850), (x + lean, 800)], 1.6, 0.5, 180)
    return Spot((640, 834), 20, (640, 876))


Draw = Callable[[Sheet], Spot]
THINGS: dict[str, Draw] = {
    "regulator": regulator, "breaker": breaker, "recloser": recloser, "switch": switch, "capacitor": capacitor,
    "bushing": bushing, "instrument_transformer": instrument_transformer, "cable": cable, "rectifier": rectifier,
    "ballast": ballast, "electromagnet": electromagnet, "motor": motor, "drum": drum, "other": other,
}  # fmt: skip
TRANSFORMERS: dict[str | None, Draw] = {
    "pole": pole_transformer, "pad": pad_transformer, "indoor": indoor_transformer, "ground": loose_transformer,
}  # fmt: skip


def thing(kind: str, mounting: str | None, construction: str | None = None) -> Draw:
    """The drawing of a unit of this kind that stands like this. Raises KeyError for a kind that nobody drew."""
    if kind != "transformer":
        return THINGS[kind]
    if construction == "conservator":
        return conservator_transformer
    return TRANSFORMERS.get(mounting, loose_transformer)
