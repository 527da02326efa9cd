"""How colours look to colour-blind eyes, and how far apart two of them stand.

Colours are #rrggbb. What eyes see is simulated with the matrices of Machado, Oliveira and Fernandes
(2009) at severity 1.0, on linear sRGB; distances are CIEDE2000 between CIE L*a*b* values (D65).
Both tables lie in `tests/reference/`, with their sources in its README.
"""

import csv
import functools
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from pathlib import Path

REFERENCE = Path(__file__).with_name("reference")
USUAL = "usual"
"""Eyes with all three kinds of cones."""

TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
"""Linear sRGB to CIE XYZ (IEC 61966-2-1, the usual seven decimals)."""

WHITE = (0.95047, 1.0, 1.08883)
"""D65."""

Triple = tuple[float, float, float]


@functools.cache
def matrices() -> dict[str, tuple[Triple, Triple, Triple]]:
    """For each kind of eye the rows that make what it sees of linear red, green and blue."""
    with (REFERENCE / "colour-vision.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    found: dict[str, list[Triple]] = {USUAL: [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]}
    for row in rows:
        values = float(row["red"]), float(row["green"]), float(row["blue"])
        found.setdefault(row["vision"], []).append(values)
    return {vision: (three[0], three[1], three[2]) for vision, three in found.items()}


def seen(colour: str, vision: str) -> Triple:
    """What these eyes see of #rrggbb, as linear red, green and blue between 0 and 1."""
    linear = [_linear(int(colour[n : n + 2], 16) / 255) for n in (1, 3, 5)]
    red, green, blue = (
        min(max(sum(part * value for part, value in zip(row, linear, strict=True)), 0.0), 1.0)
        for row in matrices()[vision]
    )
    return red, green, blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def lab(linear: Triple) -> Triple:
    """CIE L*a*b* of a colour in linear sRGB."""
    x, y, z = (
        _cube_root(sum(part * value for part, value in zip(row, linear, strict=True)) / white)
        for row, white in zip(TO_XYZ, WHITE, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _cube_root(part: float) -> float:
    return part ** (1 / 3) if part > (6 / 29) ** 3 else part * (29 / 6) ** 2 / 3 + 4 / 29


def distance(one: str, other: str, vision: str = USUAL) -> float:
    """How far apart these eyes see two colours: CIEDE2000, of which 1 is about just noticed."""
    return ciede2000(lab(seen(one, vision)), lab(seen(other, vision)))


def ciede2000(one: Triple, other: Triple) -> float:
    """The colour difference of two L*a*b* values (Sharma, Wu and Dalal 2005, equations 2 to 22)."""
    mean_chroma = (hypot(*one[1:]) + hypot(*other[1:])) / 2
    stretch = 1 + 0.5 * (1 - _share(mean_chroma))
    (chroma1, hue1), (chroma2, hue2) = (
        (hypot(stretch * a, b), degrees(atan2(b, stretch * a)) % 360) for _, a, b in (one, other)
    )
    turn, middle = hue2 - hue1, (hue1 + hue2) / 2
    if not chroma1 * chroma2:
        turn, middle = 0.0, hue1 + hue2
    elif abs(turn) > 180:
        turn += -360 if turn > 0 else 360
        middle += 180 if middle < 180 else -180
    light, chroma = (one[0] + other[0]) / 2, (chroma1 + chroma2) / 2
    hues = 1 - 0.17 * cos(radians(middle - 30)) + 0.24 * cos(radians(2 * middle))
    hues += 0.32 * cos(radians(3 * middle + 6)) - 0.2 * cos(radians(4 * middle - 63))
    lighter = (other[0] - one[0]) / (1 + 0.015 * (light - 50) ** 2 / sqrt(20 + (light - 50) ** 2))
    stronger = (chroma2 - chroma1) / (1 + 0.045 * chroma)
    turned = 2 * sqrt(chroma1 * chroma2) * sin(radians(turn / 2)) / (1 + 0.015 * chroma * hues)
    rotation = 60 * exp(-(((middle - 275) / 25) ** 2))
    blue = -sin(radians(rotation)) * 2 * _share(chroma)
    return sqrt(lighter**2 + stronger**2 + turned**2 + blue * stronger * turned)


def _share(chroma: float) -> float:
    return sqrt(chroma**7 / (chroma**7 + 25**7))
