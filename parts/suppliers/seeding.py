"""A catalogue with suppliers and prices from a JSON file: the demo's, or a workshop's first one."""

import json
from decimal import Decimal
from pathlib import Path

from django.conf import settings
from django.db import transaction

from parts.catalogue.models import Fact, Part
from parts.workshop import audit

from .models import Supplier, SupplierPrice

STARTER = settings.BASE_DIR / "fixtures" / "starter" / "catalogue.json"


@transaction.atomic
def load_starter(by):
    """Load the generic parts, marked typical from memory; what is here already stays. How many were made."""
    before = Part.objects.count()
    load_catalogue(STARTER, by)
    made = Part.objects.count() - before
    audit.record(by, "starter catalogue loaded", "catalogue", after={"parts": made})
    return made


@transaction.atomic
def load_catalogue(path, by, origin=Fact.TYPICAL):
    """Load suppliers, parts, facts (texts as a person types them) and prices; the parts by name.

    What is there already keeps its own values; facts of another origin stay. Raises Refused for a fact that its
    kind does not know or that is out of bounds.
    """
    data = json.loads(Path(path).read_text())
    suppliers = {}
    for row in data["suppliers"]:
        name = row.pop("name")
        suppliers[name], _new = Supplier.objects.get_or_create(name=name, defaults=row)
    return {row["name"]: _load_part(row, suppliers, by, origin) for row in data["parts"]}


def _load_part(row, suppliers, by, origin):
    part, new = Part.objects.get_or_create(
        kind=row["kind"],
        name=row["name"],
        defaults={"warranty_months": row.get("warranty_months") or None, "note": row["note"]},
    )
    if new:
        part.set_facts(row["facts"], origin, by)
    for price in row.get("prices", ()):
        SupplierPrice.objects.get_or_create(
            part=part,
            supplier=suppliers[price["supplier"]],
            defaults={
                "price": Decimal(price["price"]),
                "lead_days": price.get("lead_days"),
                "code": price.get("code", ""),
                "carriage_class": price.get("carriage_class", ""),
            },
        )
    return part
