"""The workshop's look on documents: logo, colours, paper; what is no logo stays out."""

import io
import struct
import zlib

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from builds.sheets.look import look_css, small_sheet
from builds.sheets.render import render_html, render_pdf
from parts.workshop.models import Workshop
from tests.factories import once

COLOURS = {"tube_colour": "#123456", "rule_colour": "#654321", "paper": "letter"}


@pytest.fixture
def look(db):
    return reverse("sheets:look")


def picture(mode="RGBA", size=(300, 120), kind="PNG", **extra):
    held = io.BytesIO()
    Image.new(mode, size, 0).save(held, kind, **extra)
    return held.getvalue()


def sent(data, name="logo.png"):
    return SimpleUploadedFile(name, data, "image/png")


def bomb():
    """A PNG whose header says 60,000 by 60,000 pixels: a few hundred bytes that would unpack to gigabytes."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 999)) + chunk(b"IEND", b"")
    )


def test_a_logo_and_colours_stand_on_every_sheet_from_then_on(owner_client, look):
    answer = owner_client.post(look, once(version=1, logo=sent(picture()), **COLOURS), follow=True)
    assert "have this look" in answer.content.decode()
    shop = Workshop.current()
    html = render_html("sheets/sample.html", {"title": "A sheet", "workshop": shop})
    assert shop.logo_data.startswith("data:image/png;base64,")
    assert shop.logo_data in html
    assert "background: #123456" in html
    assert 'class="letter"' in html


def test_it_is_made_anew_and_nothing_else_of_the_file_is_kept(owner_client, look):
    data = picture("RGB", (3000, 900), "JPEG", comment=b"taken at the quay") + b"<script>appended</script>"
    owner_client.post(look, once(version=1, logo=sent(data, "x.jpg"), **COLOURS))
    import base64

    kept = base64.b64decode(Workshop.current().logo_data.partition(",")[2])
    assert kept.startswith(b"\x89PNG")
    assert b"quay" not in kept
    assert b"script" not in kept
    assert Image.open(io.BytesIO(kept)).size == (900, 270)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "can be read"),
        (b"GIF89a", "can be read"),
        (picture()[:60], "can be read"),
        (bomb(), "million pixels"),
        (b"\x89PNG" + b"0" * (15 * 1024 * 1024 + 1), "larger than 15 MB"),
    ],
    ids=["svg", "gif", "cut short", "bomb", "too many bytes"],
)
def test_what_is_no_logo_stays_out_and_says_why(owner_client, look, data, said):
    import weasyprint.images  # noqa: F401  (once loaded it lets cut-off pictures pass in the whole process)

    answer = owner_client.post(look, once(version=1, logo=sent(data), **COLOURS))
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert Workshop.current().logo_sha256 == ""


def test_a_logo_can_be_taken_off_again(owner_client, look):
    owner_client.post(look, once(version=1, logo=sent(picture()), **COLOURS))
    owner_client.post(look, once(version=2, without_logo="on", **COLOURS))
    assert Workshop.current().logo_data == ""


@pytest.mark.parametrize("colour", ["red", "#12", "#12345g", "#123456;} body{display:none", ""])
def test_only_a_colour_is_a_colour(owner_client, look, colour):
    owner_client.post(look, once(version=1, **COLOURS | {"tube_colour": colour}))
    assert Workshop.current().tube_colour == "#9a4f26"
    assert "display:none" not in look_css(Workshop(tube_colour=colour, rule_colour=colour))


def test_the_small_sheet_follows_what_is_chosen_and_keeps_nothing(owner_client, look):
    shown = owner_client.post(reverse("sheets:look_preview"), COLOURS).content.decode()
    assert 'fill="#123456"' in shown
    assert 'viewBox="0 0 216 279"' in shown
    assert Workshop.current().tube_colour == "#9a4f26"
    wrong = owner_client.post(reverse("sheets:look_preview"), {"tube_colour": '"><script>', "paper": "x"})
    assert "<script" not in wrong.content.decode()


def test_the_small_sheet_shows_the_logo_before_it_is_saved(owner_client, look):
    preview = reverse("sheets:look_preview")
    assert "data:image/png;base64," in owner_client.post(preview, COLOURS | {"logo": sent(picture())}).content.decode()
    assert Workshop.current().logo_sha256 == ""
    owner_client.post(look, once(version=1, logo=sent(picture()), **COLOURS))
    assert "data:image/png" in owner_client.post(preview, COLOURS).content.decode()
    assert "data:image/png" not in owner_client.post(preview, COLOURS | {"without_logo": "on"}).content.decode()


@pytest.mark.parametrize("data", [bomb(), b"<svg onload=alert(1)>", picture()[:90]])
def test_what_is_no_logo_is_said_beside_the_small_sheet(owner_client, look, data):
    shown = owner_client.post(reverse("sheets:look_preview"), COLOURS | {"logo": sent(data)}).content.decode()
    assert "word error" in shown
    assert "small-sheet" in shown
    assert "onload" not in shown


def test_the_page_holds_no_style_that_the_policy_forbids(owner_client, look):
    shown = owner_client.get(look).content.decode()
    assert "small-sheet" in shown
    assert " style=" not in shown
    assert "<style" not in shown


def test_markup_in_the_name_stays_text(db):
    assert "<b>" not in small_sheet(Workshop(name="<b>Quay</b>"))


@pytest.mark.parametrize(("paper", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_the_sample_is_a_tagged_pdf_of_the_papers_size(db, paper, points):
    """A4 by ISO 216, Letter 8.5 by 11 inches, in points of 1/72 inch; tags, language and title after ISO 14289-1."""
    shop = Workshop.current()
    shop.paper = paper
    made = render_pdf("sheets/sample.html", {"title": "A sheet", "workshop": shop})
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert tuple(round(float(x)) for x in pdf.pages[0].MediaBox[2:]) == points
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.Lang
        assert str(pdf.docinfo["/Title"]) == "A sheet"


def test_a_helper_does_not_change_it(helper_client, look):
    for address in (look, reverse("sheets:sample")):
        assert helper_client.get(address).status_code == 403
