"""The components of a loop as our own shapes, each drawn into a box of any size."""

from math import cos, pi, sin

from .svg import hexagon, number, shape

KINDS = ("pump-reservoir", "pump", "reservoir", "block", "radiator", "passive")


def component(kind, x, y, width, height):
    """Draw a component of `kind` centred on (x, y); an unknown kind is drawn as a passive one."""
    return _DRAW.get(kind, _passive)(x, y, width, height)


def arrow(x, y, way):
    """A flow arrow on the tube; way: "right", "left", "up" or "down"."""
    dx, dy = {"right": (1, 0), "left": (-1, 0), "up": (0, -1), "down": (0, 1)}[way]
    corners = [(7, 0), (-6, -6.5), (-6, 6.5)]
    points = " ".join(f"{number(x + a * dx - b * dy)},{number(y + a * dy + b * dx)}" for a, b in corners)
    return shape("polygon", class_="arrow", points=points, fill="currentColor")


def _box(x, y, width, height, rounding):
    return shape(
        "rect",
        class_="body",
        x=x - width / 2,
        y=y - height / 2,
        width=width,
        height=height,
        rx=rounding,
        fill="none",
        stroke="currentColor",
        stroke_width=1.6,
    )


def _strokes(path):
    return shape("path", class_="detail", d=path, fill="none", stroke="currentColor", stroke_width=1)


def _impeller(x, y, radius):
    vanes = "".join(
        f"M{number(x)} {number(y)}"
        f"Q{number(x + radius * 0.7 * cos(turn))} {number(y + radius * 0.7 * sin(turn))} "
        f"{number(x + radius * 0.85 * cos(turn + 0.9))} {number(y + radius * 0.85 * sin(turn + 0.9))}"
        for turn in (i * pi / 3 for i in range(6))
    )
    casing = shape("circle", class_="detail", cx=x, cy=y, r=radius, fill="none", stroke="currentColor", stroke_width=1)
    return casing + _strokes(vanes)


def _level(x, y, width, height):
    """The coolant's surface, a third of the way down."""
    left, at = x - width / 2, y - height / 5
    half, whole = number(width / 8), number(width / 4)
    return _strokes(f"M{number(left)} {number(at)}" + (f"q{half} -4 {whole} 0" + f"q{half} 4 {whole} 0") * 2)


def _pump_reservoir(x, y, width, height):
    radius = min(width, height) * 0.26
    impeller = _impeller(x, y + height / 2 - radius - min(8, height * 0.1), radius)
    return _box(x, y, width, height, 12) + _level(x, y - height * 0.08, width, height) + impeller


def _pump(x, y, width, height):
    side = min(width, height)
    return _box(x, y, side, side, 8) + _impeller(x, y, side * 0.34)


def _reservoir(x, y, width, height):
    return _box(x, y, width, height, 12) + _level(x, y, width, height)


def _block(x, y, width, height):
    height = min(height, width)
    inner_w, inner_h = width * 0.46, height * 0.56
    steps = [x - inner_w / 2 + inner_w * i / 6 for i in range(7)]
    channels = "".join(f"M{number(at)} {number(y - inner_h / 2)}v{number(inner_h)}" for at in steps)
    return _box(x, y, width, height, 4) + _strokes(channels)


def _radiator(x, y, width, height):
    """Tanks at both ends along the tube's way, folded fins between them."""
    lying = width >= height
    along, across = (width, height) if lying else (height, width)
    tank, margin = 9, 6
    start, room = -along / 2 + tank + 5, along - 2 * tank - 10
    folds = max(int(room // 9), 2)
    rise = (across - 2 * margin) / 4
    path = ""
    for fin in range(folds + 1):
        at = start + room * fin / folds - 2
        points = [(at + 4 * (i % 2), -across / 2 + margin + rise * i) for i in range(5)]
        path += _polyline(x, y, points, lying)
    for end in (-along / 2 + tank, along / 2 - tank):
        path += _polyline(x, y, [(end, -across / 2), (end, across / 2)], lying)
    return _box(x, y, width, height, 4) + _strokes(path)


def _polyline(x, y, points, lying):
    turned = [(x + a, y + b) if lying else (x + b, y + a) for a, b in points]
    return "M" + "L".join(f"{number(a)} {number(b)}" for a, b in turned)


def _passive(x, y, width, height):
    """A fitting seen from its end."""
    radius = min(width, height) * 0.44
    nut = hexagon(x, y, radius, class_="body", fill="none", stroke="currentColor", stroke_width=1.6)
    return nut + shape(
        "circle",
        class_="detail",
        cx=x,
        cy=y,
        r=radius * 0.45,
        fill="none",
        stroke="currentColor",
        stroke_width=1,
    )


_DRAW = {
    "pump-reservoir": _pump_reservoir,
    "pump": _pump,
    "reservoir": _reservoir,
    "block": _block,
    "radiator": _radiator,
    "passive": _passive,
}
