"""A screenshot of every page and every PDF page, so that anyone can look at the whole tool at once.

    .venv/bin/python tests/show_pages.py [--only WORD] [--out FOLDER]

Prepares the demo in a folder of its own, serves it, opens each address that a person can reach (found by following
links, one for each kind of page), at 1280 and 390 px, light and dark, and writes PNG files into var/pictures/.
"""

import argparse
import os
import re
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from urllib.parse import urljoin, urlsplit

HOUSE = Path(__file__).resolve().parent.parent
PORT = 8765
ROOT = f"http://127.0.0.1:{PORT}"
SIZES = {"wide": (1280, 900), "phone": (390, 844)}
LEAVE = re.compile(r"logout|/static/")


def serve(var):
    """Prepare the demo in `var` and serve it; returns the server's process and the login."""
    env = {**os.environ, "LOOPWRIGHT_VAR": str(var)}
    env.pop("DATABASE_URL", None)
    said = subprocess.run(
        [sys.executable, "manage.py", "demo", "--prepare-only"],
        cwd=HOUSE,
        env=env,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    login = dict(re.findall(r"(name|password):\s+(\S+)", said))
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "builds.wsgi", "-b", f"127.0.0.1:{PORT}", "--log-level", "warning"],
        cwd=HOUSE, env=env,
    )  # fmt: skip
    for _try in range(100):
        try:
            urllib.request.urlopen(f"{ROOT}/login/", timeout=2)
            return server, login
        except OSError:
            time.sleep(0.2)
    server.kill()
    raise SystemExit("the demo did not start")


def shape(url):
    """Addresses that differ only in a number or a query show the same kind of page."""
    return re.sub(r"(?<=[/-])[0-9]+(?=/|$)", "n", urlsplit(url).path)


def log_in(page, login):
    page.goto(f"{ROOT}/login/")
    page.fill("[name=username]", login["name"])
    page.fill("[name=password]", login["password"])
    page.click("main button, form button >> nth=0")
    page.wait_for_load_state()


def reachable(page, favourite):
    """One address for each kind of page, by following links; those of the favourite job are preferred."""
    found, todo = {}, [f"{ROOT}/"]
    while todo:
        url = todo.pop(0)
        key = shape(url)
        if key in found and not (favourite in url and favourite not in found[key]):
            continue
        answer = page.request.get(url)
        if not answer.ok:
            print(f"{answer.status} {url}", file=sys.stderr)
            continue
        found[key] = url
        if "html" not in answer.headers.get("content-type", ""):
            continue
        for link in re.findall(r'<a\b[^>]*?href="([^"#]+)"', answer.text()):
            target = urljoin(url, link.replace("&amp;", "&"))
            if target.startswith(ROOT) and not LEAVE.search(target):
                todo.append(target)
    return found


def picture_pages(browser, login, urls, out):
    for theme in ("light", "dark"):
        for size, (width, height) in SIZES.items():
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme=theme, reduced_motion="reduce"
            )
            page = context.new_page()
            page.goto(f"{ROOT}/login/")
            page.screenshot(path=out / f"login-{size}-{theme}.png", full_page=True)
            log_in(page, login)
            for key, url in urls.items():
                name = re.sub(r"[^a-z0-9]+", "-", key.lower()).strip("-") or "board"
                page.goto(url)
                page.screenshot(path=out / f"{name}-{size}-{theme}.png", full_page=True)
                if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
                    print(f"wider than the screen at {width} px: {url}", file=sys.stderr)
            context.close()


def picture_documents(request, urls, out):
    for key, url in urls.items():
        name = re.sub(r"[^a-z0-9]+", "-", key.lower()).strip("-")
        pdf = out / f"{name}.pdf"
        pdf.write_bytes(request.get(url).body())
        subprocess.run(["pdftoppm", "-r", "80", "-png", str(pdf), str(out / name)], check=True)


def main():
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--only", default="", help="only addresses that hold this word")
    parser.add_argument("--out", type=Path, default=HOUSE / "var" / "pictures")
    parser.add_argument("--job", default="J-0033", help="the job whose pages are shown")
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as var, sync_playwright() as playwright:
        server, login = serve(Path(var))
        try:
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium",
                args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
            )
            page = browser.new_page()
            log_in(page, login)
            found = {k: u for k, u in reachable(page, given.job).items() if given.only in u}
            kinds = {key: page.request.get(url).headers.get("content-type", "") for key, url in found.items()}
            picture_documents(page.request, {k: u for k, u in found.items() if "pdf" in kinds[k]}, given.out)
            picture_pages(browser, login, {k: u for k, u in found.items() if "html" in kinds[k]}, given.out)
        finally:
            server.terminate()
            server.wait()
    print(f"{len(found)} kinds of page in {given.out}")


if __name__ == "__main__":
    main()
