"""What a list does to parts that are here already: shown before it is saved, done, and taken back."""

import pytest
from django.urls import reverse

from parts.catalogue.models import Fact, Part
from parts.workshop.models import AuditEntry
from tests.factories import PartFactory, SupplierFactory, SupplierPriceFactory, once

from .sending import match, page_of, save, send

HEAD = "Name;Kind;Maker;Warranty, months;Part note;Withdrawn;Successor;Supplier;Price;Code;Thickness (mm)\n"


@pytest.fixture
def old(db):
    part = PartFactory(kind="radiator", name="Radiator 3×120", maker="Slate", warranty_months=24, note="old words",
                       facts={"thickness": 28.0})  # fmt: skip
    SupplierPriceFactory(part=part, supplier=SupplierFactory(name="Tidewater"), price="70", code="TW-3")
    return part


def sent(client, *rows):
    draft = send(client, HEAD + "".join(f"{row}\n" for row in rows))
    match(client, draft)
    return draft


def shown(client, draft):
    return " ".join(client.get(page_of(draft)).content.decode().split())


def test_the_preview_says_what_is_new_and_what_becomes_otherwise(owner_client, old):
    draft = sent(
        owner_client, "radiator 3×120;radiator;Slate Works;36;;;;Tidewater;74,20;TW-3;30", "Fan A;fan;;;;;;;;;",
    )  # fmt: skip
    page = shown(owner_client, draft)
    assert "1 part is new" in page
    assert "1 is in the catalogue already" in page
    for what in ("maker <del>Slate</del> <ins>Slate Works</ins>", "warranty, months <del>24</del> <ins>36</ins>",
                 "price <del>70</del> <ins>74.2</ins>", "thickness <del>28 mm</del> <ins>30 mm</ins>"):  # fmt: skip
        assert what in page
    assert "supplier&#x27;s code <del>" not in page  # it is the same


def test_a_row_that_says_nothing_new_says_so(owner_client, old):
    assert "nothing of it changes" in shown(owner_client, sent(owner_client, "Radiator 3×120;radiator;;;;;;;;;28"))


def test_what_a_row_says_of_a_part_is_done_and_what_it_leaves_out_stays(owner_client, old):
    new = PartFactory(kind="radiator", name="Radiator, new")
    save(owner_client, sent(owner_client, "Radiator 3×120;radiator;Slate Works;;first ¶ second;yes;Radiator, new;;;;"))
    old.refresh_from_db()
    assert (old.maker, old.warranty_months, old.note) == ("Slate Works", 24, "first\nsecond")
    assert (old.withdrawn, old.successor) == (True, new)
    assert Part.objects.matching("slate works").get() == old
    entry = AuditEntry.objects.get(verb="changed", about="part Radiator 3×120")
    assert (entry.before["maker"], entry.after["maker"]) == ("Slate", "Slate Works")


def test_a_part_comes_back_from_being_withdrawn(owner_client, old):
    Part.objects.update(withdrawn=True)
    save(owner_client, sent(owner_client, "Radiator 3×120;radiator;;;;;;;;;"))
    assert Part.objects.get().withdrawn
    save(owner_client, sent(owner_client, "Radiator 3×120;radiator;;;;no;;;;;"))
    assert not Part.objects.get().withdrawn


def test_all_of_it_is_taken_back(owner_client, old):
    draft = sent(owner_client, "Radiator 3×120;radiator;Slate Works;36;new words;yes;Radiator B;Tidewater;74;TW-9;30",
                 "Radiator B;radiator;;;;;;;;;")  # fmt: skip
    save(owner_client, draft)
    saved = owner_client.get(reverse("catalogue:import_saved", args=[draft.pk])).content.decode()
    assert "parts changed</dt><dd>1</dd>" in saved
    owner_client.post(reverse("catalogue:import_undo", args=[draft.pk]), once())
    part = Part.objects.get()
    assert (part.maker, part.warranty_months, part.note, part.withdrawn) == ("Slate", 24, "old words", False)
    assert part.successor is None
    assert (part.prices.get().price, part.prices.get().code) == (70, "TW-3")
    assert part.fact("thickness") == 28.0


def test_not_once_the_part_was_changed_again(owner_client, old):
    draft = sent(owner_client, "Radiator 3×120;radiator;Slate Works;;;;;;;;")
    save(owner_client, draft)
    Part.objects.update(version=9)
    undo = owner_client.post(reverse("catalogue:import_undo", args=[draft.pk]), once(), follow=True)
    assert "“Radiator 3×120” was changed since" in undo.content.decode()
    assert Part.objects.get().maker == "Slate Works"


def test_two_rows_of_one_part_may_add_to_each_other_but_not_disagree(owner_client):
    draft = sent(owner_client, "Fan A;fan;Slate;;;;;;;;", "Fan A;fan;;36;;;;;;;")
    save(owner_client, draft)
    part = Part.objects.get()
    assert (part.maker, part.warranty_months) == ("Slate", 36)
    page = shown(owner_client, sent(owner_client, "Fan A;fan;Slate;24;;;;;;;", "Fan A;fan;Slatte;36;;;;;;;"))
    assert page.count("Row 2 says otherwise of the same part") == 2


def test_a_part_cannot_stand_in_for_itself(owner_client):
    page = shown(owner_client, sent(owner_client, "Fan A;fan;;;;yes;fan a;;;;"))
    assert "cannot stand in for itself" in page


def test_a_declared_value_above_a_remembered_one_is_shown(owner_client, owner, old):
    Fact.objects.update(origin="typical")
    page = shown(owner_client, sent(owner_client, "Radiator 3×120;radiator;;;;;;;;;30"))
    assert "thickness <del>28 mm</del> <ins>30 mm</ins>" in page


def test_a_measured_value_stays_above_what_a_list_declares(owner_client, owner, old):
    old.set_fact("thickness", 28.4, Fact.MEASURED, by=owner)
    draft = sent(owner_client, "Radiator 3×120;radiator;;;;;;;;;30")
    said = "thickness <del>28.4 mm</del> <ins>30 mm, set aside for the value measured by us</ins>"
    assert said in shown(owner_client, draft)
    save(owner_client, draft)
    assert Part.objects.get().fact("thickness") == 28.4
    assert Fact.objects.get(origin="declared").value == 30.0
