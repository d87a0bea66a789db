"""A bill on paper and as an EN 16931 invoice, both from its frozen data."""

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.sheets.models import Document
from builds.sheets.render import render_pdf
from parts.workshop.models import Workshop
from parts.workshop.refusal import Refused

from .billing import DEPOSIT, FINAL

UNITS = {"each": "C62", "h": "HUR", "m": "MTR", "mm": "MMT", "l": "LTR", "L": "LTR", "ml": "MLT", "mL": "MLT",
         "g": "GRM", "kg": "KGM", "pair": "PR", "set": "SET"}  # fmt: skip  # UN/ECE Recommendation 20
UNTAXED_WHY = {"E": gettext_lazy("Exempt from tax."), "O": gettext_lazy("Not subject to tax.")}


def title_of(data):
    kind = {DEPOSIT: _("Bill for a part payment"), FINAL: _("Bill")}.get(data["kind"], _("Credit note"))
    return f"{kind} {data['number']}"


def context(data):
    """What the template shows: the data with amounts and days as such."""
    amounts = ("net", "tax", "total", "prepaid", "rounding", "due")
    return {
        "title": title_of(data), "workshop": Workshop.current(), "bill": data, "currency": data["currency"],
        "day": date.fromisoformat(data["issued_on"]), "due_on": date.fromisoformat(data["due_on"]),
        "is_refund": data["kind"] not in (DEPOSIT, FINAL),
        "lines": [line | _numbers(line, "quantity", "price", "amount", "percent") for line in data["lines"]],
        "groups": [group | _numbers(group, "base", "tax", "percent") for group in data["groups"]],
        "before": [b | _numbers(b, "amount") | {"day": date.fromisoformat(b["issued_on"])} for b in data["before"]],
        **_numbers(data, *amounts),
    }  # fmt: skip


def _numbers(row, *names):
    return {name: Decimal(row[name]) for name in names}


def freeze(data):
    """The bill's document; its data goes with it."""
    return Document.freeze(
        kind="bill", number=data["number"], title=f"{title_of(data)}: {data['job_title']}"[:160],
        pdf=render_pdf("quotes/bill_paper.html", context(data)), data=data,
    )  # fmt: skip


def xml_of(data):
    """The bill as a UN/CEFACT Cross Industry Invoice after EN 16931, checked against its schema.

    Refused while something the standard asks for is not known.
    """
    from facturx import generate_cii_xml

    for who, party in ((_("the workshop"), data["seller"]), (_("the client"), data["buyer"])):
        if not party["country"]:
            raise Refused(
                _("An electronic invoice names the country of %(who)s; type its two letters, then raise the bill.")
                % {"who": who}
            )
    if not data["seller"]["tax_number"]:
        raise Refused(_("An electronic invoice names the workshop's tax number; type it, then raise the bill."))
    return generate_cii_xml(_terms(data), level="en16931", check_xsd=True, check_schematron=False)


def _terms(data):
    """The bill by EN 16931's business terms."""
    untaxed = {group["category"] for group in data["groups"]} == {"O"}
    terms = {
        "BT-1": data["number"], "BT-2": date.fromisoformat(data["issued_on"]), "BT-3": data["code"],
        "BT-5": data["currency"], "BT-9": date.fromisoformat(data["due_on"]),
        "BG-4": _party(data["seller"], with_tax=not untaxed), "BG-7": _party(data["buyer"], with_tax=not untaxed),
        "BG-13": _party(data["buyer"] | {"tax_number": ""}, with_tax=False),  # where the machine goes
        "BT-106": data["net"], "BT-109": data["net"], "BT-110": data["tax"], "BT-112": data["total"],
        "BT-115": data["due"],
        "BG-23": [_group(group, data["note"]) for group in data["groups"]],
        "BG-25": [_line(number, line) for number, line in enumerate(data["lines"], 1)],
        "BG-3": [{"BT-25": b["number"], "BT-26": date.fromisoformat(b["issued_on"])} for b in data["before"]] or None,
    }  # fmt: skip
    terms |= {"BT-113": data["prepaid"]} if Decimal(data["prepaid"]) else {}
    terms |= {"BT-114": data["rounding"]} if Decimal(data["rounding"]) else {}
    notes = [data["note"], data["reason"]]
    return terms | {"BG-1": [{"BT-22": note} for note in notes if note]}


def _party(party, with_tax):
    said = {"name": party["name"], "country_code": party["country"]}
    said |= {f"addr_l{n}": line for n, line in enumerate(party["address"][:3], 1)}
    number = party["tax_number"].replace(" ", "")
    if number and not with_tax:  # outside the scope of tax no tax number is named (BR-O-02), yet the seller has one
        said["legal_identifier"] = number
    elif number:
        said["vat_identifier" if number[:2].isalpha() else "tax_identifier"] = number
    return said


def _group(group, note):
    said = {"BT-116": group["base"], "BT-117": group["tax"], "BT-118": group["category"], "BT-119": group["percent"]}
    if group["category"] in UNTAXED_WHY:
        said["BT-120"] = note or str(UNTAXED_WHY[group["category"]])
    return said


def _line(number, line):
    return {
        "BT-126": str(number), "BT-153": line["text"], "BT-154": line["remark"] or None, "BT-129": line["quantity"],
        "BT-130": UNITS.get(line["unit"], "C62"), "BT-146": line["price"], "BT-131": line["amount"],
        "BT-151": line["category"], "BT-152": None if line["category"] == "O" else line["percent"],  # BR-O-05
    }  # fmt: skip
