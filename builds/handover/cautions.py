"""What can hurt the person who lives with the machine. Touch temperatures: ISO 13732-1, burn thresholds."""

from django.utils.translation import gettext_lazy as _

CAUTIONS = (
    (_("Electricity and water"), _(
        "Mains off and unplugged before the case is opened, and while filling, draining or testing. At a drop, a smell "
        "or an alarm: take the plug out first. Nobody opens the power supply; mains wiring is for licensed practice.")),
    (_("Hot parts"), _(
        "Blocks, radiators, memory, the graphics board's back and the outlet air get hot. Let it stand half an hour "
        "before touching.")),
    (_("Coolant"), _(
        "Not to drink; keep it from children and animals. Gloves, and the safety data sheet of the coolant; what is "
        "drained is disposed of as local rules say, never down a drain unasked.")),
    (_("Metals"), _(
        "Never add a part of aluminium to a loop that holds copper, brass or nickel: the two corrode each other.")),
    (_("Power-supply cables"), _(
        "Modular cables fit only the very supply they were made for: pin-outs differ between makers and models. A "
        "cable from another supply can destroy the machine and start a fire.")),
    (_("Pressure"), _(
        "The loop is no pressure vessel: no compressed air, no warm filling into a closed loop, never frozen.")),
    (_("Law"), _(
        "Electrical safety tests, product marking, consumer rights and waste duties differ by country; local law and "
        "licensed practice go before this sheet.")),
)  # fmt: skip

# (surface, 1 min, 10 min, 8 h and longer), °C: burn thresholds of ISO 13732-1.
TOUCH = (
    (_("metal, bare or coated"), 51, 48, 43),
    (_("glass, ceramic"), 56, 48, 43),
    (_("plastic"), 60, 48, 43),
)
