"""Drawings of transformers: on a pole, on a pad, in a yard with a conservator, indoors, and set down on the ground."""

from hazmat.demo import parts
from hazmat.demo.ink import Sheet, box, oval
from hazmat.demo.parts import CREAM, GREEN, GREY, STEEL, TEAL, WOOD, Spot


def pole_transformer(sheet: Sheet) -> Spot:
    """A round tank hung on a wooden pole."""
    parts.open_ground(sheet, 800)
    sheet.shape([(478, -20), (530, -20), (536, 850), (474, 850)], WOOD, 0.9)
    sheet.hatch([(508, 0), (528, 0), (534, 845), (512, 845)], 13, 88, 120)
    sheet.shape(box(330, 96, 430, 26)[:-1], WOOD, 0.9)
    for x in (360, 650, 730):
        parts.bushing(sheet, x, 98, 66, 15, CREAM)
    for y in (318, 560):
        sheet.shape(box(526, y, 56, 18)[:-1], STEEL, 0.8, 2)
    parts.cylinder(sheet, 700, 300, 132, 350, GREY)
    parts.rust(sheet, 590, 330, 190, 300, 9)
    left, right = parts.bushing(sheet, 640, 300, 104, 19), parts.bushing(sheet, 752, 304, 104, 19)
    parts.wire(sheet, left, (650, 34), -40)
    parts.wire(sheet, right, (730, 34), 30)
    for x in (640, 690, 740):
        sheet.shape(box(x, 372 + (x - 640) // 12, 26, 22)[:-1], parts.PORCELAIN, 0.9, 1.8)
        parts.wire(sheet, (x + 13, 394), (960 + x // 8, 520 + x // 6), 50, 1.8)
    parts.plate(sheet, 622, 486)
    return Spot((672, 630), 74, (690, 880))


def pad_transformer(sheet: Sheet) -> Spot:
    """A green cabinet on a concrete slab."""
    parts.open_ground(sheet)
    parts.shadow(sheet, 700, 830, 400, 40)
    parts.slab(sheet, 300, 826, 600)
    parts.block(sheet, 350, 390, 480, 424, GREEN, 110)
    sheet.line([(590, 396), (590, 810)], 2.2)
    for x in (366, 606):
        sheet.line(box(x, 412, 208, 386), 1.5, 1.2, 150)
    sheet.shape(box(566, 580, 44, 60)[:-1], STEEL, 0.8, 2)
    sheet.line([(576, 596), (600, 596), (600, 622)], 2.4)
    for y in (450, 760):
        sheet.shape(box(344, y, 12, 34)[:-1], STEEL, 0.8, 1.6)
    sheet.shape([(420, 480), (470, 566), (370, 566)], parts.OCHRE, 0.9, 2)
    sheet.line([(424, 504), (412, 532), (428, 532), (416, 556)], 2.4, 0.4)
    parts.plate(sheet, 668, 452, 86, 58)
    parts.rust(sheet, 356, 720, 460, 88, 12)
    return Spot((700, 770), 50, (640, 876))


def conservator_transformer(sheet: Sheet) -> Spot:
    """A large unit in a yard: fins, a conservator on top, three high bushings."""
    parts.open_ground(sheet, 740)
    parts.shadow(sheet, 660, 846, 430, 36)
    parts.slab(sheet, 240, 838, 760, 80)
    parts.block(sheet, 310, 420, 560, 390, GREY, 90)
    for x, y in ((420, 420), (540, 420), (660, 420)):
        top = parts.bushing(sheet, x, y - 18, 190, 26)
        parts.wire(sheet, top, (x - 190, 30), 46)
    for x in (800, 926):
        sheet.shape(box(x, 226, 16, 156)[:-1], STEEL, 0.8, 1.9)
    sheet.shape([(760, 176), *oval(980, 226, 26, 50, -90, 90), (760, 276), *oval(760, 226, 26, 50, 90, 270)], GREY, 0.9)
    end = oval(760, 226, 26, 50)
    sheet.shape(end, GREY, 0.5, 2)
    sheet.shape(oval(770, 226, 13, 20), CREAM, 0.8, 1.8)
    sheet.line([(876, 276), (876, 378)], 7)
    parts.fins(sheet, 330, 474, 300, 290, 9, GREY)
    parts.fins(sheet, 876, 440, 84, 300, 4, GREY)
    parts.plate(sheet, 690, 520, 110, 74)
    parts.valve(sheet, 742, 772)
    for x in (340, 800):
        sheet.shape(oval(x, 822, 26, 22), STEEL, 0.8, 2)
    parts.rust(sheet, 640, 440, 220, 350, 12)
    return Spot((786, 776), 46, (760, 890))


def indoor_transformer(sheet: Sheet) -> Spot:
    """A sealed unit with corrugated sides in a brick room."""
    parts.indoors(sheet)
    parts.shadow(sheet, 660, 840, 330, 34)
    parts.block(sheet, 380, 380, 440, 430, TEAL, 100)
    for x in (470, 600, 730):
        parts.wire(sheet, parts.bushing(sheet, x, 360, 120, 20), (x + 30, -20), -30, 3)
    parts.fins(sheet, 400, 430, 210, 340, 8, TEAL)
    parts.plate(sheet, 660, 430, 110, 76)
    sheet.shape(oval(714, 580, 34, 34), CREAM, 0.9)
    sheet.line([(714, 580), (732, 562)], 2.6, 0.3)
    parts.valve(sheet, 676, 766)
    sheet.shape(box(370, 808, 470, 22)[:-1], STEEL, 0.9)
    parts.rust(sheet, 620, 620, 190, 180, 8)
    return Spot((720, 770), 52, (700, 880))


def loose_transformer(sheet: Sheet) -> Spot:
    """A round tank set down on the ground, bushings and all, long out of use."""
    parts.open_ground(sheet, 690)
    parts.shadow(sheet, 620, 836, 260, 40)
    for x in (470, 640):
        sheet.shape(box(x, 806, 130, 34)[:-1], WOOD, 0.9)
    parts.cylinder(sheet, 610, 350, 180, 436, GREY)
    for x in (540, 680):
        parts.bushing(sheet, x, 352, 130, 23)
    for y in (430, 640):
        sheet.shape(box(772, y, 44, 34)[:-1], STEEL, 0.8, 2)
    sheet.line(oval(610, 356, 60, 88, 180, 360), 3.4)
    parts.valve(sheet, 780, 748)
    parts.plate(sheet, 500, 520, 100, 66)
    parts.rust(sheet, 450, 420, 300, 350, 16)
    return Spot((826, 758), 50, (800, 860))
