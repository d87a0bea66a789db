from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.workshop.models import Versioned

from .judgement import Limits


def _limit(name, label, unit):
    return models.FloatField(label, default=getattr(Limits(), name), validators=[MinValueValidator(0)], help_text=unit)


class ProvingLimits(Versioned):
    """The workshop's own limits of all tests: one row."""

    air_pressure_bar = _limit("air_pressure_bar", _("air test: test pressure, gauge"), "bar")
    air_pressure_unknown_bar = _limit(
        "air_pressure_unknown_bar", _("air test: with acrylic or glass of unknown limit, gauge"), "bar"
    )
    air_leak_mbar_l_s = _limit("air_leak_mbar_l_s", _("air test: leak rate"), "mbar·L/s")
    air_minutes = _limit("air_minutes", _("air test: time of a pass"), "min")
    air_coarse_minutes = _limit("air_coarse_minutes", _("air test: time of a coarse look"), "min")
    air_settle_minutes = _limit("air_settle_minutes", _("air test: time to settle"), "min")
    thermometer_k = _limit("thermometer_k", _("thermometer: two readings compare to"), "K")
    gauge_step_mbar = _limit("gauge_step_mbar", _("gauge: smallest step"), "mbar")
    wet_hours = _limit("wet_hours", _("wet test: time"), "h")
    fill_tolerance_percent = _limit("fill_tolerance_percent", _("fill: volume, more or less"), "%")
    fill_top_up_ml = _limit("fill_top_up_ml", _("fill: topped up after a day"), "mL")
    fill_hours = _limit("fill_hours", _("fill: time to the level reading"), "h")
    soak_minutes = _limit("soak_minutes", _("soak: shortest time at one load"), "min")
    soak_time_constants = _limit("soak_time_constants", _("soak: time constants at one load"), "×")
    soak_drift_k = _limit("soak_drift_k", _("soak: drift within a time constant"), "K")
    soak_room_drift_k_h = _limit("soak_room_drift_k_h", _("soak: drift of the room an hour"), "K")

    def __str__(self):
        return "proving limits"

    @classmethod
    def row(cls):
        """The row, made on first use."""
        return cls.objects.get_or_create(pk=1)[0]

    @classmethod
    def current(cls):
        """The limits in force, as plain data; reading them writes nothing."""
        row = cls.objects.filter(pk=1).first()
        return Limits(**{name: getattr(row, name) for name in Limits().as_dict()}) if row else Limits()
