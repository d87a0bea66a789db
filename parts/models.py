"""Gathers the rooms' models."""

from .catalogue.drafts import ImportDraft, RememberedMatching
from .catalogue.models import Fact, Part
from .orders.models import Arrival, Order, OrderLine, ReturnCase, Share
from .shelf.models import Move, Place, Stock, Tray, Unit
from .suppliers.models import Supplier, SupplierPrice
from .workshop.models import AuditEntry, Counter, Once, Person, TaxRule, Workshop
from .workshop.photos import Photo
from .workshop.tries import SignInTry

__all__ = [
    "Arrival",
    "AuditEntry",
    "Counter",
    "Fact",
    "ImportDraft",
    "Move",
    "Once",
    "Order",
    "OrderLine",
    "Part",
    "Person",
    "Photo",
    "Place",
    "RememberedMatching",
    "ReturnCase",
    "Share",
    "SignInTry",
    "Stock",
    "Supplier",
    "SupplierPrice",
    "TaxRule",
    "Tray",
    "Unit",
    "Workshop",
]
