"""A photo with what came: of damage above all."""

from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile

from builds.gathering.ordering import bring
from parts.orders.models import Arrival
from parts.shelf.models import Move
from parts.workshop.photos import Photo, clean_photo
from tests.factories import PartFactory, PlaceFactory, SpecLineFactory, once
from tests.workshop.test_photos import picture


def sent(data, **said):
    return once(quantity="1", condition="damaged", note="dented", photo=SimpleUploadedFile("p.jpg", data)) | said


def test_a_damaged_piece_comes_in_with_its_photo(helper_client, ordered):
    line = ordered(quantity=2)
    helper_client.post(f"/orders/{line.order}/receive/{line.pk}/", sent(picture()))
    photo = Arrival.objects.get().photos.get()
    for page in (f"/orders/{line.order}/receive/", "/orders/returns/", f"/orders/{line.order}/"):
        assert f"/workshop/photos/{photo.pk}/small/" in helper_client.get(page).content.decode()


def test_a_file_that_is_no_photo_is_refused_and_nothing_comes_in(helper_client, ordered):
    line = ordered(quantity=2)
    answer = helper_client.post(f"/orders/{line.order}/receive/{line.pk}/", sent(b"<html>"))
    page = answer.content.decode()
    assert "no photo that can be read" in page
    assert "dented" in page
    assert not Arrival.objects.exists()
    assert not Photo.objects.exists()


def test_the_clients_part_comes_with_a_photo_on_its_move(owner):
    line = SpecLineFactory(part=PartFactory(), client_supplied=True)
    bring(line.spec.job, line, owner, quantity=Decimal(1), place=PlaceFactory(), condition="as new",
          photo=clean_photo(picture()))  # fmt: skip
    assert Move.objects.get().photos.count() == 1


def test_when_something_else_is_wrong_it_asks_for_the_photo_again_and_keeps_the_rest(helper_client, ordered):
    line = ordered(quantity=2)
    page = helper_client.post(f"/orders/{line.order}/receive/{line.pk}/", sent(picture(), quantity="two")).content
    assert "choose it again" in page.decode()
    assert "dented" in page.decode()
    without = sent(picture(), quantity="two")
    del without["photo"]
    page = helper_client.post(f"/orders/{line.order}/receive/{line.pk}/", without).content.decode()
    assert "choose it again" not in page
