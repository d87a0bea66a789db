"""What was measured against what was foretold, drawn."""

from django.utils.translation import gettext as _

from builds.plots.bars import Bar, bars


def compared(rows):
    """Bars of a soak trial's comparison: each temperature over the room beside the range foretold; None if empty."""
    if not rows:
        return None
    drawn = [
        Bar(row["part"], max(row["rise"], 0.0), _told(row), low=max(row["low"], 0.0), high=max(row["high"], 0.0))
        for row in rows
    ]
    title = _("Measured against foretold, kelvin over the room")
    return bars(title, drawn, keys={"bar": _("measured"), "range": _("foretold")})


def in_words(rows):
    """The same for who cannot see it."""
    return "; ".join(f"{row['part']}: {_told(row)}" for row in rows)


def _told(row):
    told = {key: f"{row[key]:.1f}" for key in ("rise", "low", "high")}
    return _("%(rise)s K · foretold %(low)s–%(high)s") % told


def comparison(trial):
    """What was measured against what was foretold, a dict a temperature: °C measured, the rest kelvin over the room."""
    room = trial.plain.get("room")
    if room is None:
        return []
    return [
        {
            "name": reading.name,
            "part": reading.part,
            "measured": reading.value,
            "rise": reading.value - room,
            "foretold": reading.predicted - room,
            "low": reading.predicted_low - room,
            "high": reading.predicted_high - room,
            "inside": reading.predicted_low <= reading.value <= reading.predicted_high,
        }
        for reading in trial.readings.all()
        if reading.predicted is not None
    ]
