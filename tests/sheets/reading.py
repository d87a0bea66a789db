"""Reads documents back, as a person would."""

import subprocess


def text_of(pdf):
    """The words of a PDF in reading order, one space between them (poppler's pdftotext)."""
    done = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())
