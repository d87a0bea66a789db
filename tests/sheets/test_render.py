"""Documents: tagged, self-contained, nothing fetched, the same bytes every time."""

import http.server
import threading

import pytest

from builds.sheets.render import html_to_pdf, render_html, render_pdf

SHOP = {"name": "Quayside Bench", "paper": "a4"}


@pytest.fixture
def pdf():
    return render_pdf("sheets/base.html", {"title": "Leaf Ω, 1 of it", "workshop": SHOP})


@pytest.fixture
def opened(tmp_path):
    """Opens PDF bytes with pikepdf."""
    import pikepdf

    def read(pdf):
        path = tmp_path / "sheet.pdf"
        path.write_bytes(pdf)
        return pikepdf.open(path)

    return read


def test_it_says_that_it_is_tagged_for_everybody(pdf, opened):
    """ISO 14289-1 (PDF/UA-1): marked, a structure tree, a language, a title that readers show."""
    read = opened(pdf)
    assert read.Root.MarkInfo.Marked
    assert "/StructTreeRoot" in read.Root
    assert str(read.Root.Lang).lower() == "en-gb"
    assert read.Root.ViewerPreferences.DisplayDocTitle
    assert str(read.docinfo.Title) == "Leaf Ω, 1 of it"
    assert read.open_metadata()["pdfuaid:part"] == "1"


def test_every_font_is_embedded(pdf, opened):
    fonts = []
    for page in opened(pdf).pages:
        for font in page.Resources.get("/Font", {}).values():
            inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
            fonts.append(str(font.BaseFont))
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inner.FontDescriptor.keys()), font.BaseFont
    assert fonts


def test_the_same_document_twice_is_the_same_bytes(pdf):
    assert render_pdf("sheets/base.html", {"title": "Leaf Ω, 1 of it", "workshop": SHOP}) == pdf


def test_letter_is_letter(opened):
    read = opened(render_pdf("sheets/base.html", {"title": "x", "workshop": {**SHOP, "paper": "letter"}}))
    assert [round(float(side)) for side in read.pages[0].MediaBox.as_list()[2:]] == [612, 792]


@pytest.fixture
def listener():
    """A server on this machine that remembers who asks."""
    asked = []

    class Remember(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Remember)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    thread.join()
    server.server_close()


WAYS_IN = [
    '<img src="{0}/a.png" alt="">',
    '<link rel="stylesheet" href="{0}/a.css">',
    "<style>@import '{0}/b.css'; p {{ background: url({0}/c.png) }}</style><p>x</p>",
    '<link rel="attachment" href="{0}/secret.txt">',
    '<object data="{0}/a.svg"></object>',
    "<img alt='' src='data:image/svg+xml,%3Csvg xmlns=\"http://www.w3.org/2000/svg\"%3E"
    '%3Cimage href="{0}/d.png"/%3E%3C/svg%3E\'>',
]


@pytest.mark.parametrize("way", WAYS_IN)
def test_nothing_is_fetched_from_the_network(listener, way):
    address, asked = listener
    html_to_pdf(f"<html lang=en><title>x</title><body>{way.format(address)}</body></html>")
    assert asked == []


@pytest.mark.parametrize("way", WAYS_IN)
def test_no_file_of_this_machine_gets_in(tmp_path, opened, way):
    from PIL import Image

    for name in ("a.png", "c.png", "d.png"):
        Image.new("RGB", (64, 64), "red").save(tmp_path / name)
    (tmp_path / "a.css").write_text("body::before { content: 'SECRET' }")
    (tmp_path / "b.css").write_text("body::before { content: 'SECRET' }")
    (tmp_path / "secret.txt").write_text("SECRET")
    (tmp_path / "a.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"><text>SECRET</text></svg>')
    read = opened(html_to_pdf(f"<html lang=en><title>x</title><body>{way.format(tmp_path.as_uri())}</body></html>"))
    assert not read.attachments
    images = [o for o in read.objects if hasattr(o, "get") and o.get("/Subtype") == "/Image"]
    assert not images
    assert "SECRET" not in words_of(read.filename)


def words_of(path):
    import subprocess

    return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout


def test_markup_in_a_name_is_text():
    html = render_html("sheets/base.html", {"title": "<img src=x>", "workshop": {**SHOP, "name": "<b>Bench</b>"}})
    assert "&lt;img src=x&gt;" in html
    assert "<b>Bench" not in html
