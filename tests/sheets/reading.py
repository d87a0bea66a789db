"""Reads documents back, as a person would."""

import subprocess

import pikepdf


def text_of(pdf):
    """The words of a PDF in reading order, one space between them (poppler's pdftotext)."""
    done = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())


def pages_of(pdf):
    """The lines of each page that hold words, without its running foot (poppler's pdftotext)."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    pages = done.stdout.decode().split("\f")[:-1]
    return [[line.strip() for line in page.splitlines() if line.strip()][:-1] for page in pages]


def tags_of(read):
    """({tag: how often} of an opened PDF's structure tree, how many figures lack a text in their stead)."""
    counts, without, todo, seen = {}, 0, [read.Root.StructTreeRoot], set()
    while todo:
        node = todo.pop()
        if not isinstance(node, pikepdf.Dictionary) or (node.is_indirect and node.objgen in seen):
            continue
        seen.add(node.objgen)
        if tag := node.get("/S"):
            counts[str(tag)] = counts.get(str(tag), 0) + 1
            without += str(tag) == "/Figure" and not str(node.get("/Alt", ""))
        below = node.get("/K", [])
        todo += list(below) if isinstance(below, pikepdf.Array) else [below]
    return counts, without
