from django.apps import AppConfig


class ThermalConfig(AppConfig):
    """Gives the command solve_loop; the physics needs no Django."""

    name = "thermal"
