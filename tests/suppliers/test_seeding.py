from django.conf import settings

from parts.catalogue.models import Part
from parts.kinds import all_kinds
from parts.suppliers.models import Supplier, SupplierPrice
from parts.suppliers.seeding import load_catalogue

DEMO = settings.BASE_DIR / "fixtures" / "demo" / "catalogue.json"


def test_the_demo_catalogue_reads_and_reading_it_again_changes_nothing(owner):
    first = load_catalogue(DEMO, by=owner)
    counted = Part.objects.count(), SupplierPrice.objects.count(), Supplier.objects.count()
    assert counted[0] >= 40
    assert counted[2] == 4
    assert load_catalogue(DEMO, by=owner) == first
    assert (Part.objects.count(), SupplierPrice.objects.count(), Supplier.objects.count()) == counted


def test_every_kind_of_part_is_in_it(owner):
    load_catalogue(DEMO, by=owner)
    assert set(Part.objects.values_list("kind", flat=True)) == set(all_kinds())


def test_a_value_typed_by_hand_survives_a_second_reading(owner):
    part = load_catalogue(DEMO, by=owner)["Radiator 3 × 120, 30 mm, 16 fins an inch"]
    part.set_fact("thickness", "31 mm", "measured", by=owner)
    load_catalogue(DEMO, by=owner)
    assert Part.objects.get(pk=part.pk).fact("thickness") == 31


def test_its_prices_have_codes_and_say_what_travels_bulky(owner):
    load_catalogue(DEMO, by=owner)
    assert not SupplierPrice.objects.filter(code="").exists()
    assert set(SupplierPrice.objects.filter(part__kind="case").values_list("carriage_class", flat=True)) == {"bulky"}
