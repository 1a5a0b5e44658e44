"""Ink and wash on warm paper: a sheet to draw on with a hand that is never quite steady, the same for the same seed."""

import math
import random
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

WIDTH, HEIGHT = 1280, 960
"""Size of a sheet in pixels; all places on it are in these."""
FINE = 2
"""Ink is drawn so many times larger and then reduced, which makes its edges soft."""
PAPER, INK = (250, 248, 242), (28, 27, 24)

Colour = tuple[int, int, int]
Point = tuple[float, float]
Points = Sequence[Point]


def oval(x: float, y: float, rx: float, ry: float, begin: float = 0, end: float = 360) -> list[Point]:
    """Points of an oval about x, y from one angle to another in degrees, clockwise from the right."""
    steps = max(8, int(abs(end - begin) / 9))
    turns = [math.radians(begin + (end - begin) * step / steps) for step in range(steps + 1)]
    return [(x + rx * math.cos(turn), y + ry * math.sin(turn)) for turn in turns]


def box(x: float, y: float, width: float, height: float) -> list[Point]:
    """The four corners of a box, closed."""
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)]


def blend(one: Colour, other: Colour, share: float) -> Colour:
    """A colour between two; share 0 is the first."""
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(one, other, strict=True))
    return red, green, blue


@lru_cache(4)
def _cloud(seed: int, cells: int) -> Image.Image:
    """Soft blotches over a whole sheet, from black to white, about as many across as `cells`."""
    across, down = cells, cells * HEIGHT // WIDTH
    grain = Image.frombytes("L", (across, down), random.Random(seed).randbytes(across * down))
    large = grain.resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
    return large.filter(ImageFilter.GaussianBlur(WIDTH / cells / 3)) if cells < WIDTH / 8 else large


