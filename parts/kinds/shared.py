"""Facts that several kinds share, declared once."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F

METALS = (
    "copper", "brass", "bronze", "nickel", "chromium plate", "stainless", "silver", "titanium", "tin solder",
    "aluminium", "anodised aluminium", "zinc", "steel", "magnesium", "none",
)  # fmt: skip
PLASTICS = (
    "acrylic cast", "acrylic extruded", "acetal", "PETG", "PVC", "polycarbonate", "rubber", "none",
)  # fmt: skip
PORT_THREADS = ("G 1/4", "G 3/8", "G 1/2")
SCREW_THREADS = ("M3", "M4", "M5", "6-32")
PLACES = ("front", "top", "rear", "bottom", "side")
BOARD_SIZES = ("Mini-ITX", "microATX", "ATX", "E-ATX")
MEMORY_TYPES = ("DDR4", "DDR5")

# What people write for one of the choices; lower case, letters and digits only. Plated metal shows its plating
# to the coolant, so it counts as the plating.
ALIASES = {
    "aluminum": "aluminium", "alu": "aluminium", "al": "aluminium", "anodizedaluminum": "anodised aluminium",
    "anodizedaluminium": "anodised aluminium", "cu": "copper", "nickelplated": "nickel", "nickelplatedcopper": "nickel",
    "nickelplatedbrass": "nickel", "stainlesssteel": "stainless", "inox": "stainless", "chrome": "chromium plate",
    "chromeplated": "chromium plate", "solder": "tin solder", "tin": "tin solder", "cast": "acrylic cast",
    "castacrylic": "acrylic cast",
    "extrudedacrylic": "acrylic extruded", "pom": "acetal", "epdm": "rubber", "pc": "polycarbonate",
    "matx": "microATX", "uatx": "microATX", "µatx": "microATX", "itx": "Mini-ITX", "eatx": "E-ATX",
    "distilledwater": "water", "mpg": "propylene glycol", "meg": "ethylene glycol",
}  # fmt: skip

WETTED_METALS = F(
    "wetted_metals", _("wetted metals"), many=True, choices=METALS, needed_by=("metals",),
    help=_("Every metal the coolant touches; of plated parts the plating. “none” when it touches no metal."),
)  # fmt: skip
WETTED_PLASTICS = F(
    "wetted_plastics", _("wetted plastics"), many=True, choices=PLASTICS, needed_by=("plastics",),
    help=_("Every plastic the coolant touches; rubber counts for seals. “none” when it touches no plastic."),
)  # fmt: skip
PORT_THREAD = F("port_thread", _("port thread"), choices=PORT_THREADS, needed_by=("ports",),
                help=_("Parallel pipe thread of ISO 228-1; it seals on its O-ring."))  # fmt: skip
PORTS = F("ports", _("number of ports"), "count", lower=1, upper=12, needed_by=("take-off",))
PORT_SPACING = F("port_spacing", _("distance between port centres"), "mm", lower=10, upper=500,
                 needed_by=("ports",), help=_("Of the two that lie closest."))  # fmt: skip
PORT_DEPTH = F("port_depth", _("depth of a port's thread"), "mm", lower=2, upper=30, needed_by=("flow direction",))
MARKED = F("inlet_marked", _("its maker marks inlet and outlet"), "yes", needed_by=("flow direction",))
PORTED = (PORT_THREAD, PORTS, PORT_SPACING, PORT_DEPTH)
VOLUME = F("volume", _("coolant inside"), "mL", lower=0, upper=5000, needed_by=("fill",))
MAX_PRESSURE = F("max_pressure", _("highest pressure allowed"), "bar", lower=0.05, upper=20,
                 needed_by=("sealed loop",), help=_("Gauge pressure, above the air outside."))  # fmt: skip
REFERENCE_FLOW = F("reference_flow", _("flow its figures are given at"), "L/min", lower=0.1, upper=60,
                   needed_by=("thermal",))  # fmt: skip
REFERENCE_DROP = F("reference_drop", _("pressure drop at that flow"), "kPa", lower=0, upper=200,
                   needed_by=("thermal",), help=_("As given for water."))  # fmt: skip
SOCKET = F("socket", _("socket"), needed_by=("socket",), example="S-17",
           help=_("As the workshop writes it; processor, board and block must agree."))  # fmt: skip
HEAT = F("heat", _("heat given off at full load"), "W", lower=0, upper=1500, needed_by=("thermal", "power"))
LIMIT = F("limit", _("highest temperature allowed"), "degC", lower=40, upper=120, needed_by=("thermal",))
POWER_CONNECTORS = F("power_connectors", _("power connectors"), many=True, repeats=True, example="2×4, 2×4",
                     needed_by=("power",), help=_("As in 2×3, 2×4, 16-pin; one entry for each, or none."))  # fmt: skip

BLOCK = (
    F("resistance", _("thermal resistance at that flow"), "K/W", lower=0.005, upper=2, needed_by=("thermal",),
      help=_("From coolant to component. Measured, it is worth far more than declared.")),
    F("resistance_exponent", _("exponent of flow in the resistance"), "1", lower=0, upper=1,
      help=_("0.3 when nothing better is known.")),
    REFERENCE_FLOW, REFERENCE_DROP, WETTED_METALS, WETTED_PLASTICS, *PORTED, MARKED, VOLUME, MAX_PRESSURE,
)  # fmt: skip
PUMP = (
    F("max_flow", _("highest flow"), "L/min", lower=0.5, upper=60, needed_by=("thermal",),
      help=_("With nothing against it.")),
    F("max_pressure_head", _("highest pressure"), "kPa", lower=1, upper=300, needed_by=("thermal",),
      help=_("With the outlet shut. A head of 4.6 m of water is 4600 mmH2O.")),
    F("heat", _("heat into the coolant"), "W", lower=0, upper=100, needed_by=("thermal",),
      help=_("Its electrical power, for most pumps.")),
    F("sound_level", _("sound level"), "dB", lower=0, upper=90),
    F("max_coolant", _("warmest coolant allowed"), "degC", lower=30, upper=95, needed_by=("thermal",)),
    F("speed_signal", _("tells its speed to the board"), "yes", needed_by=("air around",),
      help=_("So that a pump that stands still raises an alarm.")),
    *PORTED, MARKED, WETTED_METALS, WETTED_PLASTICS,
)  # fmt: skip
RESERVOIR = (
    F("height", _("height"), "mm", lower=20, upper=600),
    F("top_inlet", _("has an inlet in its top"), "yes", needed_by=("fill",)),
    VOLUME, MAX_PRESSURE,
)  # fmt: skip
