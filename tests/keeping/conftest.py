"""A workshop with a sent quote, a bill, a payment, stock and a photo: all that is kept."""

import io
from decimal import Decimal as D

import pytest
from PIL import Image

from builds.quotes.bills import Bill
from builds.quotes.models import StagePayment
from parts.shelf.models import Stock, Tray
from parts.workshop.photos import Photo, clean_photo
from tests.factories import PartFactory, PlaceFactory
from tests.quotes.conftest import agreed, draft, in_days, job, plan, sent, shop, spec  # noqa: F401


@pytest.fixture
def kept(agreed, job, owner):  # noqa: F811
    """{bill, stock, photo, issue}: each made by the method that the pages call."""
    stage = StagePayment.objects.agreed([job]).order_by("position").first()
    bill = Bill.raise_for(stage, owner, in_days(14))
    bill.record_payment(owner, D(100), in_days(0))
    part, bench, free = PartFactory(), PlaceFactory(name="bench"), Tray.free_shelf()
    Stock.put_in(part=part, tray=free, place=bench, quantity=D(3), reason="counted", by=owner, serials=["A1", "A2"])
    stock = Stock.objects.get(part=part)
    stock.move(quantity=D(1), by=owner, reason="for the job", tray=job.tray, units=stock.part.units.filter(serial="A1"))
    held = io.BytesIO()
    Image.new("RGB", (40, 30), (90, 120, 60)).save(held, "PNG")
    photo = Photo.keep(clean_photo(held.getvalue()), owner)
    return {"bill": bill, "stock": stock, "photo": photo, "issue": agreed}