@lru_cache(4)
def _blotches(seed: int) -> Image.Image:
    """How unevenly water takes colour, over a whole sheet."""
    return _cloud(seed, 26).point(lambda level: 175 + level * 80 // 255)


@lru_cache
def _share(strength: float) -> list[int]:
    """Every level of grey at this share of itself."""
    return [int(level * strength) for level in range(256)]


@lru_cache(1)
def _paper() -> Image.Image:
    """Warm paper with a little grain and a little cloud."""
    grain = _cloud(7, 640).point(lambda level: 250 + level * 5 // 255)
    cloud = _cloud(11, 9).point(lambda level: 250 + level * 5 // 255)
    tooth = ImageChops.multiply(grain, cloud).convert("RGB")
    return ImageChops.multiply(Image.new("RGB", (WIDTH, HEIGHT), PAPER), tooth)


class Sheet:
    """A sheet being drawn: washes lie under the ink, whatever the order in which they were laid.

    `plated`: whether the thing on it still has its name plate.
    """

    plated = True

    def __init__(self, seed: str) -> None:
        self.hand = random.Random(seed)
        self.image = _paper().copy()
        self._blotch = _blotches(self.hand.randrange(3))
        self._ink = Image.new("L", (WIDTH * FINE, HEIGHT * FINE))
        self._pen = ImageDraw.Draw(self._ink)

    # -------------------------------------------------------------- wash

    def wash(self, points: Points, colour: Colour, strength: float = 0.8, soft: float = 1.5) -> None:
        """Lay a watery colour over a shape: a little uneven, darker where it dried at its edge."""
        here = self._about(points, int(soft * 3) + 8)
        if here is None:
            return
        left, top, right, bottom = here
        shape = Image.new("L", (right - left, bottom - top))
        ImageDraw.Draw(shape).polygon([(x - left, y - top) for x, y in self._loose(points, 1.2)], fill=255)
        shape = shape.filter(ImageFilter.GaussianBlur(soft))
        rim = ImageChops.subtract(shape, shape.filter(ImageFilter.BoxBlur(6))).point(_share(1 / 3))
        uneven = self._blotch.crop(here)
        depth = ImageChops.add(ImageChops.multiply(shape, uneven), rim).point(_share(strength))
        under = self.image.crop(here)
        over = ImageChops.multiply(under, Image.new("RGB", under.size, colour))
        self.image.paste(Image.composite(over, under, depth), here)

    def cover(self, points: Points) -> None:
        """Leave a shape as bare paper, ink and all: what stands in front hides what is behind it."""
        self._pen.polygon([(x * FINE, y * FINE) for x, y in points], fill=0)
        here = self._about(points, 2)
        if here is None:
            return
        left, top, right, bottom = here
        mask = Image.new("L", (right - left, bottom - top))
        ImageDraw.Draw(mask).polygon([(x - left, y - top) for x, y in points], fill=255)
        self.image.paste(_paper().crop(here), (left, top), mask)

    @staticmethod
    def _about(points: Points, spread: int) -> tuple[int, int, int, int] | None:
        """The part of the sheet that holds these points and `spread` pixels around; None where nothing is on it."""
        across, down = [x for x, _ in points], [y for _, y in points]
        left, top = max(0, int(min(across)) - spread), max(0, int(min(down)) - spread)
        right, bottom = min(WIDTH, int(max(across)) + spread), min(HEIGHT, int(max(down)) + spread)
        return (left, top, right, bottom) if right > left and bottom > top and len(points) > 2 else None

    # -------------------------------------------------------------- ink

    def line(self, points: Points, width: float = 2.4, loose: float = 1.0, ink: int = 235) -> None:
        """Draw along the points with a pen that presses now more, now less."""
        path = self._loose(points, loose)
        swell = self.hand.uniform(0, 6.3)
        for place, (one, two) in enumerate(pairwise(path)):
            press = width * FINE * (1 + 0.28 * math.sin(swell + place * 0.31))
            self._stroke(one, two, press, ink)

    def _stroke(self, one: Point, two: Point, press: float, ink: int) -> None:
        (x, y), (right, down) = ((px * FINE, py * FINE) for px, py in (one, two))
        self._pen.line((x, y, right, down), fill=ink, width=max(1, round(press)))
        round_end = press / 2 - 0.5
        if round_end > 1:
            self._pen.ellipse((right - round_end, down - round_end, right + round_end, down + round_end), fill=ink)

    def shape(self, points: Points, colour: Colour, strength: float = 0.8, width: float = 2.4) -> None:
        """A thing in front of what is there already: covered, washed and outlined."""
        self.cover(points)
        self.wash(points, colour, strength)
        self.line([*points, points[0]], width)

    def hatch(self, points: Points, gap: float = 9, angle: float = 55, ink: int = 150, width: float = 1.1) -> None:
        """Fill a shape with slanting strokes, each begun and ended a little short."""
        turn = math.radians(angle)
        across, along = (-math.sin(turn), math.cos(turn)), (math.cos(turn), math.sin(turn))
        depths = [x * across[0] + y * across[1] for x, y in points]
        at = min(depths) + gap
        while at < max(depths):
            cuts = sorted(self._cuts(points, across, along, at))
            for begin, end in zip(cuts[::2], cuts[1::2], strict=False):
                begin, end = begin + self.hand.uniform(1, 5), end - self.hand.uniform(1, 7)
                if end - begin > 5:
                    ends = [(at * across[0] + far * along[0], at * across[1] + far * along[1]) for far in (begin, end)]
                    self.line(ends, width, 0.6, ink)
            at += gap * self.hand.uniform(0.8, 1.2)

    @staticmethod
    def _cuts(points: Points, across: Point, along: Point, at: float) -> list[float]:
        """How far along a line at this depth each edge of the shape is met."""
        found = []
        for one, two in zip(points, [*points[1:], points[0]], strict=True):
            near, far = (p[0] * across[0] + p[1] * across[1] for p in (one, two))
            if (near <= at) != (far <= at):
                share = (at - near) / (far - near)
                x, y = one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share
                found.append(x * along[0] + y * along[1])
        return found

    def text(self, x: float, y: float, words: str, size: float, ink: int = 230, middle: bool = False) -> float:
        """Letter by letter, as a hand would letter it or a punch stamp it; gives where it ends."""
        font = ImageFont.load_default(size * FINE)
        room = size * 0.07
        if middle:
            x -= sum(font.getlength(letter) / FINE + room for letter in words) / 2
        for letter in words:
            up, side = self.hand.uniform(-0.03, 0.03) * size, self.hand.uniform(-0.01, 0.01) * size
            at = ((x + side) * FINE, (y + up) * FINE)
            self._pen.text(at, letter, font=font, fill=ink, anchor="ls", stroke_width=max(1, round(size / 30)))
            x += font.getlength(letter) / FINE + room
        return x

    def _loose(self, points: Points, much: float) -> list[Point]:
        """The same path in short steps, each a little off where it should be."""
        found: list[Point] = [points[0]]
        drift_x = drift_y = 0.0
        for one, two in pairwise(points):
            steps = max(1, int(math.dist(one, two) / 22))
            for step in range(1, steps + 1):
                drift_x = drift_x * 0.7 + self.hand.uniform(-0.8, 0.8) * much
                drift_y = drift_y * 0.7 + self.hand.uniform(-0.8, 0.8) * much
                share = step / steps
                x, y = one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share
                found.append((x + drift_x, y + drift_y))
        return found

    def done(self) -> Image.Image:
        """The finished sheet."""
        ink = self._ink.reduce(FINE)
        return Image.composite(Image.new("RGB", self.image.size, INK), self.image, ink)
