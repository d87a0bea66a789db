"""What the demo's bench wrote and saw: the log of a soak test and photos of two tests, all made by code."""

import io
import math
import random

from parts.workshop.photos import clean_photo

STEP_S, MINUTES = 15, 80
GROUND, PAPER, INK, NEEDLE = (84, 92, 96), (238, 234, 222), (40, 44, 48), (168, 58, 38)


def soak_log(machine, room=22.0, warmer=1.04, seed=11):
    """Bytes of a logger's CSV file: everything settles at `warmer` times what was foretold over the room.

    First-order settling with the loop's own time constant; sensors scatter by a tenth of a kelvin.
    """
    scatter = random.Random(seed)
    seconds_of = 60.0 * (machine.time_constant_min or 5.0)
    rows = [";".join(["time (s)", "room", *(p.label for p in machine.predicted), "load (W)"])]
    coolant = machine.predicted[0].over_room
    for second in range(0, 60 * MINUTES, STEP_S):
        settled = 1.0 - math.exp(-second / seconds_of)
        rises = (p.over_room - coolant * (1.0 - settled) for p in machine.predicted)
        values = [room + warmer * rise + scatter.gauss(0.0, 0.1) for rise in rises]
        load = machine.heat_w + scatter.gauss(0.0, 3.0)
        row = [room + scatter.gauss(0.0, 0.05), *values, load]
        rows.append(";".join([str(second), *(f"{value:.2f}" for value in row)]))
    return "\n".join(rows).encode()


def gauge_photo(bar=0.5, most=1.0):
    """A hand pump's dial, its needle at a pressure [bar gauge]."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (900, 675), GROUND)
    draw = ImageDraw.Draw(picture)
    middle, radius = (450, 350), 260
    draw.ellipse(_box(middle, radius + 24), fill=INK)
    draw.ellipse(_box(middle, radius), fill=PAPER)
    for tenth in range(11):
        inner = 0.78 if tenth % 5 == 0 else 0.86
        draw.line([_on(middle, radius * inner, tenth / 10), _on(middle, radius * 0.94, tenth / 10)], fill=INK, width=6)
    draw.line([_on(middle, -40, bar / most), _on(middle, radius * 0.8, bar / most)], fill=NEEDLE, width=10)
    draw.ellipse(_box(middle, 18), fill=INK)
    return _cleaned(picture)


def paper_photo():
    """Dry paper under a joint after a day."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (900, 675), GROUND)
    draw = ImageDraw.Draw(picture)
    draw.polygon([(90, 640), (190, 380), (760, 360), (850, 630)], fill=PAPER)
    draw.line([(470, 0), (470, 190)], fill=(150, 178, 186), width=64)
    draw.rectangle([410, 180, 530, 250], fill=(196, 168, 112))
    draw.rectangle([426, 250, 514, 300], fill=INK)
    return _cleaned(picture)


def _cleaned(picture):
    out = io.BytesIO()
    picture.save(out, "PNG")
    return clean_photo(out.getvalue())


def _box(middle, radius):
    return [middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius]


def _on(middle, radius, share):
    """The point of a dial that runs over three quarters of a turn, from lower left to lower right."""
    angle = math.radians(135.0 + 270.0 * share)
    return middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)
