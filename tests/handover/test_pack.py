"""The hand-over pack as paper, read back."""

import io

import pikepdf
import pytest
from django.urls import reverse

from builds.handover.models import Pack
from parts.workshop.models import Workshop
from tests.sheets.reading import tags_of, text_of

from .machine import agreed

pytestmark = pytest.mark.django_db


@pytest.fixture
def pack(owner, machine):
    first = agreed(machine, "4200.00")
    agreed(machine, "310.00", alters=first, number=2)
    machine.bills.create(number=1, amount="2100.00", due_on="2026-10-01").payments.create(
        amount="2100.00", person=owner
    )
    return Pack.hand_over(machine, owner, way="collected", received_by="A. Halvorsen", filled=True)


def test_it_holds_everything_that_leaves_with_the_machine(pack):
    words = text_of(pack.document.read())
    for expected in (
        "Cutting-room machine", "Studio Halvorsen", "front radiator 360", "SN-pump_reservoir", "blue coolant",
        "air test", "passed", "21.3 °C", "0.002 mbar·L/s", "Measured against foretold", "within", "processor",
        "Care sheet", "change the coolant", "ISO 13732-1", "safety data sheet", "pin-outs differ", "aluminium",
        "licensed practice", "Variations", "Q-0002", "4,510.00", "2,410.00 EUR", "Receipt", "A. Halvorsen",
    ):  # fmt: skip
        assert expected in words, expected


def test_it_tells_no_cost_no_margin_and_no_contact(pack):
    words = text_of(pack.document.read())
    for secret in ("31.7", "margin", "studio@example.org"):
        assert secret not in words


def test_warranty_counts_from_the_day_a_part_came_in(pack):
    rows = {row["part"]: row for row in pack.document.data["parts"]}
    year = pack.on.year
    assert rows["pump with tank"]["warranty"].startswith(str(year + 2))
    assert rows["sixteen-core processor"]["warranty"].startswith(str(year + 3))
    assert rows["front radiator 360"]["warranty"] is None
    assert rows["quiet fan 120"]["warranty"].startswith(str(year + 5)), "no serial, yet the day it came in is known"


def test_it_is_tagged_names_itself_and_describes_its_pictures(pack):
    with pikepdf.open(io.BytesIO(pack.document.read())) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.docinfo["/Title"]).startswith("Hand-over pack J-")
        assert len(pdf.pages) >= 4
        assert pdf.Root.Lang
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert pdf.open_metadata()["pdfuaid:part"] == "1"
        tags, without = tags_of(pdf)
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure", "/P"} <= tags.keys()
    assert without == 0, "each picture says in words what it shows"


def test_the_owner_may_leave_the_account_out(owner, machine):
    agreed(machine, "4200.00")
    pack = Pack.hand_over(machine, owner, way="collected", received_by="A. Halvorsen", with_account=False)
    words = text_of(pack.document.read())
    assert "Final account" not in words
    assert "4,200" not in words


def test_drained_it_carries_the_fill_sheet(owner, machine):
    pack = Pack.hand_over(machine, owner, way="shipped", received_by="the carrier", filled=False)
    words = text_of(pack.document.read())
    assert "about 1.08 L of blue coolant" in words  # 300 + 60 + 60 + 500 mL and π/4 · 10² mm² · 2 m = 157 mL
    assert "left drained" in words


def test_a_preview_says_so_and_freezes_nothing(owner_client, machine):
    answer = owner_client.get(reverse("handover:preview", args=[machine.number]))
    assert "preview" in text_of(answer.content)
    assert not Pack.objects.exists()


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_it_prints_on_the_workshops_paper(owner_client, machine, paper, size):
    Workshop.current()
    Workshop.objects.update(paper=paper)
    pdf = owner_client.get(reverse("handover:preview", args=[machine.number])).content
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert {(round(float(p.mediabox[2])), round(float(p.mediabox[3]))) for p in opened.pages} == {size}


def test_a_bare_job_previews_too(owner_client):
    from tests.factories import JobFactory

    answer = owner_client.get(reverse("handover:preview", args=[JobFactory().number]))
    assert answer.status_code == 200


def test_gathering_the_pack_asks_a_bounded_number_of_queries(owner_client, machine, django_assert_max_num_queries):
    with django_assert_max_num_queries(40):
        owner_client.get(reverse("handover:preview", args=[machine.number]))
